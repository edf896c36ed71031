"""Times over temperatures in columns: a million of them as objects would take ten times the room. Pure."""

from __future__ import annotations

from array import array
from collections.abc import Iterator, Sequence
from math import isnan, nan
from typing import overload

Point = tuple[float, float, float | None, str]
"""(°C, seconds, the process's seconds or None, plate)."""


class Points(Sequence[Point]):
    """Times over temperatures by their columns; `names` are the ids of plates by their places."""

    __slots__ = ("_values", "names")

    def __init__(self, names: Sequence[str]) -> None:
        self._values, self.names = array("d"), names

    def add(self, celsius: float, seconds: float, law: float | None, place: int) -> None:
        """Add a point."""
        self._values.extend((celsius, seconds, nan if law is None else law, place))

    @property
    def celsius(self) -> array[float]:
        """The temperatures."""
        return self._values[0::4]

    @property
    def seconds(self) -> array[float]:
        """The times that were taken."""
        return self._values[1::4]

    def numbers(self) -> Iterator[tuple[float, float, float]]:
        """Yield (°C, seconds, the process's seconds), not a number where it says none."""
        return zip(self._values[0::4], self._values[1::4], self._values[2::4], strict=True)

    def with_laws(self) -> list[tuple[float, float, float]]:
        """Return (°C, seconds, the process's seconds) of the points that the process says a time of."""
        return [point for point in self.numbers() if point[2] > 0]

    def __len__(self) -> int:
        return len(self._values) // 4

    def __iter__(self) -> Iterator[Point]:
        for numbers, place in zip(self.numbers(), self._values[3::4], strict=True):
            yield self._point(*numbers, place)

    def _point(self, celsius: float, seconds: float, law: float, place: float) -> Point:
        return celsius, seconds, None if isnan(law) else law, self.names[int(place)]

    @overload
    def __getitem__(self, n: int) -> Point: ...
    @overload
    def __getitem__(self, n: slice) -> list[Point]: ...
    def __getitem__(self, n: int | slice) -> Point | list[Point]:
        """Return a point."""
        if isinstance(n, slice):
            return [self[number] for number in range(*n.indices(len(self)))]
        first = 4 * range(len(self))[n]
        return self._point(*self._values[first : first + 4])

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Sequence) and list(self) == list(other)

    __hash__ = None  # type: ignore[assignment]
