"""The data behind the trends: a few columns of each plate and stage, from the catalogue or an export."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, NamedTuple

import msgspec

from darkroom.exposure.judged import JudgedPlate
from darkroom.log.bottles.files import read_shelf
from darkroom.log.catalogue.catalogue import DECODED
from darkroom.log.catalogue.collodion_ages import with_ages
from darkroom.log.catalogue.database import repairing
from darkroom.log.catalogue.query import Query
from darkroom.log.trends.changes import Change, FirstUses
from darkroom.log.trends.fixers import Fixers, FixFacts
from darkroom.process.text.temperatures import COLDEST, HOTTEST

if TYPE_CHECKING:
    from darkroom.log.catalogue.catalogue import Catalogue

MOST = 1e7
"""A time of more seconds is taken for a typing error."""
SEEN = ("strike", "short")
"""Ends of stages that a strike saw; no others count in trends."""


class PlateFacts(msgspec.Struct, frozen=True, gc=False):
    """One plate; see `PLATE_COLUMNS` of the catalogue."""

    path: str
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


_PLATE = ", ".join(f"plates.{name}" for name in PlateFacts.__struct_fields__)
_OF_PLATES = ("path", "plate", "process", "stars", "fixer")


def _columns(names: tuple[str, ...]) -> str:
    return ", ".join(f"{'plates' if name in _OF_PLATES else 'stages'}.{name}" for name in names)


_STAGE, _FIX = _columns(StageFacts._fields), _columns(FixFacts.__struct_fields__[:-1])


class Times:
    """The times of one stage of one process at one source of temperature: points, and how many assumed.

    `points` are (°C, seconds, the process's seconds or None, plate). `by_star` are the seconds of rated
    plates, at any temperature. The times of a stage that `clears` are those until the plate was clear.
    """

    __slots__ = ("assumed", "by_star", "clears", "points")

    def __init__(self) -> None:
        self.points: list[tuple[float, float, float | None, str]] = []
        self.assumed = 0
        self.clears = False
        self.by_star: dict[int, list[float]] = {}


class Gathered:
    """The times and temperatures of the stages of many plates, added one by one.

    `times` are by (process, stage, source); `celsius_by_star` by (process, source): {stars: °C} of rated
    plates; `assumed` counts the rated plates whose temperature there nobody read.
    """

    def __init__(self) -> None:
        self.times: dict[tuple[str, str, str | None], Times] = {}
        self.celsius_by_star: dict[tuple[str, str], dict[int, list[float]]] = {}
        self.assumed = Counter[tuple[str, str]]()

    def take(self, stages: Iterable[StageFacts]) -> None:
        """Add stages; those of one plate follow each other, in their order."""
        last_path, sources_seen = None, set[str]()
        for (
            path,
            plate,
            process,
            stars,
            stage,
            ends,
            how,
            seconds,
            source,
            celsius,
            origin,
            law,
            cleared,
        ) in stages:
            if how not in SEEN or ends == "exposure":
                continue
            stage_seconds = cleared if ends == "cleared" else seconds
            if stage_seconds is None or not 0 < stage_seconds <= MOST:
                continue
            key = (process or "?", stage, source)
            times = self.times.get(key) or self.times.setdefault(key, Times())
            times.clears = ends == "cleared"
            if stars is not None:
                times.by_star.setdefault(stars, []).append(stage_seconds)
            if source is None:
                continue
            if path != last_path:
                last_path, sources_seen = path, set()
            # of each plate the temperature of the first stage at a source counts
            first = stars is not None and source not in sources_seen
            sources_seen.add(source)
            if celsius is None or origin == "assumed" or not COLDEST <= celsius <= HOTTEST:
                times.assumed += 1
                self.assumed[process or "?", source] += first
                continue
            times.points.append((celsius, stage_seconds, None if ends == "cleared" else law, plate))
            if stars is not None and first:
                self.celsius_by_star.setdefault((process or "?", source), {}).setdefault(stars, []).append(
                    celsius
                )


class Rows(msgspec.Struct):
    """The plates asked for, oldest first, their struck stages, and every stage of the log in a fixer.

    `faults` are {path: names}; `rooms` are {path: the mean of the room's readings, °C}: no reading, no
    entry. `unseen` are the plates whose wet time began at an end that no strike saw. `fixed` counts
    plates that are not asked for too: a fixer wears by each of them. `judged` say their exposure. `changes`
    are those of the bottles that the plates asked for used.
    """

    plates: list[PlateFacts] = []
    stages: Gathered = msgspec.field(default_factory=Gathered)
    fixed: list[FixFacts] = []
    faults: dict[str, list[str]] = {}
    rooms: dict[str, float] = {}
    unseen: set[str] = set()
    judged: list[JudgedPlate] = []
    changes: list[Change] = []


@repairing
def trend_rows(catalogue: Catalogue, query: Query) -> Rows:
    """Return the rows of the catalogue for the plates of a query."""
    where, values = query.where()
    chosen = f"(SELECT * FROM plates WHERE {where}) AS plates"
    select = catalogue.select
    faults: dict[str, list[str]] = {}
    for path, name in select(f"SELECT path, name FROM {chosen} JOIN faults USING (path)", values):
        faults.setdefault(path, []).append(str(name))
    wet_from_of = dict(_wet_from(select("SELECT sum, body FROM processes")))
    unseen_stages = select(
        f"SELECT path, process_sum, stage FROM {chosen} JOIN stages USING (path) "
        "WHERE stages.how NOT IN (?, ?) AND ends != 'exposure'",
        [*values, *SEEN],
    )
    gathered = Gathered()
    gathered.take(
        select(
            f"SELECT {_STAGE} FROM {chosen} JOIN stages USING (path) WHERE stages.how IN (?, ?) "
            "AND (ends IS NULL OR ends != 'exposure') ORDER BY stages.path, position",
            [*values, *SEEN],
        )
    )
    all_plates = Query(rehearsals=query.rehearsals).where()
    shelf = read_shelf(catalogue.home)
    fixers = Fixers(catalogue.plate_uses(("fixer", "fixer_2")), shelf.bottles)
    first_uses = FirstUses()
    for role, bottle, name, instant in select(
        f"SELECT uses.role, uses.bottle, uses.name, min(plates.moment) FROM {chosen} "
        "JOIN uses USING (path) GROUP BY uses.role, uses.bottle, uses.name",
        values,
    ):
        first_uses.add(role, bottle, name, instant)
    return Rows(
        plates=[
            PlateFacts(*row) for row in select(f"SELECT {_PLATE} FROM {chosen} ORDER BY plate, path", values)
        ],
        stages=gathered,
        fixed=fixers.named(
            FixFacts(*row)
            for row in select(
                f"SELECT {_FIX} FROM (SELECT * FROM plates WHERE {all_plates[0]}) AS plates "
                "JOIN stages USING (path) WHERE ends = 'cleared' AND stages.how != 'skipped' "
                "ORDER BY plates.plate, path, position",
                all_plates[1],
            )
        ),
        faults=faults,
        rooms=dict(
            select(
                f"SELECT path, avg(celsius) FROM {chosen} JOIN readings USING (path) "
                "WHERE source = 'room' AND origin != 'assumed' GROUP BY path",
                values,
            )
        ),
        judged=with_ages(
            catalogue,
            (
                DECODED.decode(body)
                for (body,) in select(
                    f"SELECT judged FROM {chosen} JOIN exposures USING (path) WHERE judged IS NOT NULL "
                    "ORDER BY plates.plate, path",
                    values,
                )
            ),
            shelf,
        ),
        changes=first_uses.changes(shelf.bottles),
        unseen={path for path, process_sum, stage in unseen_stages if wet_from_of.get(process_sum) == stage},
    )


def _wet_from(processes: Iterable[tuple[str, str]]) -> Iterator[tuple[str, str]]:
    """Yield (sum of a process, the stage whose end begins its wet time)."""
    for process_sum, body in processes:
        window = json.loads(body).get("wet_window")
        if isinstance(window, dict):
            yield process_sum, str(window.get("from"))
