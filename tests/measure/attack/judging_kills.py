"""Kills (SIGKILL) while a judgement is saved: it is there whole or not at all, and always once answered."""

from __future__ import annotations

import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from tests.kit.killed_judging import WAYS, kill_often
from tests.measure.attack.attempts import Attempts

KILLS = {"rate": 100, "note": 100, "form": 50}
SHORT_KILLS = {"rate": 6, "note": 6, "form": 2}


def attack(short: bool) -> Attempts:
    """Kill each way of judging; every kill is an attempt."""
    attempts = Attempts()
    numbers = SHORT_KILLS if short else KILLS
    with tempfile.TemporaryDirectory() as name:

        def work(way: str) -> tuple[int, int, int, list[str]]:
            try:
                judging, wrong = kill_often(Path(name) / way, way, numbers[way])
            except (AssertionError, OSError, TimeoutError) as error:
                return 1, 0, 0, [f"{way} cannot go on: {error}"]
            return judging.kills, judging.saved, judging.accepted, wrong

        with ThreadPoolExecutor(len(WAYS)) as pool:
            results = list(pool.map(work, WAYS))
    for tried, _, _, wrong in results:
        attempts.many(tried, wrong)
    attempts.figures["saved"] = str(sum(result[1] for result in results))
    attempts.figures["answered"] = str(sum(result[2] for result in results))
    attempts.expect(sum(result[1] for result in results) > 0, "each kill came before the saving")
    return attempts
