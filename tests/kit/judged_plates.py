"""Judged plates to tell learning, all alike but for what a test changes."""

from __future__ import annotations

from typing import Any

import msgspec

from darkroom.exposure.judged import Conditions, JudgedPlate
from darkroom.exposure.learned import Learned

USUAL = Conditions(
    process="clear glass",
    day="2026-05-14",
    lens="petzval",
    light="shade",
    kind="shade",
    ev=11.0,
    ev_from="meter",
    f_number=5.6,
    batch="C-4",
    age=12.0,
    developer=20.0,
)
"""A metered plate of which everything is known."""


def conditions(**changes: Any) -> Conditions:
    """Return the usual conditions with changes."""
    return msgspec.structs.replace(USUAL, **changes)


def judged(
    number: int, stops: float = 0.0, given: float = 6.0, half: float = 0.25, **changes: Any
) -> JudgedPlate:
    """Return a plate that wanted so many stops more than it was given, `half` to either side."""
    return JudgedPlate(
        plate=f"plate-{number}",
        number=number,
        conditions=conditions(**changes),
        given=given,
        low=stops - half,
        high=stops + half,
    )


def open_ended(number: int, low: float, high: float, **changes: Any) -> JudgedPlate:
    """Return a plate judged between two bounds, which may be infinite."""
    return msgspec.structs.replace(judged(number, **changes), low=low, high=high)


def width(learned: Learned) -> float:
    """Return the stops from the low bound to the high one."""
    return learned.high - learned.low


def time(learned: Learned) -> float:
    """Return the proposed seconds, which must be there."""
    assert learned.seconds is not None
    return learned.seconds
