"""The data behind the trends: a few columns of plates and stages, from the catalogue or an export. Pure."""

from __future__ import annotations

from array import array
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from itertools import groupby
from operator import attrgetter
from typing import Any, NamedTuple

import msgspec

from darkroom.exposure.judged import JudgedPlate
from darkroom.log.catalogue.trend_plates import STEPS, Step, seen_times
from darkroom.log.trends.changes import Change
from darkroom.log.trends.fixers import FixFacts
from darkroom.log.trends.points import Points
from darkroom.log.trends.speed import Speeds

Key = str | int
"""What tells the rows of one plate from those of others: its path, or its place among the plates read."""


class PlateFacts(msgspec.Struct, frozen=True, gc=False):
    """One plate; see `PLATE_COLUMNS` of the catalogue."""

    path: Key
    plate: str
    process: str | None = None
    process_sum: str | None = None
    size: str | None = None
    lens: str | None = None
    aperture: str | None = None
    light: str | None = None
    camera: str | None = None
    holder: str | None = None
    fixer: str | None = None
    stars: int | None = None
    exposed: float | None = None
    wet_used: float | None = None
    wet_about: float | None = None
    humidity: float | None = None
    humidity_from: str | None = None
    estimated: int = 0
    number: int | None = None
    day: str | None = None
    moment: float | None = None
    exposure_stops: float | None = None
    best_strip: float | None = None
    exposure_word: str | None = None
    nothing_else: str | None = None


msgspec.json.Decoder(PlateFacts)  # known to msgspec from here on: two threads must not be the first to use it


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


class Times:
    """The times of one stage of one process at one source of temperature: points, and how many assumed.

    `points` are (°C, seconds, the process's seconds or None, plate). `by_star` are the seconds of rated
    plates, at any temperature. The times of a stage that `clears` are those until the plate was clear.
    """

    __slots__ = ("assumed", "by_star", "clears", "points")

    def __init__(self, names: Sequence[str] = ()) -> None:
        """`names` are the ids of the plates, by their places."""
        self.points = Points(names)
        self.assumed = 0
        self.clears = False
        self.by_star: dict[int, array[float]] = {}


def stage_row(stage: StageFacts) -> tuple[Any, ...]:
    """Return a stage as a row of the catalogue from its position on; what trends do not ask for is None."""
    _, _, _, _, name, ends, how, seconds, source, celsius, origin, law, cleared = stage
    return 0, name, ends, None, seconds, how, source, celsius, origin, law, cleared, None


class _Plan:
    """Where the numbers of plates with the same steps of one process go.

    `seconds` are the places of the steps' seconds among a plate's numbers; `read` are (where the points go,
    the place of the seconds) of steps whose temperature was read; `first_read` are (source, the place) of
    those that are the first at a source, `first_assumed` the sources of which the first was assumed.
    `by_star` is {stars: (where a number goes, its place)}.
    """

    __slots__ = ("assumed", "by_star", "first_assumed", "first_read", "read", "seconds", "times")

    def __init__(self, times: list[tuple[Times, bool]], steps: Sequence[Step]) -> None:
        self.times = times
        self.seconds: list[tuple[Times, int]] = []
        self.read: list[tuple[Callable[..., None], int]] = []
        self.assumed: list[Times] = []
        self.first_read: list[tuple[str, int]] = []
        self.first_assumed: list[str] = []
        self.by_star: dict[int, list[tuple[Callable[[float], None], int]]] = {}
        at, sources = 0, set[str]()
        for (_, _, source, read), (own, _) in zip(steps, times, strict=True):
            self.seconds.append((own, at))
            if read:
                self.read.append((own.points.add, at))
            elif source is not None:
                self.assumed.append(own)
            if source is not None and source not in sources:
                sources.add(source)
                if read:
                    self.first_read.append((source, at + 1))
                else:
                    self.first_assumed.append(source)
            at += 3 if read else 1


class Gathered:
    """The times and temperatures of the stages of many plates, added one by one.

    `times` are by (process, stage, source); `celsius_by_star` by (process, source): {stars: °C} of rated
    plates; `assumed` counts the rated plates whose temperature there nobody read.
    """

    def __init__(self, names: list[str] | None = None) -> None:
        """Begin without stages; `names` are the ids of the plates by their places, where they are known."""
        self.names: list[str] = [] if names is None else names
        self.times: dict[tuple[str, str, str | None], Times] = {}
        self.celsius_by_star: dict[tuple[str, str], dict[int, array[float]]] = {}
        self.assumed = Counter[tuple[str, str]]()
        self._plans: dict[tuple[str, bytes], _Plan] = {}
        self._last: _Plan | None = None

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
        self, place: int, process: str | None, stars: int | None, steps: bytes, times: Sequence[float]
    ) -> None:
        """Add the stages of the plate at `place` of `names`: its steps and numbers, see `seen_times`."""
        name = process or "?"
        plan = self._plans.get((name, steps))
        if plan is None:
            plan = self._plans[name, steps] = self._plan(name, STEPS.decode(steps))
        if plan is not self._last:
            self._last = plan
            for own, clears in plan.times:
                own.clears = clears
        for add, at in plan.read:
            add(times[at + 1], times[at], times[at + 2], place)
        for own in plan.assumed:
            own.assumed += 1
        if stars is None:
            return
        for source in plan.first_assumed:
            self.assumed[name, source] += 1
        appends = plan.by_star.get(stars)
        if appends is None:
            appends = plan.by_star[stars] = self._of_stars(plan, name, stars)
        for append, at in appends:
            append(times[at])

    def _plan(self, name: str, steps: Sequence[Step]) -> _Plan:
        of_steps: list[tuple[Times, bool]] = []
        for stage, clears, source, _ in steps:
            key = (name, stage, source)
            times = self.times.get(key)
            if times is None:
                times = self.times[key] = Times(self.names)
            of_steps.append((times, clears))
        return _Plan(of_steps, steps)

    def _of_stars(self, plan: _Plan, name: str, stars: int) -> list[tuple[Callable[[float], None], int]]:
        """Return where the seconds and the temperatures of plates with these stars go, and their places."""
        appends = []
        for own, at in plan.seconds:
            appends.append((own.by_star.setdefault(stars, array("d")).append, at))
        for source, at in plan.first_read:
            # of each plate the temperature of the first stage at a source counts
            by_star = self.celsius_by_star.setdefault((name, source), {})
            appends.append((by_star.setdefault(stars, array("d")).append, at))
        return appends


class Rows(msgspec.Struct):
    """The plates asked for, oldest first, their struck stages, and every stage of the log in a fixer.

    `faults` are {plate: names}; `rooms` are {plate: the mean of the room's readings, °C}: no reading, no
    entry. `unseen` are the plates whose wet time began at an end that no strike saw. A plate is told by its
    `path`, see `Key`. `fixed` counts plates that are not asked for too: a fixer wears by each of them.
    `judged` say their exposure, or are the speeds that they tell. `changes` are those of the bottles that the
    plates asked for used. Many plates come in columns (`plate_columns`), which are gone through as lists are.
    """

    plates: Sequence[PlateFacts] = msgspec.field(default_factory=list)
    stages: Gathered = msgspec.field(default_factory=Gathered)
    fixed: Iterable[FixFacts] = msgspec.field(default_factory=list)
    faults: dict[Key, Sequence[str]] = {}
    rooms: Mapping[Key, float] = msgspec.field(default_factory=dict)
    unseen: set[Key] = set()
    judged: Speeds | Sequence[JudgedPlate] = msgspec.field(default_factory=list)
    changes: list[Change] = []
