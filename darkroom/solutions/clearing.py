"""How long a fixer takes to clear, held against the same fixer when it was fresh. Pure.

**Fresh** is the median clearing time of the first plates that a bottle fixed, FIRST of them at most; the
fixers of other bottles never count. A fixer clears faster where it is warmer, so a plate is held against
those of them alone whose fixer was as warm as its own within LIKE °C; one of unknown temperature counts as
alike. The median keeps one press that came late from standing for the fresh fixer.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from statistics import median

import msgspec

from darkroom.process.text.durations import show_duration
from darkroom.solutions.uses import Use

FIRST = 3
"""So many plates are a bottle's first (our own choice: enough for a median)."""
LIKE = 3.0
"""°C by which two fixers may differ and still be held against each other (our own choice)."""
EXHAUSTED = 2.0
"""Times as long as the fresh fixer: exhausted (common practice, no source)."""
SLOW = 1.5
"""Times as long as the fresh fixer: it is said, and nothing is concluded (common practice, no source)."""


class Fresh(msgspec.Struct, frozen=True, kw_only=True):
    """The fresh fixer: its median clearing time in seconds, and of how many plates."""

    seconds: float
    plates: int


def first_uses(uses: Iterable[Use]) -> tuple[Use, ...]:
    """Return the first plates that cleared in the bottle of `uses`, the oldest first, FIRST at most."""
    cleared = [use for use in uses if use.cleared is not None and use.cleared > 0]
    return tuple(sorted(cleared, key=lambda use: (use.instant, use.plate))[:FIRST])


def fresh(uses: Iterable[Use], celsius: float | None = None) -> Fresh | None:
    """Return the fresh fixer at a like temperature, None where no first plate can be held against it.

    `uses` are those of one bottle, `celsius` the temperature of what is compared with it.
    """
    times = [use.cleared for use in first_uses(uses) if use.cleared and _alike(use.celsius, celsius)]
    return Fresh(seconds=median(times), plates=len(times)) if times else None


def _alike(one: float | None, other: float | None) -> bool:
    return one is None or other is None or abs(one - other) <= LIKE


def ratio(use: Use, uses: Sequence[Use]) -> float | None:
    """Return how many times as long as in the fresh fixer a plate took to clear, None where nothing tells.

    `uses` are those of its bottle. A first plate is what fresh means and has no ratio of its own.
    """
    if use.cleared is None or use in first_uses(uses):
        return None
    known = fresh(uses, use.celsius)
    return None if known is None else use.cleared / known.seconds


def last_ratio(uses: Sequence[Use]) -> tuple[Use, float] | None:
    """Return the latest plate that has a ratio, and the ratio."""
    for use in sorted(uses, key=lambda use: use.instant, reverse=True):
        found = ratio(use, uses)
        if found is not None:
            return use, found
    return None


def remark(cleared: float, known: Fresh) -> str | None:
    """Return what is said of a clearing time: `clears in 1:20, fresh 0:40: exhausted`; None for an ordinary
    one.
    """
    times = cleared / known.seconds
    if times < SLOW:
        return None
    text = f"clears in {show_duration(cleared)}, fresh {show_duration(known.seconds)}"
    return f"{text}: exhausted" if times >= EXHAUSTED else f"{text}: slower"
