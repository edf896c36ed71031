"""The good plate that is most like one that failed. Pure.

It may have been made later: the first good plate after a change differs in little else.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from darkroom.faults.history import PlateFigures, stops_of
from darkroom.faults.runs import marked, same_bottle

GOOD_STARS = 4
"""A plate with so many stars is good whatever else was marked on it."""
POOR_STARS = 2
"""A plate with no more stars than this is not good, though nothing was marked on it."""
_UNKNOWN = 0.5
"""How unlike two plates count in what only one of them tells; 1 is plainly unlike, MOST_UNLIKE the most."""
_OTHER_FAULT = 1.0
"""A good plate with another fault counts as plainly unlike in one thing more."""
MOST_UNLIKE = 4.0
"""One thing alone makes two plates no more unlike than this."""
_CELSIUS, _PERCENT, _STOPS, _DAYS = 5.0, 20.0, 1.0, 14.0
"""What is plainly unlike in a temperature, the humidity, the exposure, the time between (our own choice).

Time counts since light, water and hand change with it, which the record does not tell.
"""


def nearest_good(plate: PlateFigures, history: Sequence[PlateFigures], faults: Collection[str]) -> str | None:
    """Return the id of the good plate of this process that is most like this one; None without any.

    Good is a judged plate without any fault, or one with GOOD_STARS and none of these faults. Alike is told
    by exposure, temperatures, humidity, bottles, holder, camera and time; of two that are as like, the one
    nearer in time is taken, then the earlier.
    """
    good = [
        other
        for other in history
        if other.plate != plate.plate and other.process == plate.process and is_good(other, faults)
    ]
    nearest = min(
        good,
        key=lambda other: (
            round(unlike(plate, other) + (_OTHER_FAULT if other.faults else 0.0), 9),
            abs(other.instant - plate.instant),
            other.instant,
        ),
        default=None,
    )
    return None if nearest is None else nearest.plate


def is_good(plate: PlateFigures, faults: Collection[str]) -> bool:
    """Return whether a judged plate can stand for what should have been."""
    if not plate.judged or marked(plate, faults):
        return False
    if plate.faults:
        return plate.stars is not None and plate.stars >= GOOD_STARS
    return plate.stars is None or plate.stars > POOR_STARS


def unlike(one: PlateFigures, other: PlateFigures) -> float:
    """Return how unlike two plates are, 0 for the same in all that both tell."""
    return sum(min(MOST_UNLIKE, difference) for difference in _differences(one, other))


def _differences(one: PlateFigures, other: PlateFigures) -> Iterator[float]:
    yield _apart(stops_of(one.exposed), stops_of(other.exposed), _STOPS)
    for source in sorted({*one.temperatures, *other.temperatures}):
        yield _apart(one.temperatures.get(source), other.temperatures.get(source), _CELSIUS)
    yield _apart(one.humidity, other.humidity, _PERCENT)
    for role in sorted({*one.bottles, *other.bottles}):
        mine, theirs = one.bottles.get(role), other.bottles.get(role)
        if mine is None or theirs is None:
            yield _UNKNOWN
        else:
            yield 0.0 if same_bottle(mine, theirs) else 1.0
    yield from (_UNKNOWN for name in ("holder", "camera") if getattr(one, name) != getattr(other, name))
    yield _apart(one.instant / 86400, other.instant / 86400, _DAYS)


def _apart(one: float | None, other: float | None, plainly: float) -> float:
    """Return how far apart two figures are, in units of what is plainly unlike."""
    if one is None and other is None:
        return 0.0
    if one is None or other is None:
        return _UNKNOWN
    return abs(one - other) / plainly
