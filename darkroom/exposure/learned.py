"""What was learned from judged plates for the plate to come, as plain values. Pure.

Speeds are log2 of the plate's own speed on the ISO scale, in stops above ISO 1; bounds are those of the 80 %
interval for that one plate.
"""

from __future__ import annotations

import math

import msgspec

from darkroom.exposure.judged import LeftOut


class WeighingPlate(msgspec.Struct, frozen=True, kw_only=True):
    """A judged plate with its weight: how many stops the proposal moves for each that its judgement moves."""

    plate: str
    number: int
    weight: float


class UnfittingPlate(msgspec.Struct, frozen=True, kw_only=True):
    """A judged plate that the others contradict.

    `said_low` and `said_high` are the stops more that it wanted by its judgement, `expected` those by all the
    other plates; `chance` is how likely it slipped, 0.5 to 1.
    """

    plate: str
    number: int
    said_low: float
    said_high: float
    expected: float
    chance: float


class Disagreement(msgspec.Struct, frozen=True, kw_only=True):
    """Two plates of one day that lie `stops` apart when what differed between them is allowed for."""

    plates: tuple[str, str]
    numbers: tuple[int, int]
    stops: float


class Learned(msgspec.Struct, frozen=True, kw_only=True):
    """The proposal for one plate: its speed and its time, and what stands behind them.

    `low`, `middle`, `high` are log2 of the speed: 10, 50 and 90 % of what it may be. `seconds` is the time at
    the middle, `seconds_low` the shortest (at the highest speed); all three are None without f-number or any
    light. `plates` counts the judged plates behind it. `left_out` are plates that say no speed, with the
    reason; `assumed` are sentences on what was assumed.
    """

    low: float
    middle: float
    high: float
    seconds_low: float | None
    seconds: float | None
    seconds_high: float | None
    plates: int
    left_out: tuple[LeftOut, ...] = ()
    weigh: tuple[WeighingPlate, ...] = ()
    unfitting: tuple[UnfittingPlate, ...] = ()
    disagree: tuple[Disagreement, ...] = ()
    assumed: tuple[str, ...] = ()

    @property
    def speed(self) -> float:
        """The speed at the middle, as a number on the ISO scale."""
        return math.exp2(self.middle)

    @property
    def speed_low(self) -> float:
        """The slowest speed of the interval, as a number on the ISO scale."""
        return math.exp2(self.low)

    @property
    def speed_high(self) -> float:
        """The fastest speed of the interval, as a number on the ISO scale."""
        return math.exp2(self.high)
