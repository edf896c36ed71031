"""The columns of the tables: headings that name the units, keys for programs, values."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Literal, TypeVar

from darkroom.bench import events as ev
from darkroom.bench import exposure
from darkroom.log.plate.account import StageTold
from darkroom.log.plate.record import HOW, SEEN, Told
from darkroom.process.model import SOURCES

RowKind = Literal["plates", "stages"]
"""What a row of a table is."""
Value = str | float | int | bool | None
T = TypeVar("T")
Columns = tuple[tuple[str, str, Callable[[T], Value]], ...]
"""(heading, key, value of a row)."""


def _start(name: str) -> Callable[[Told], Value]:
    def value(told: Told) -> Value:
        found: Value = getattr(told.log.start, name, None)
        return found

    return value


def _first(told: Told, source: str) -> ev.Reading | None:
    """Return the first value of a source: read before the plate began, or assumed."""
    if told.state is not None:
        trace = told.state.temperatures.get(source)
        return (trace[0][1], trace[0][2]) if trace else None
    return told.log.start.temperatures.get(source) if told.log.start else None


def _temperatures() -> Iterator[tuple[str, str, Callable[[Told], Value]]]:
    for source in SOURCES:

        def celsius(told: Told, source: str = source) -> Value:
            found = _first(told, source)
            return None if found is None else found[0]

        def origin(told: Told, source: str = source) -> Value:
            found = _first(told, source)
            return None if found is None else found[1]

        yield f"{source} at the start (°C)", f"{source}_celsius", celsius
        yield f"{source} from", f"{source}_from", origin


def _humidity(told: Told) -> ev.Reading | None:
    if told.state is not None and told.state.humidity:
        _, percent, origin = told.state.humidity[0]
        return percent, origin
    return told.log.start.humidity if told.log.start else None


def _stands(told: Told) -> Value:
    if told.log.ended is not None:
        return told.log.ended.how
    return told.account.now


def _bottles(told: Told) -> Value:
    start = told.log.start
    return "; ".join(f"{what}: {which}" for what, which in ((start and start.bottles) or {}).items()) or None


def _joined(words: tuple[str, ...]) -> Value:
    return "\n".join(words) or None


PLATE: Columns[Told] = (
    ("plate", "plate", lambda told: told.log.plate),
    ("number", "number", _start("number")),
    ("process", "process", lambda told: told.process),
    ("begun (ISO 8601)", "begun", _start("at")),
    ("ended (ISO 8601)", "ended", lambda told: told.log.ended.at if told.log.ended else None),
    ("stands", "stands", _stands),
    ("reason", "reason", lambda told: told.log.ended.reason if told.log.ended else None),
    ("rehearsal", "rehearsal", _start("rehearsal")),
    ("subject", "subject", _start("subject")),
    ("who", "who", _start("who")),
    ("plate size", "size", _start("size")),
    ("lens", "lens", _start("lens")),
    ("aperture", "aperture", lambda told: told.aperture),
    ("light", "light", _start("light")),
    ("bottles", "bottles", _bottles),
    ("exposure planned (s)", "exposure_planned_s",
     lambda told: exposure.plan_seconds(told.state.plan) if told.state else None),
    ("exposure planned", "exposure_planned", lambda told: told.account.exposure),
    ("exposure given (s)", "exposure_given_s", lambda told: told.exposed),
    ("exposure timed", "exposure_timed", _start("timed")),
    ("wet time used (s)", "wet_used_s", lambda told: told.account.wet_used),
    ("wet time estimated (s)", "wet_estimated_s", lambda told: told.account.wet_about),
    *_temperatures(),
    ("humidity at the start (%)", "humidity_percent", lambda told: (_humidity(told) or (None, ""))[0]),
    ("humidity from", "humidity_from", lambda told: (_humidity(told) or ("", None))[1]),
    ("stars", "stars", lambda told: told.judged.stars),
    ("exposure of the next plate (stops)", "exposure_next_stops", lambda told: told.judged.exposure_stops),
    ("best strip", "best_strip", lambda told: told.judged.best_strip),
    ("faults", "faults", lambda told: _joined(tuple(fault.text for fault in told.judged.faults))),
    ("notes", "notes", lambda told: _joined(told.judged.notes)),
    ("details", "details", lambda told: _joined(tuple(f"{k}: {v}" for k, v in told.judged.details))),
    ("times estimated", "times_estimated", lambda told: told.account.estimated),
    ("problems", "problems", lambda told: _joined(told.problems)),
    ("file", "file", lambda told: told.file),
)  # fmt: skip


class StageRow:
    """One stage of a plate, as a row: `position` counts the stages that were left, from 1."""

    __slots__ = ("position", "stage", "told")

    def __init__(self, told: Told, stage: StageTold, position: int) -> None:
        self.told, self.stage, self.position = told, stage, position


def stage_rows(told: Told) -> list[StageRow]:
    """Return a row for each stage the plate has left."""
    return [StageRow(told, stage, position) for position, stage in enumerate(told.account.stages, 1)]


def _took(row: StageRow) -> float | None:
    return None if row.stage.how == "skipped" else row.stage.seconds


def _over(row: StageRow) -> Value:
    took, planned = _took(row), row.stage.planned
    return None if took is None or planned is None else round(took - planned, 3)


STAGE: Columns[StageRow] = (
    ("plate", "plate", lambda row: row.told.log.plate),
    ("number", "number", lambda row: _start("number")(row.told)),
    ("process", "process", lambda row: row.told.process),
    ("position", "position", lambda row: row.position),
    ("stage", "stage", lambda row: row.stage.stage),
    ("begun (ISO 8601)", "begun", lambda row: row.stage.started),
    ("planned (s)", "planned_s", lambda row: row.stage.planned),
    ("took (s)", "took_s", _took),
    ("over the plan (s)", "over_s", _over),
    ("usual from (s)", "usual_from_s", lambda row: row.stage.usual[0] if row.stage.usual else None),
    ("usual to (s)", "usual_to_s", lambda row: row.stage.usual[1] if row.stage.usual else None),
    ("lens open (s)", "exposed_s", lambda row: row.stage.exposed),
    ("strips (s)", "strips_s", lambda row: " ".join(f"{one:g}" for one in row.stage.strips or ()) or None),
    ("cleared after (s)", "cleared_s", lambda row: row.stage.cleared),
    ("end", "how", lambda row: HOW[row.stage.how]),
    ("end known", "end_known", lambda row: SEEN[row.stage.how]),
    ("temperature of", "source", lambda row: row.stage.source),
    ("temperature (°C)", "celsius", lambda row: row.stage.celsius),
    ("temperature from", "celsius_from", lambda row: row.stage.origin),
    ("times estimated", "times_estimated", lambda row: row.told.account.estimated),
)  # fmt: skip
