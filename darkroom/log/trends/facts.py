"""The data behind the trends: a few columns of plates and stages, from the catalogue or an export. Pure."""

from __future__ import annotations

from array import array
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from itertools import groupby
from operator import attrgetter
from typing import Any, NamedTuple

import msgspec

from darkroom.exposure.judged import JudgedPlate
from darkroom.log.trends.changes import Change
from darkroom.log.trends.fixers import FixFacts
from darkroom.log.trends.points import Points
from darkroom.log.trends.speed import Speeds
from darkroom.process.text.temperatures import COLDEST, HOTTEST

MOST = 1e7
"""A time of more seconds is taken for a typing error."""
SEEN = ("strike", "short")
"""Ends of stages that a strike saw; no others count in trends."""
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
    """Return a stage as a row of the catalogue, of which nothing that trends do not ask for is there."""
    path, _, _, _, name, ends, how, seconds, source, celsius, origin, law, cleared = stage
    return path, 0, name, ends, None, seconds, how, source, celsius, origin, law, cleared, None, 0


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

    def take(self, stages: Iterable[StageFacts]) -> None:
        """Add stages; those of one plate follow each other, in their order."""
        for _, of_plate in groupby(stages, key=attrgetter("path")):
            rows = list(of_plate)
            self.add_plate(rows[0].plate, rows[0].process, rows[0].stars, map(stage_row, rows))

    def add_plate(
        self, plate: str, process: str | None, stars: int | None, stages: Iterable[Sequence[Any]]
    ) -> None:
        """Add the stages of a further plate, by its id; they are as `take_plate` has them."""
        self.names.append(plate)
        self.take_plate(len(self.names) - 1, process, stars, stages)

    def take_plate(
        self, place: int, process: str | None, stars: int | None, stages: Iterable[Sequence[Any]]
    ) -> None:
        """Add the stages of the plate at `place` of `names`, in their order.

        Each is a row of the catalogue's stages with its sum, which does not count: see `stage_row`.
        """
        name, all_times, sources_seen = process or "?", self.times, set[str]()
        for _, _, stage, ends, _, seconds, how, source, celsius, origin, law, cleared, _, _ in stages:
            if how not in SEEN or ends == "exposure":
                continue
            clears = ends == "cleared"
            stage_seconds = cleared if clears else seconds
            if stage_seconds is None or not 0 < stage_seconds <= MOST:
                continue
            key = (name, stage, source)
            times = all_times.get(key)
            if times is None:
                times = all_times[key] = Times(self.names)
            times.clears = clears
            if stars is not None:
                of_stars = times.by_star.get(stars)
                if of_stars is None:
                    of_stars = times.by_star[stars] = array("d")
                of_stars.append(stage_seconds)
            if source is None:
                continue
            # of each plate the temperature of the first stage at a source counts
            first = stars is not None and source not in sources_seen
            sources_seen.add(source)
            if celsius is None or origin == "assumed" or not COLDEST <= celsius <= HOTTEST:
                times.assumed += 1
                self.assumed[name, source] += first
                continue
            times.points.add(celsius, stage_seconds, None if clears else law, place)
            if stars is not None and first:
                by_star = self.celsius_by_star.setdefault((name, source), {})
                by_star.setdefault(stars, array("d")).append(celsius)


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
