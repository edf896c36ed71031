"""Times over temperatures in columns: a million of them as objects would take ten times the room. Pure."""

from __future__ import annotations

from array import array
from collections.abc import Iterable, Iterator, Sequence
from math import isnan
from typing import overload

from darkroom.log.trends.alike_plates import Column

Point = tuple[float, float, float | None, str]
"""(°C, seconds, the process's seconds or None, plate)."""


FixerPoint = tuple[int, float, str]
"""(plates that the fixer had, this one counted; seconds until clear; plate)."""


class FixerPoints(Sequence[FixerPoint]):
    """Clearing times over the plates of a fixer by their columns."""

    __slots__ = ("counts", "plates", "seconds")

    def __init__(self) -> None:
        self.counts, self.seconds, self.plates = array("I"), array("d"), list[str]()

    def append(self, count: int, seconds: float, plate: str) -> None:
        """Add a point."""
        self.counts.append(count)
        self.seconds.append(seconds)
        self.plates.append(plate)

    def __len__(self) -> int:
        return len(self.plates)

    def __iter__(self) -> Iterator[FixerPoint]:
        return zip(self.counts, self.seconds, self.plates, strict=True)

    @overload
    def __getitem__(self, n: int) -> FixerPoint: ...
    @overload
    def __getitem__(self, n: slice) -> list[FixerPoint]: ...
    def __getitem__(self, n: int | slice) -> FixerPoint | list[FixerPoint]:
        """Return a point."""
        if isinstance(n, slice):
            return list(zip(self.counts[n], self.seconds[n], self.plates[n], strict=True))
        return self.counts[n], self.seconds[n], self.plates[n]

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Sequence) and list(self) == list(other)

    __hash__ = None  # type: ignore[assignment]


class Points(Sequence[Point]):
    """Times over temperatures by their columns, which are those of plates that are alike.

    `names` are the ids of plates by their places. In order of the places; each is given once a column.
    """

    __slots__ = ("_columns", "_order", "names")

    def __init__(self, names: Sequence[str], columns: Sequence[Column]) -> None:
        self.names, self._columns = names, columns
        self._order: array[int] | None = None

    def column(self, behind: int) -> array[float]:
        """Return the seconds (0), the °C (1) or the process's seconds (2), in no order but always the same.

        Where the process says no time its seconds are not a number.
        """
        found = array("d")
        for column in self._columns:
            found.extend(column.plates.column(column.at + behind))
        return found

    @property
    def celsius(self) -> array[float]:
        """The temperatures, in the order of `column`."""
        return self.column(1)

    @property
    def seconds(self) -> array[float]:
        """The times that were taken, in the order of `column`."""
        return self.column(0)

    @property
    def laws(self) -> array[float]:
        """The process's seconds, in the order of `column`; not a number where it says none."""
        return self.column(2)

    def numbers(self) -> Iterator[tuple[float, float, float]]:
        """Yield (°C, seconds, the process's seconds) in order, not a number where it says none."""
        columns = self.celsius, self.seconds, self.laws
        return zip(*(map(column.__getitem__, self._ordered()) for column in columns), strict=True)

    def _places(self) -> array[int]:
        found = array("I")
        for column in self._columns:
            found.extend(column.plates.places)
        return found

    def _ordered(self) -> Iterable[int]:
        """Return where the points stand in `column`, by the places of their plates."""
        if len(self._columns) == 1:
            return range(len(self))
        if self._order is None:
            self._order = array("I", sorted(range(len(self)), key=self._places().__getitem__))
        return self._order

    def __len__(self) -> int:
        return sum(len(column.plates.places) for column in self._columns)

    def __iter__(self) -> Iterator[Point]:
        places = self._places()
        for numbers, n in zip(self.numbers(), self._ordered(), strict=True):
            yield self._point(*numbers, places[n])

    def _point(self, celsius: float, seconds: float, law: float, place: int) -> Point:
        return celsius, seconds, None if isnan(law) else law, self.names[place]

    @overload
    def __getitem__(self, n: int) -> Point: ...
    @overload
    def __getitem__(self, n: slice) -> list[Point]: ...
    def __getitem__(self, n: int | slice) -> Point | list[Point]:
        """Return a point; each call goes through all of them."""
        return list(self)[n]

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Sequence) and list(self) == list(other)

    __hash__ = None  # type: ignore[assignment]
