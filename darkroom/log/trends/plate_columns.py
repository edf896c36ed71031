"""The plates behind the trends in columns: as objects they would take ten times the room."""

from __future__ import annotations

from array import array
from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from math import isnan, nan
from operator import attrgetter
from typing import Any, Protocol, overload

from darkroom.log.trends.facts import Key, PlateFacts
from darkroom.log.trends.fixers import FixFacts

AT_ONCE = 1024
"""So many rows wait to be put into the columns together."""
NOT_THERE = -(1 << 63)
"""Stands for None among whole numbers."""


class Column(Protocol):
    """One value of each row."""

    def extend(self, values: Sequence[Any], /) -> None:
        """Add values."""

    def __getitem__(self, n: int, /) -> Any:
        """Return the value of row n."""

    def __iter__(self) -> Iterator[Any]:
        """Yield all values."""


class Words:
    """A column in which few values stand again and again, each kept once.

    A value comes back as it was first given, so a column has values of one type, or None. Of each row
    it keeps the place of its value, in one, two or four bytes by how many values there are.
    """

    def __init__(self) -> None:
        self._places, self._values = array("B"), list[Any]()
        self._place_of: dict[Hashable, int] = {}

    def extend(self, values: Sequence[Any]) -> None:
        """Add values."""
        for value in set(values).difference(self._place_of):
            self._place_of[value] = len(self._values)
            self._values.append(value)
        room = "B" if len(self._values) <= 1 << 8 else "H" if len(self._values) <= 1 << 16 else "I"
        if room != self._places.typecode:
            self._places = array(room, self._places)
        self._places.extend(map(self._place_of.__getitem__, values))

    def __getitem__(self, n: int) -> Any:
        return self._values[self._places[n]]

    def __iter__(self) -> Iterator[Any]:
        return map(self._values.__getitem__, self._places)


class Numbers:
    """A column of numbers or None."""

    def __init__(self) -> None:
        self._values = array("d")

    def extend(self, values: Sequence[float | None]) -> None:
        """Add numbers."""
        self._values.extend([nan if value is None else value for value in values])

    def __getitem__(self, n: int) -> float | None:
        value = self._values[n]
        return None if isnan(value) else value

    def __iter__(self) -> Iterator[float | None]:
        return (None if isnan(value) else value for value in self._values)


class WholeNumbers:
    """A column of whole numbers, as large as a table can keep, or None: a larger one is kept as text."""

    def __init__(self) -> None:
        self._values = array("q")

    def extend(self, values: Sequence[int | None]) -> None:
        """Add numbers."""
        self._values.extend([value if isinstance(value, int) else NOT_THERE for value in values])

    def __getitem__(self, n: int) -> int | None:
        value = self._values[n]
        return None if value == NOT_THERE else value

    def __iter__(self) -> Iterator[int | None]:
        return (None if value == NOT_THERE else value for value in self._values)


class Columns:
    """Rows in columns of one length; `order` is None or another order than that in which they were added."""

    def __init__(self, columns: Sequence[Column]) -> None:
        self.columns = tuple(columns)
        self.order: array[int] | None = None
        self.count = 0
        self._waiting: list[Sequence[Any]] = []

    def append(self, values: Sequence[Any]) -> None:
        """Add a row."""
        self.count += 1
        self._waiting.append(values)
        if len(self._waiting) == AT_ONCE:
            self.settle()

    def settle(self) -> None:
        """Put the rows that wait into the columns."""
        if self._waiting:
            for column, values in zip(self.columns, zip(*self._waiting, strict=True), strict=True):
                column.extend(values)
            self._waiting.clear()

    def in_order_of(self, keys: Sequence[str]) -> None:
        """Have the rows gone through by ascending keys; rows of one key stay as they were added."""
        self.settle()
        if any(map(str.__gt__, keys, keys[1:])):
            self.order = array("I", sorted(range(len(keys)), key=keys.__getitem__))

    def rows(self, *numbers: int) -> Iterator[tuple[Any, ...]]:
        """Yield the rows as tuples of the columns of these numbers, or of all."""
        return zip(*map(self.column, numbers or range(len(self.columns))), strict=True)

    def column(self, number: int) -> Iterable[Any]:
        """Return the values of the rows in the column of this number."""
        column = self.columns[number]
        return column if self.order is None else map(column.__getitem__, self.order)

    def places(self) -> Iterable[int]:
        """Return the places of the rows among those that were added, in their order."""
        return range(self.count) if self.order is None else self.order

    def place(self, n: int) -> int:
        """Return the place of row n in the order."""
        return range(self.count)[n] if self.order is None else self.order[n]


_NUMBERS = ("exposed", "wet_used", "wet_about", "moment")
"""The members of `PlateFacts` that are another number for nearly every plate."""
_MEMBERS = {name: n for n, name in enumerate(PlateFacts.__struct_fields__[1:])}


def _column(name: str) -> Column:
    if name == "number":
        return WholeNumbers()
    return Numbers() if name in _NUMBERS else Words()


class PlateColumns(Sequence[PlateFacts]):
    """Plates by their columns. The `path` of each is its place among those that were added."""

    def __init__(self) -> None:
        """Begin without plates."""
        self.ids: list[str] = []
        """The plates' ids, in the order in which they were added; the last ones may not be there yet."""
        self._columns = Columns([self.ids, *map(_column, [*_MEMBERS][1:])])

    def append(self, values: Sequence[Any]) -> None:
        """Add a plate: the members of `PlateFacts` from `plate` on."""
        self._columns.append(values)

    def by_id(self) -> None:
        """Have them gone through by their ids, after the last was added."""
        self._columns.settle()
        self._columns.in_order_of(self.ids)

    def members(self, *names: str) -> Iterator[tuple[Any, ...]]:
        """Yield of each plate these members, without making the rest of it."""
        columns = self._columns
        return zip(
            *(columns.places() if name == "path" else columns.column(_MEMBERS[name]) for name in names),
            strict=True,
        )

    def __len__(self) -> int:
        return self._columns.count

    def __iter__(self) -> Iterator[PlateFacts]:
        for place, values in zip(self._columns.places(), self._columns.rows(), strict=True):
            yield PlateFacts(place, *values)

    @overload
    def __getitem__(self, n: int) -> PlateFacts: ...
    @overload
    def __getitem__(self, n: slice) -> list[PlateFacts]: ...
    def __getitem__(self, n: int | slice) -> PlateFacts | list[PlateFacts]:
        """Return a plate by its number in the order of going through them."""
        if isinstance(n, slice):
            return [self[number] for number in range(*n.indices(len(self)))]
        place = self._columns.place(n)
        values: list[Any] = [column[place] for column in self._columns.columns]
        return PlateFacts(place, *values)


class FixColumns(Iterable[FixFacts]):
    """Stages in a fixer by their columns."""

    def __init__(self) -> None:
        """Begin without stages."""
        self._plates: list[str] = []
        words = (Words() for _ in range(4))
        self._columns = Columns(
            [WholeNumbers(), self._plates, next(words), next(words), Numbers(), next(words), next(words)]
        )

    def append(self, values: Sequence[Any]) -> None:
        """Add a stage: the members of `FixFacts`."""
        self._columns.append(values)

    def by_plate(self) -> None:
        """Have them gone through by the ids of their plates, after the last was added."""
        self._columns.settle()
        self._columns.in_order_of(self._plates)

    def members(self, *names: str) -> Iterator[tuple[Any, ...]]:
        """Yield of each stage these members, without making the rest of it."""
        return self._columns.rows(*map(FixFacts.__struct_fields__.index, names))

    def __len__(self) -> int:
        return self._columns.count

    def __iter__(self) -> Iterator[FixFacts]:
        for values in self._columns.rows():
            yield FixFacts(*values)


def members(rows: Iterable[PlateFacts] | Iterable[FixFacts], *names: str) -> Iterator[tuple[Any, ...]]:
    """Yield of each plate or stage two members or more; of those in columns nothing else is made."""
    if isinstance(rows, PlateColumns | FixColumns):
        return rows.members(*names)
    return map(attrgetter(*names), rows)


class ByPlace(Mapping[Key, float]):
    """A number of some plates, by their places."""

    def __init__(self) -> None:
        """Begin without plates."""
        self._numbers = array("d")

    def put(self, place: int, number: float) -> None:
        """Tell the number of a plate; places ascend."""
        if place > len(self._numbers):
            self._numbers.extend([nan] * (place - len(self._numbers)))
        self._numbers.append(number)

    def get(self, place: Any, default: Any = None) -> Any:
        """Return the number of a plate, `default` without one."""
        number = self._numbers[place] if place < len(self._numbers) else nan
        return default if isnan(number) else number

    def __contains__(self, place: object) -> bool:
        return self.get(place) is not None

    def __getitem__(self, place: Key) -> float:
        number = self.get(place)
        if number is None:
            raise KeyError(place)
        return float(number)

    def __iter__(self) -> Iterator[Key]:
        return (place for place, number in enumerate(self._numbers) if not isnan(number))

    def __len__(self) -> int:
        return sum(1 for _ in self)
