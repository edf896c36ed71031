"""How long a plate stays wet: by the air's vapour-pressure deficit, from one known case. Pure.

A film of water dries as fast as the air takes it: the rate is proportional to the deficit (Dalton's
law), so a time known at one temperature and humidity gives the others. Between the readings the
drying is integrated; a reading that comes while a plate dries may shorten what is left, never
lengthen it; and no plate is believed wet beyond the window's `longest`. A time typed by the
photographer wins over all of it.

A trace is a sequence of (instant in seconds, °C, per cent), ascending; each holds until the next,
the first covers everything before it, the last goes on.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import lru_cache

from darkroom.process.model import WetWindow

AirTrace = Sequence[tuple[float, float, float]]


def saturation(celsius: float) -> float:
    """Return the vapour pressure of water at saturation, in Pa (Buck 1996, over water)."""
    return 611.21 * math.exp((18.678 - celsius / 234.5) * celsius / (257.14 + celsius))


def deficit(celsius: float, percent: float) -> float:
    """Return what the air still takes, in Pa; `percent` outside 0 to 100 counts as the end of it."""
    return saturation(celsius) * (1 - min(100.0, max(0.0, percent)) / 100)


@lru_cache(maxsize=4096)
def window_seconds(window: WetWindow, celsius: float, percent: float) -> float:
    """Return how long a plate stays wet in such air, at most `window.longest`."""
    known = window.time * deficit(window.temperature, window.humidity)
    least = known / window.longest
    return known / max(least, deficit(celsius, percent))


def _segments(window: WetWindow, trace: AirTrace, start: float) -> Iterator[tuple[float, float, float]]:
    """Yield (from, until, seconds a whole window takes) from `start` on, never slower than before."""
    if not trace:
        raise ValueError("a trace needs at least one reading")
    begin, quickest = start, math.inf
    now = trace[0]
    for reading in trace:
        if reading[0] > begin:
            quickest = min(quickest, window_seconds(window, now[1], now[2]))
            yield begin, reading[0], quickest
            begin = reading[0]
        now = reading
    yield begin, math.inf, min(quickest, window_seconds(window, now[1], now[2]))


def dry_at(window: WetWindow, trace: AirTrace, start: float, typed: float | None = None) -> float:
    """Return the instant at which a plate wet since `start` is past wet, the last reading going on."""
    if typed is not None:
        return start + typed
    fraction = 0.0
    for begin, until, seconds in _segments(window, trace, start):
        share = (until - begin) / seconds
        if fraction + share >= 1:
            return begin + (1 - fraction) * seconds
        fraction += share
    raise AssertionError("the last reading lasts for ever")


def dried(window: WetWindow, trace: AirTrace, start: float, now: float, typed: float | None = None) -> float:
    """Return how much of the wet time is used at `now`: 0 at `start`, 1 when past wet, more after it."""
    if now <= start:
        return 0.0
    if typed is not None:
        return (now - start) / typed
    fraction = 0.0
    for begin, until, seconds in _segments(window, trace, start):
        fraction += (min(until, now) - begin) / seconds
        if until >= now:
            break
    return fraction
