"""Stray strikes at random instants over overlapping plates, typed into real terminals."""

from __future__ import annotations

import threading
import time
from pathlib import Path

import pytest

from darkroom.bench import questions
from tests.kit import short_processes
from tests.kit.bench_replay import Replay, faults
from tests.kit.nightly import size
from tests.kit.stray_hand import PATIENCE, StrayHand, up

STRAYS = size("DARKROOM_STRAYS", 60, 600)
"""So many stray strikes are typed."""
TERMINALS = 3
"""In so many terminals side by side, each with a bench of its own."""


def slip(hand: StrayHand) -> None:
    """Strike at a random instant; a question that comes of it is answered yes or no, or lapses."""
    time.sleep(hand.rng.uniform(0.1, 1.5))
    strays = len(hand.strays)
    hand.stray()
    state = hand.large()
    if len(hand.strays) == strays or state is None or questions.is_open(state, up()) is None:
        return
    answer = hand.rng.choice(("yes", "no", "none"))
    if answer != "none":
        time.sleep(hand.rng.uniform(1.2, 4.0))
        if answer == "no":
            hand.answer_no()
        else:
            hand.strike_large()


def play(home: Path, process: Path, count: int, wrong: list[str]) -> None:
    """Work plates of a process, never more than three, until so many strays were typed."""
    hand = StrayHand(home, 80, 24, process.stem, XDG_STATE_HOME=str(home / "state"))
    try:
        with hand.terminal:
            hand.open("bench", str(process), "--exposure", "7s")
            hand.was_put_on()
            end = time.monotonic() + PATIENCE * max(1, count / 20)
            while len(hand.strays) < count:
                assert time.monotonic() < end, f"{len(hand.strays)} strays:\n{hand.terminal.screen()}"
                if not hand.work():
                    begun = [plate for plate in hand.bench().on_bench if plate.plate]
                    if begun == list(hand.bench().on_bench) and len(begun) < 3 and hand.is_calm():
                        hand.press("escape")
                        hand.wait("New plate like the last")
                        hand.press("space")
                        hand.wait("ress, then pour")
                        hand.was_put_on()
                    elif hand.rng.random() < 0.5:
                        slip(hand)
                    else:
                        time.sleep(0.3)
        replay = Replay().take(home, hand.choices)
        wrong += faults(replay)
        if not any(strike.asked for strike in replay.strikes):
            wrong.append(f"{process.stem}: no stray was asked about")
    except BaseException as problem:
        wrong.append(f"{process.stem}: {problem}")
        raise


@pytest.mark.slow
def test_stray_strikes_through_a_terminal(tmp_path: Path) -> None:
    """No single one moves a plate out of a stage that asks, and each question is answered in its window."""
    wrong: list[str] = []
    threads = [
        threading.Thread(target=play, args=(tmp_path / path.stem, path, STRAYS // TERMINALS, wrong))
        for path in short_processes.write(tmp_path / "processes", short_processes.THREE[:2] * 2)[:TERMINALS]
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert wrong == []
