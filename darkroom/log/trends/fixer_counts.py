"""How many plates each fixer had, from one stage in a fixer to the next. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from darkroom.log.trends.facts import Key
from darkroom.log.trends.fixers import FixFacts
from darkroom.log.trends.plate_columns import members

FixerKey = tuple[str | None, str | None]
"""What tells one fixer from another: the bottle's id and None, without one None and the name."""


def fixer_counts(fixed: Iterable[FixFacts]) -> Iterator[tuple[FixerKey, int]]:
    """Yield of each stage its fixer, and how many plates that had, this one counted.

    A plate that was in it twice counts once: the stages of one plate follow each other.
    """
    counts: dict[FixerKey, int] = {}
    last: dict[FixerKey, Key] = {}
    for path, bottle, fixer in members(fixed, "path", "bottle", "fixer"):
        key = (None, fixer) if bottle is None else (bottle, None)
        if last.get(key) != path:
            last[key] = path
            counts[key] = counts.get(key, 0) + 1
        yield key, counts[key]
