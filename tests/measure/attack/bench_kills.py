"""Kills (SIGKILL) under strikes in a real terminal: nothing accepted is lost, all plates are back."""

from __future__ import annotations

import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from tests.kit.killed_bench import kill_often
from tests.measure.attack.attempts import Attempts

HOMES, KILLS, AT_ONCE = 40, 25, 4
"""Benches, kills of each, and how many benches are worked at a time: 1,000 kills."""
SHORT_HOMES, SHORT_KILLS = 4, 4


def attack(short: bool) -> Attempts:
    """Kill each bench under strikes; every kill is an attempt."""
    attempts = Attempts()
    homes, kills = (SHORT_HOMES, SHORT_KILLS) if short else (HOMES, KILLS)

    def work(number: int) -> tuple[int, int, int, int, float, list[str]]:
        with tempfile.TemporaryDirectory() as folder:
            try:
                bench, wrong = kill_often(Path(folder), f"bench {number}", kills)
            except (AssertionError, OSError, TimeoutError) as error:
                return 1, 0, 0, 0, 0.0, [f"bench {number} cannot go on: {error}"]
        return bench.kills, bench.accepted, bench.lost, bench.waiting, bench.worst_gap, wrong

    with ThreadPoolExecutor(AT_ONCE) as pool:
        results = list(pool.map(work, range(homes)))
    for tried, *_, wrong in results:
        attempts.many(tried, wrong)
    attempts.expect(sum(result[1] for result in results) > 0, "no strike was accepted before a kill")
    attempts.figures["accepted"] = str(sum(result[1] for result in results))
    attempts.figures["lost"] = str(sum(result[2] for result in results))
    attempts.figures["waiting for the disk"] = str(sum(result[3] for result in results))
    attempts.figures["gap off, s"] = f"{max(result[4] for result in results):.4f}"
    return attempts
