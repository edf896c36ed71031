"""Plates with the same steps, whose numbers stand together. Pure.

Plates of one process with the same steps have as many numbers each: they stand one after another, and those
of a step are every so many of them. So a plate is put in by one call, however many stages it has.
"""

from __future__ import annotations

from array import array
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from darkroom.log.catalogue.trend_plates import Step


class Alike:
    """Plates of one process with the same steps and stars (None: not rated).

    `numbers` are theirs, `width` a plate, as `seen_times` has them; `places` are those of the plates.
    """

    __slots__ = ("numbers", "places", "process", "stars", "steps", "width")

    def __init__(self, process: str, stars: int | None, steps: Sequence[Step]) -> None:
        self.process, self.stars, self.steps = process, stars, steps
        self.width = sum(3 if read else 1 for _, _, _, read in steps)
        self.numbers, self.places = array("d"), array("I")

    def column(self, at: int) -> array[float]:
        """Return the numbers of all plates that stand at a place among those of each."""
        return self.numbers[at :: self.width]


class Column(NamedTuple):
    """A step of plates that are alike: its seconds, and where they were read the °C and the law's seconds
    behind them, stand at the place `at`."""

    plates: Alike
    at: int
    read: bool
    clears: bool


def columns_of(alike: Alike) -> Iterator[tuple[Step, Column]]:
    """Yield each step of plates that are alike, and where its numbers stand."""
    at = 0
    for step in alike.steps:
        _, clears, _, read = step
        yield step, Column(alike, at, read, clears)
        at += 3 if read else 1
