"""What the time in which a plate cleared tells of its fixer: quietly, in the place of what comes next."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace

from darkroom.bench import intents as want
from darkroom.bench.all_plates import NEW, with_start
from darkroom.screens import bottles_at_hand
from darkroom.screens.bottles_at_hand import Known
from darkroom.solutions.uses import Use
from tests.kit.review_hand import Looker, large, looking, put_plate

FRESH = 40.0
"""Seconds in which the invented fixer cleared its first plates."""


def uses_of(bottle: str, cleared: float = FRESH, count: int = 3) -> tuple[Use, ...]:
    """Return the first plates of a fixer."""
    return tuple(
        Use(plate=f"p{n}", number=n, bottle=bottle, role="fixer", stage="fix", instant=float(n),
            cleared=cleared, celsius=20.0)
        for n in range(count)
    )  # fmt: skip


@pytest.fixture
def fixer(monkeypatch: pytest.MonkeyPatch) -> str:
    """Return the id of a fixer of which the book tells three plates."""
    tell(monkeypatch, 3)
    return "f1"


def tell(monkeypatch: pytest.MonkeyPatch, count: int) -> None:
    """Let the book tell so many plates of the fixer."""
    known = Known(uses={"f1": uses_of("f1", count=count)})
    monkeypatch.setattr(bottles_at_hand, "_read", lambda home, now: known)


async def cleared_in(hand: Looker, fixer: str, seconds: float) -> None:
    """Bring a plate into this fixer, let it clear after so many seconds, and some time pass."""
    session = hand.tool.session
    await hand.until(lambda: hand.tool.services.bottles.is_read)
    put_plate(hand.tool)
    hand.tool.to_bench()
    start = session.bench.plates[NEW].start
    session.bench = with_start(session.bench, replace(start, bottle_ids={"fixer": fixer}))
    for step in range(2000):
        state = large(hand)
        if (state.stage.name, state.phase) == ("fix", "running"):
            break
        session.intend(want.Go(f"20260301-120000-{step:06d}", 1))
        hand.at_once(2.0)
    hand.at_once(seconds - (session.now() - large(hand).since))
    session.intend(want.Go())
    if large(hand).cleared_at is None:  # so soon it is asked first
        hand.at_once(1.5)
        session.intend(want.Go())
    hand.at_once(4.5)  # the answer to the press has gone


def test_an_exhausted_fixer_is_told_quietly(home: Path, fixer: str) -> None:
    """Twice the fresh fixer's time: the words stand while the plate is in it, and no longer."""

    async def steps(hand: Looker) -> None:
        await cleared_in(hand, fixer, 84.0)
        await hand.wait("clears in 1:24")
        assert "fresh 0:40: exhausted" in hand.text()
        hand.at_once(large(hand).cleared_at - large(hand).since + 1.0)  # type: ignore[operator]
        hand.tool.session.intend(want.Go())
        await hand.wait(lambda text: "exhausted" not in text)

    looking(home, steps, text=None)


def test_an_ordinary_clearing_is_worth_no_word(home: Path, fixer: str) -> None:
    """Near the fresh fixer's time what comes next stands where it always does."""

    async def steps(hand: Looker) -> None:
        await cleared_in(hand, fixer, 44.0)
        await hand.wait("then ")
        assert "clears in" not in hand.text()

    looking(home, steps, text=None)


def test_a_first_plate_says_what_fresh_is(home: Path, fixer: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """With two plates before it this one is among the first: it is held against nothing."""
    tell(monkeypatch, 2)

    async def steps(hand: Looker) -> None:
        await cleared_in(hand, fixer, 120.0)
        await hand.wait("then ")
        assert "clears in" not in hand.text()

    looking(home, steps, text=None)
