"""Judging beside a live bench, and over journals that someone wrote by hand."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from darkroom.bench import events as ev
from darkroom.log.store import locks
from darkroom.screens.judging.screen import JudgingScreen
from tests.kit.plates import forgotten, put
from tests.kit.review_hand import Looker, looking, make_sensitive, put_plate


def test_a_plate_on_the_bench_is_refused_without_a_wait(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is said at once; and were it asked for, nobody waits for the lock that the bench holds."""
    put(home, forgotten())
    waited: list[float] = []
    lock = locks.lock

    def noted(fd: int, **how: Any) -> bool:
        waited.append(how.get("wait", 0.0))
        return lock(fd, **how)

    async def steps(hand: Looker) -> None:
        await hand.wait("1, newest first")
        put_plate(hand.tool)
        await make_sensitive(hand)
        await hand.wait("2, newest first")
        await hand.press("home", "enter")
        await hand.wait("PLATE 13")
        await hand.press("j")
        assert "this plate is on the bench: note it there" in hand.text()
        await hand.tool.push_screen(JudgingScreen(hand.tool.screen.path))  # type: ignore[attr-defined]
        await hand.press("3")
        monkeypatch.setattr(locks, "lock", noted)
        await hand.press("enter")
        await hand.wait("the plate is on the bench")
        assert waited and set(waited) == {0.0}

    looking(home, steps)


def test_enter_in_a_form_nobody_touched_writes_nothing(home: Path) -> None:
    """Words of blanks that a journal has from elsewhere are not withdrawn by looking at them."""
    events = forgotten()
    n, at = events[-1].n, "2026-03-02T20:00:00.000+01:00"
    events += [
        ev.Fault(n=n + 1, at=at, up=None, name="fog", where=" "),
        ev.Note(n=n + 2, at=at, up=None, text=""),
    ]
    path = put(home, events)
    before = path.read_bytes()

    async def steps(hand: Looker) -> None:
        await hand.wait("1, newest first")
        await hand.press("enter", "j", "enter")
        await hand.wait("j judge")
        assert path.read_bytes() == before

    looking(home, steps)
