"""A tintype, a negative and a plate fixed in cyanide in flight at once, with stray strikes and a kill.

Real keys in a real terminal; shortened copies of the shipped process files, which ask where those ask. What
each strike did, and to which plate, is judged at the end from the journals.
"""

from __future__ import annotations

import signal
import time
from pathlib import Path

import pytest

from darkroom.bench import questions
from tests.kit import short_processes
from tests.kit.audit import audit
from tests.kit.bench_replay import Choice, Replay, faults
from tests.kit.letters import reads
from tests.kit.photographer import journal, run
from tests.kit.stray_hand import PATIENCE, Stray, StrayHand, up

ASKED = {"sensitise", "rinse", "wash", "fix"}
"""The stages that ask: of each plate that has them, at least one stray comes in each of them."""
READY = "press, then pour"
"""What every plate that has been put on is told to do."""


def home_with(folder: Path) -> Path:
    """Return a home whose own processes are the three short ones."""
    home = folder / "home"
    short_processes.write(home / "profiles")
    return home


def put_on(hand: StrayHand, name: str) -> None:
    """Put a plate of another process on the bench by the menu and the home form."""
    hand.press("escape")
    hand.wait("New plate like the last")
    for key in ("up", "up", "space"):  # home is the last row but one
        hand.press(key)
    hand.choose_process(name)
    hand.wait(lambda screen: reads(READY, screen) or "Yes, confirmed" in screen)
    if "Yes, confirmed" in hand.terminal.screen():
        hand.press("down")
        hand.press("enter")
        hand.wait(READY)
    hand.was_put_on()


def slips(hand: StrayHand, slipped: set[tuple[str, str, bool]]) -> bool:
    """Let the foot slip once in each stage of each plate, in one that asks as well as past it."""
    if not hand.may_slip():
        return False
    state = hand.large()
    assert state is not None
    asking = hand.would_ask(state)
    if (state.plate, state.stage.name, asking) in slipped or (state.stage.name in ASKED and not asking):
        return False
    slipped.add((state.plate, state.stage.name, asking))
    hand.read_screen()
    hand.stray()
    return True


def after_question(hand: StrayHand, count: int) -> None:
    """Answer no by taking back, or let the question lapse."""
    state = hand.large()
    if state is None or state.question is None or questions.is_open(state, up()) is None:
        return
    if count % 2:
        time.sleep(1.2)
        hand.answer_no()


def carry(hand: StrayHand, slipped: set[tuple[str, str, bool]], until: str) -> None:
    """Do what is due, with strays, until a number of plates stand in a stage or are past it."""
    end = time.monotonic() + PATIENCE
    while not hand.has(until):
        assert time.monotonic() < end, f"never {until}:\n{hand.terminal.screen()}"
        carry_one(hand, slipped)


def carry_one(hand: StrayHand, slipped: set[tuple[str, str, bool]]) -> None:
    """Do one thing that is due, or let the foot slip."""
    strays = len(hand.strays)
    if not slips(hand, slipped) and not hand.work():
        time.sleep(0.1)
    elif len(hand.strays) > strays:
        after_question(hand, len(hand.strays))


@pytest.mark.slow
@pytest.mark.parametrize(("columns", "rows"), [(80, 24), (200, 60)])
def test_three_plates_with_strays_and_a_kill(columns: int, rows: int, tmp_path: Path) -> None:
    """Each strike is on the plate that has a right to it; no stray moves a plate out of a stage that asks."""
    home = home_with(tmp_path)
    slipped: set[tuple[str, str, bool]] = set()
    env = {"XDG_STATE_HOME": str(tmp_path / "state")}
    hand = StrayHand(home, columns, rows, f"{columns} columns", **env)
    with hand.terminal:
        hand.open("bench", str(home / "profiles" / "1-tintype.yaml"), "--exposure", "7s")
        hand.was_put_on()
        carry(hand, slipped, "1 sensitise")
        put_on(hand, "2-negative")
        carry(hand, slipped, "2 sensitise")
        hand.carry_until_calm(lambda: carry_one(hand, slipped))
        put_on(hand, "3-cyanide")
        carry(hand, slipped, "3 sensitise")
        hand.terminal.kill(signal.SIGKILL)
        hand.terminal.wait()
        assert audit(hand.terminal.data) == []

    saved = journal(home)
    again = StrayHand(home, columns, rows, "after the kill", **env)
    again.choices, again.strays, again.read = hand.choices, hand.strays, hand.read
    with again.terminal:
        again.open()
        again.came_back()
        for before, now in zip(saved, journal(home), strict=True):
            assert now[: len(before)] == before
        carry(again, slipped, "3 dry")
        again.terminal.kill(signal.SIGTERM)
        assert again.terminal.wait() == 128 + signal.SIGTERM
        assert audit(again.terminal.data) == []
    judge(home, again.choices, again.strays)
    assert run(home, "log", "check").returncode == 0


def judge(home: Path, choices: list[Choice], strays: list[Stray]) -> None:
    """Assert of every strike in the journals that it was what the rules say, and that strays asked."""
    replay = Replay().take(home, choices)
    assert faults(replay) == []
    asked = [stray for stray in strays if stray.asked]
    assert {stray.stage for stray in asked} == ASKED
    plates = [plate for plate in replay.bench.plates if plate]
    assert len(plates) == 3 and {stray.plate for stray in asked} == set(plates)
    for stray in asked:
        (strike, *_) = [s for s in replay.strikes if s.cause.up >= stray.up - 0.01]
        assert not strike.moved and strike.refusal is not None, stray
    for name in ("sensitise", "wash"):
        ended = [
            line for lines in journal(home) for line in lines
            if line["event"] == "stage_ended" and line["stage"] == name
        ]  # fmt: skip
        assert [line["how"] for line in ended] == ["strike"] * 3
        assert all(line["seconds"] >= line["planned"] for line in ended)
