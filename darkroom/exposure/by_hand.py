"""What a hand can do with a cap or the dark slide: the shortest opening, and what helps where it is too long.

Pure. These are remarks for who opens the lens by hand: a time that is typed stays as it is typed.
"""

from __future__ import annotations

from math import ceil, log2

SHORTEST = 1.0
"""A cap or a dark slide opens for so many seconds at least. Common practice, no source."""
CALM = 2.0
"""From so many seconds on a hand is no great part of the time. Common practice, no source."""
_GRAIN = 2
"""Stops are told in halves."""


def is_too_short(seconds: float) -> bool:
    """Return whether a time, read to two figures, is shorter than a hand opens the lens."""
    return float(f"{seconds:.2g}") < SHORTEST


def stops_to_lose(seconds: float) -> float:
    """Return by how many stops, in halves, light has to be lost for a time to be `CALM` at least."""
    return max(0.0, ceil(_GRAIN * log2(CALM / seconds) - 1e-9) / _GRAIN)


def too_short(seconds: float) -> str | None:
    """Return what to do about a time that no hand opens the lens for; None for one that it does."""
    if not is_too_short(seconds):
        return None
    stops = stops_to_lose(seconds)
    return f"too short by hand: stop down {stops:g} stops, or take a filter"
