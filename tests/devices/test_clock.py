"""The machine's clocks, and an instant of one on the other."""

from __future__ import annotations

import time

from darkroom.devices.clock import Clock
from darkroom.session.protocols import SessionClock
from darkroom.session.rehearsal import FastClock


def off(clock: SessionClock, ago: float, expected: float) -> float:
    """Return how far an instant some seconds ago is from where it is expected: the least of some looks."""
    return min(abs(clock.up_at(time.monotonic() - ago) - (clock.up() - expected)) for _ in range(20))


def test_an_instant_a_moment_ago_is_as_long_ago_on_the_boot_clock() -> None:
    """What happened a quarter of a second ago has an instant so long before now."""
    assert off(Clock(), 0.25, 0.25) < 0.005


def test_an_instant_that_is_yet_to_come_is_now() -> None:
    """A stamp of another source never puts a key into the future."""
    clock = Clock()
    before = clock.up()
    assert before <= clock.up_at(time.monotonic() + 5.0) <= clock.up()


def test_a_moment_ago_is_longer_ago_on_a_fast_clock() -> None:
    """At twenty times the speed a tenth of a second is two."""
    assert off(FastClock(Clock(), 20.0), 0.1, 2.0) < 0.1
