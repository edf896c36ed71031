"""The axes of a plot: values to places, and round values to write beside them. Pure."""

from __future__ import annotations

import math
from datetime import date
from typing import Literal

import msgspec

from darkroom.process.text.durations import say_duration, show_duration

Unit = Literal["s", "°C", "%", "share", "plates", "stars", "names", "stops", "days", "date"]
"""Seconds, degrees, per cent, a share of 1 shown in per cent, counts, stars, one place for each name, stops
of light, days, or dates as proleptic ordinals."""
_CLOCK = (1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 300.0, 600.0, 900.0, 1800.0, 3600.0, 7200.0, 14400.0,
          43200.0, 86400.0)  # fmt: skip
_ON_A_LOG = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 30.0, 60.0, 120.0, 300.0, 600.0, 1200.0, 1800.0,
             3600.0, 7200.0, 14400.0, 43200.0, 86400.0)  # fmt: skip
_DAYS = (1.0, 2.0, 7.0, 14.0, 30.0, 60.0, 91.0, 182.0, 365.0, 730.0, 1826.0, 3652.0)
ONE_SEASON = 300.0
"""Dates within so many days are written as month and day."""
WIDE = 15.0
"""Times that differ by more than so many times stand on a logarithmic axis."""


class Scale(msgspec.Struct, frozen=True, kw_only=True):
    """An axis from `least` to `most`; `names` are written at 0, 1, 2 … where the unit is names."""

    label: str
    unit: Unit
    least: float
    most: float
    logarithmic: bool = False
    names: tuple[str, ...] = ()

    def place(self, value: float) -> float:
        """Return where a value stands, 0 at the least and 1 at the most."""
        if self.logarithmic:
            return math.log(max(value, 1e-9) / self.least) / math.log(self.most / self.least)
        return (value - self.least) / (self.most - self.least)

    def ticks(self, most: int) -> list[tuple[float, str]]:
        """Return at most `most` (value, what is written there), ascending."""
        if self.unit == "names":
            return [(float(n), name) for n, name in enumerate(self.names)]
        values = self._log_ticks() if self.logarithmic else self._ticks(max(2, most))
        return [(value, self.say(value)) for value in _thinned(values, most)]

    def _ticks(self, most: int) -> list[float]:
        least, end = self.least, self.most
        span = end - least
        if self.unit == "s" and span > 5:
            steps: tuple[float, ...] = _CLOCK
        elif self.unit in ("days", "date"):
            steps = _DAYS
        else:
            power = 10.0 ** math.floor(math.log10(span / most))
            steps = tuple(times * power for times in (1, 2, 5, 10, 20, 50))
            if self.unit in ("stars", "plates"):
                steps = tuple(step for step in steps if step >= 1) or (1.0,)
        step = next((step for step in steps if span / step <= most - 1), steps[-1])
        first = math.ceil(least / step - 1e-9)
        return [round(n * step, 9) for n in range(first, math.floor(end / step + 1e-9) + 1)]

    def _log_ticks(self) -> list[float]:
        return [value for value in _ON_A_LOG if self.least <= value <= self.most]

    def say(self, value: float) -> str:
        """Return a value as it is written at the axis."""
        if self.unit == "s":
            return say_duration(value) if self.most <= 5 or 0 < value < 1 else show_duration(value)
        if self.unit == "share":
            return f"{100 * value:.4g} %"
        if self.unit == "%":
            return f"{value:.4g} %"
        if self.unit == "stops":
            return f"{value:+.3g}" if value else "0"
        if self.unit == "date":
            return _date_text(value, self.most - self.least)
        return f"{value:.6g}"


def _thinned(values: list[float], most: int) -> list[float]:
    step = max(1, math.ceil(len(values) / max(1, most)))
    return values[::step]


def scale(label: str, unit: Unit, values: list[float], from_zero: bool = False) -> Scale:
    """Return an axis on which all values stand, with a little room at its ends."""
    least, most = min(values), max(values)
    if unit == "s" and least > 0 and most / least > WIDE:
        return Scale(label=label, unit=unit, least=least / 1.05, most=most * 1.05, logarithmic=True)
    margin = 0.03 * (most - least) or 0.5 * abs(most) or 0.5
    if unit == "plates":
        margin = max(margin, 1.0)
    if unit == "stars":
        margin = 0.5
    low = 0.0 if from_zero else least - margin
    if least >= 0 and unit not in ("°C", "stars", "stops"):
        low = max(0.0, low)
    return Scale(label=label, unit=unit, least=low, most=most + margin)


def dates(label: str, ordinals: list[float]) -> Scale:
    """Return an axis of dates; of one season the label has the years and the ticks month and day."""
    axis = scale(label, "date", ordinals)
    if axis.most - axis.least > ONE_SEASON:
        return axis
    first, last = (date.fromordinal(int(end)).year for end in (min(ordinals), max(ordinals)))
    years = str(first) if first == last else f"{first} to {last}"
    return msgspec.structs.replace(axis, label=f"{label}, {years}")


def _date_text(ordinal: float, span: float) -> str:
    try:
        day = date.fromordinal(round(ordinal))
    except (ValueError, OverflowError):
        return ""
    return day.isoformat()[5:] if span <= ONE_SEASON else day.isoformat()[:7]


def named(label: str, names: tuple[str, ...]) -> Scale:
    """Return an axis with one place for each name."""
    return Scale(label=label, unit="names", least=-0.5, most=len(names) - 0.5, names=names)
