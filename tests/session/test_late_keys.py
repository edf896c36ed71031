"""Keys that a busy program takes some time after they have arrived, beside a zero in between."""

from __future__ import annotations

import pytest

from darkroom.bench import clocks
from darkroom.bench import events as ev
from darkroom.bench import intents as want
from tests.kit.session import KeySession


@pytest.fixture
def hand() -> KeySession:
    """A plate whose exposure is about to begin by itself."""
    hand = KeySession()
    for _ in range(6):
        hand.press("space")
    return hand


def zero(hand: KeySession) -> float:
    """Return the instant at which the exposure begins by itself."""
    state = hand.session.bench.shown
    assert state is not None
    at = clocks.automatic_zero(state)
    assert at is not None
    return at


def be_busy_over(hand: KeySession, zero: float) -> None:
    """Let time pass until shortly after a zero, and nothing be looked at in the last 0.8 s."""
    hand.wait(zero - hand.clock.up() - 0.4)
    hand.clock.move(0.8)


def exposures(hand: KeySession) -> list[float]:
    """Return the instants at which an exposure began, in the order of the journal."""
    events = hand.journal.events["p1"]
    return [event.up for event in events if isinstance(event, ev.StageStarted) and event.stage == "expose"]


def test_a_press_before_a_zero_comes_before_it_however_late_it_is_taken(hand: KeySession) -> None:
    """The exposure begins with the press, at the instant of its arrival, and the zero is none any more."""
    at = zero(hand)
    be_busy_over(hand, at)
    hand.session.key("space", at - 0.1)
    hand.wait(0.5)
    assert exposures(hand) == [pytest.approx(at - 0.1)]
    assert not any(isinstance(event, ev.StageEnded) and event.up > at for event in hand.journal.events["p1"])


def test_a_press_that_is_taken_after_a_decided_zero_is_not_before_it(hand: KeySession) -> None:
    """What is in the journal stays in the order of its instants."""
    at = zero(hand)
    be_busy_over(hand, at)
    hand.session.tick()
    hand.session.key("space", at - 0.1)
    hand.wait(0.5)
    assert exposures(hand)[0] == pytest.approx(at)
    instants = [event.up for event in hand.journal.events["p1"]]
    assert instants == sorted(instants)


def test_a_key_without_an_arrival_arrives_when_it_is_taken(hand: KeySession) -> None:
    """A press taken at once begins the exposure at that instant."""
    hand.wait(1.0)
    now = hand.clock.up()
    hand.session.key("space")
    hand.wait(0.1)
    assert exposures(hand) == [pytest.approx(now)]


def test_a_reading_decides_no_zero_that_a_press_came_before(hand: KeySession) -> None:
    """A thermometer tells something while the handful of that press is gathered: the press is first."""
    at = zero(hand)
    hand.wait(at - hand.clock.up() - 0.1)
    hand.clock.move(at - 0.03 - hand.clock.up())
    hand.session.key("space")
    hand.clock.move(0.04)
    hand.session.intend(want.ReadTemperature("bath", 18.0, "probe"))
    hand.wait(0.2)
    assert exposures(hand) == [pytest.approx(at - 0.03)]


def test_a_press_that_arrived_in_a_stall_comes_behind_it(hand: KeySession) -> None:
    """The lines stay in the order of their instants: none is before what the clocks were seen to do."""
    began = hand.clock.up() + 1.0
    hand.wait(1.0)
    hand.clock.move(2.0)
    hand.session.key("space", began + 0.5)
    hand.wait(0.2)
    assert exposures(hand) == [pytest.approx(began + 2.0, abs=0.01)]
    instants = [event.up for event in hand.journal.events["p1"]]
    assert instants == sorted(instants)


def test_a_zero_that_waits_for_a_handful_wakes_nobody_before_it(hand: KeySession) -> None:
    """The next instant with something to decide is that of the handful, not the zero that has passed."""
    at = zero(hand)
    be_busy_over(hand, at)
    hand.session.key("space", at - 0.1)
    due = hand.session.next_due()
    assert due is not None and due == pytest.approx(hand.clock.up() + 0.06)
