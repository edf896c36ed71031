"""A screen sleeps until something that it shows changes, and no longer."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import pytest

from darkroom.bench.view import bench_view
from darkroom.screens.home.screen import HomeScreen
from darkroom.screens.host import HostScreen
from darkroom.screens.next_change import LONGEST_SLEEP, seconds_to_change
from darkroom.session.strikes import SETTLE
from tests.kit.review_hand import Looker, looking
from tests.kit.session import KeySession

RESTING = 30.0
TIMED = 2.5
"""Seconds of a real clock in which draws are counted."""


def _sleep(hand: KeySession, speed: float = 1.0) -> float:
    """Return how long a screen sleeps now."""
    session, now = hand.session, hand.session.now()
    return seconds_to_change(session, bench_view(session.bench, now), now, speed, RESTING)


def test_a_screen_wakes_at_each_second_of_a_counting_plate() -> None:
    """Over a minute of counting it wakes within 2 ms after each whole second, never later than a quarter."""
    hand = KeySession()
    hand.press("space")
    began = hand.session.bench.shown
    assert began is not None and began.phase == "running"
    first = math.floor(hand.session.now() - began.since) + 1
    seen = []
    while len(seen) < 400:
        sleep = _sleep(hand)
        assert sleep <= LONGEST_SLEEP
        hand.clock.move(sleep)
        hand.session.tick()
        seen.append(hand.session.now() - began.since)
    last = math.floor(seen[-1])
    assert last - first > 50
    for second in range(first, last + 1):
        assert any(second <= at < second + 0.002 for at in seen), second


def test_a_screen_wakes_when_a_handful_is_gathered() -> None:
    """Behind a key it sleeps for the 60 ms of its handful at most."""
    hand = KeySession()
    hand.wait(1.0)
    hand.session.key("space")
    assert 0 < _sleep(hand) <= SETTLE


def test_a_fast_clock_wakes_the_screen_sooner() -> None:
    """In a rehearsal at ten times the speed a second of the bench is a tenth of one of the machine's."""
    hand = KeySession()
    hand.press("space")
    assert _sleep(hand, speed=10.0) <= 0.1 + 0.001


def test_a_screen_rests_while_no_plate_is_followed() -> None:
    """An empty bench wakes no screen; neither does a plate whose journal was handed over on the rack."""
    hand = KeySession()
    assert _sleep(hand) <= LONGEST_SLEEP, "a plate that waits for its first press may be struck"
    hand.session.take_off_new()
    assert not hand.session.bench.followed
    assert _sleep(hand) == RESTING


def _counted(monkeypatch: pytest.MonkeyPatch) -> list[HomeScreen]:
    """Return the list in which each drawing of a home form is noted from now on."""
    drawn: list[HomeScreen] = []
    draw = HomeScreen.draw

    def noted(home: HomeScreen) -> None:
        drawn.append(home)
        draw(home)

    monkeypatch.setattr(HomeScreen, "draw", noted)
    return drawn


def test_an_idle_home_form_is_drawn_once_a_second_and_never_below_a_menu(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Over an empty bench it is looked at once a second at most; below a menu not at all, above again."""
    drawn = _counted(monkeypatch)

    async def steps(hand: Looker) -> None:
        await hand.pilot.pause(1.5)  # what was asked of the log has been answered
        drawn.clear()
        await hand.pilot.pause(TIMED)
        assert 1 <= len(drawn) <= 2 * TIMED, "ten looks at four a second"
        hand.tool.open_menu()
        await hand.pilot.pause(0.2)
        drawn.clear()
        await hand.pilot.pause(TIMED)
        assert drawn == []
        hand.tool.pop_screen()
        await hand.until(lambda: bool(drawn))

    looking(tmp_path, steps, text=None)


def test_what_is_said_quietly_stands_at_once_on_a_screen_that_rests(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The home form shows a notice without waiting for its next look at the clocks."""

    def never(screen: HostScreen[None], look: Callable[[], None]) -> None:
        screen._look = look

    monkeypatch.setattr(HostScreen, "look_again", never)

    async def steps(hand: Looker) -> None:
        await hand.pilot.pause(1.0)
        hand.tool.say_quietly("disk", "not saved: no room")
        await hand.wait("not saved: no room", 5.0)

    looking(tmp_path, steps, text=None)
