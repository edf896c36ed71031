"""The times and temperatures of the stages of many plates, in columns. Pure."""

from __future__ import annotations

from array import array
from collections import Counter
from collections.abc import Iterable, Sequence
from itertools import groupby
from operator import attrgetter
from typing import Any, NamedTuple

from darkroom.log.catalogue.trend_plates import STEPS, seen_times
from darkroom.log.trends.alike_plates import Alike, Column, columns_of
from darkroom.log.trends.points import Points

ByStar = dict[int, "array[float]"]
"""{stars: the values of the plates that have them}, in no order."""


class StageFacts(NamedTuple):
    """One stage of a plate; see `STAGE_COLUMNS` of the catalogue."""

    path: str
    plate: str
    process: str | None
    stars: int | None
    stage: str
    ends: str | None
    how: str | None
    seconds: float | None
    source: str | None = None
    celsius: float | None = None
    origin: str | None = None
    law: float | None = None
    cleared: float | None = None


def stage_row(stage: StageFacts) -> tuple[Any, ...]:
    """Return a stage as a row of the catalogue from its position on; what trends do not ask for is None."""
    _, _, _, _, name, ends, how, seconds, source, celsius, origin, law, cleared = stage
    return 0, name, ends, None, seconds, how, source, celsius, origin, law, cleared, None


class Times:
    """The times of one stage of one process at one source of temperature, in columns; see `Gathered`."""

    __slots__ = ("_names", "_source", "columns")

    def __init__(self, names: Sequence[str], source: str | None) -> None:
        """`names` are the ids of the plates, by their places."""
        self._names, self._source = names, source
        self.columns: list[Column] = []

    @property
    def points(self) -> Points:
        """The (°C, seconds, the process's seconds or None, plate) where the temperature was read."""
        return Points(self._names, [column for column in self.columns if column.read])

    @property
    def assumed(self) -> int:
        """How many temperatures were assumed."""
        if self._source is None:
            return 0
        return sum(len(column.plates.places) for column in self.columns if not column.read)

    @property
    def clears(self) -> bool:
        """Whether the times are those until the plate was clear, as of the last plate."""
        return max(self.columns, key=lambda column: (column.plates.places[-1], column.at)).clears

    def by_star(self) -> ByStar:
        """Return the seconds of rated plates, at any temperature."""
        return _by_star(self.columns)


def _by_star(columns: Iterable[Column], behind: int = 0) -> ByStar:
    """Return by their stars the numbers of rated plates that stand so many behind the seconds."""
    found: ByStar = {}
    for plates, at, _, _ in columns:
        if plates.stars is not None:
            found.setdefault(plates.stars, array("d")).extend(plates.column(at + behind))
    return found


class Gathered:
    """The times and temperatures of the stages of many plates, added one by one."""

    def __init__(self, names: list[str] | None = None) -> None:
        """Begin without stages; `names` are the ids of the plates by their places, where they are known."""
        self.names: list[str] = [] if names is None else names
        self._alike: dict[tuple[str | None, int | None, bytes], Alike] = {}

    def take(self, stages: Iterable[StageFacts]) -> None:
        """Add stages; those of one plate follow each other, in their order."""
        for _, of_plate in groupby(stages, key=attrgetter("path")):
            rows = list(of_plate)
            self.add_plate(rows[0].plate, rows[0].process, rows[0].stars, map(stage_row, rows))

    def add_plate(
        self, plate: str, process: str | None, stars: int | None, stages: Iterable[Sequence[Any]]
    ) -> None:
        """Add the stages of a further plate, by its id; they are as `seen_times` has them."""
        self.names.append(plate)
        self.take_plate(len(self.names) - 1, process, stars, *seen_times(stages))

    def take_plate(
        self, place: int, process: str | None, stars: int | None, steps: bytes, times: list[float]
    ) -> None:
        """Add the stages of the plate at `place` of `names`: its steps and numbers, see `seen_times`.

        Places ascend.
        """
        key = (process, stars, steps)
        alike = self._alike.get(key)
        if alike is None:
            alike = self._alike[key] = Alike(process or "?", stars, STEPS.decode(steps))
        alike.places.append(place)
        alike.numbers.fromlist(times)

    @property
    def times(self) -> dict[tuple[str, str, str | None], Times]:
        """The times by (process, stage, source), in the order of their first plates."""
        found: dict[tuple[str, str, str | None], Times] = {}
        for alike in self._alike.values():
            for (stage, _, source, _), column in columns_of(alike):
                key = (alike.process, stage, source)
                if key not in found:
                    found[key] = Times(self.names, source)
                found[key].columns.append(column)
        return found

    def celsius_by_star(self) -> tuple[dict[tuple[str, str], ByStar], Counter[tuple[str, str]]]:
        """Return the °C of rated plates by (process, source), and how many of them nobody read.

        Of each plate the first stage at a source counts.
        """
        read: dict[tuple[str, str], list[Column]] = {}
        assumed = Counter[tuple[str, str]]()
        for alike in self._alike.values():
            sources = set[str]()
            for (_, _, source, _), column in columns_of(alike):
                if alike.stars is None or source is None or source in sources:
                    continue
                sources.add(source)
                if column.read:
                    read.setdefault((alike.process, source), []).append(column)
                else:
                    assumed[alike.process, source] += len(alike.places)
        return {key: _by_star(columns, behind=1) for key, columns in read.items()}, assumed
