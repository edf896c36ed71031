"""When every file of the log was looked at last, so that the next command need not do it again.

A look holds for a minute. Two clocks must agree that no more has passed: that of the boot it was made in,
and the wall's. Another boot, another machine on a shared disk, a wall clock that was set, a saved state of
a virtual machine: each lets one of them disagree, and the look counts as unknown.
"""

from __future__ import annotations

import time

import msgspec

from darkroom.log.store import paths

HOLDS = 60.0
"""A line added by hand shows within so many seconds."""


class LastLook(msgspec.Struct, frozen=True):
    """A moment by two clocks: `up` in seconds of the boot named `boot`, `wall` in seconds since the epoch."""

    boot: str
    up: float
    wall: float


_READER = msgspec.json.Decoder(LastLook)


def now() -> LastLook:
    """Return this moment."""
    return LastLook(paths.boot_id(), _up(), time.time())


def _up() -> float:
    """Return a clock that no hand sets; where there is one, one that goes on while the machine sleeps.

    Elsewhere the wall clock alone tells of a sleep. (`devices.clock` is out of reach of the log.)
    """
    clock: int | None = getattr(time, "CLOCK_BOOTTIME", None)
    return time.monotonic() if clock is None else time.clock_gettime(clock)


def as_text(look: LastLook) -> str:
    """Return a moment as the catalogue keeps it."""
    return msgspec.json.encode(look).decode()


def holds(text: str | None, at: LastLook) -> bool:
    """Whether a look that began at the moment in `text` still holds at `at`; not where it is unknown."""
    if text is None:
        return False
    try:
        look = _READER.decode(text)
    except msgspec.DecodeError:
        return False
    return look.boot == at.boot and 0 <= at.up - look.up < HOLDS and 0 <= at.wall - look.wall < HOLDS
