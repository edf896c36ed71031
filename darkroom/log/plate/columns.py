"""The columns of the tables: headings that name the units, keys for programs, values."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Literal, TypeVar

from darkroom.bench import events as ev
from darkroom.bench import exposure
from darkroom.log.plate import bottle_text
from darkroom.log.plate.account import StageAccount
from darkroom.log.plate.exposure_columns import SCENE, SPEED
from darkroom.log.plate.record import PlateRecord
from darkroom.log.plate.stage_text import HOW, SEEN
from darkroom.process.model import SOURCES

RowKind = Literal["plates", "stages"]
"""What a row of a table is."""
Value = str | float | int | bool | None
T = TypeVar("T")
Columns = tuple[tuple[str, str, Callable[[T], Value]], ...]
"""(heading, key, value of a row)."""


def _start(name: str) -> Callable[[PlateRecord], Value]:
    def value(record: PlateRecord) -> Value:
        member: Value = getattr(record.log.start, name, None)
        return member

    return value


def _first(record: PlateRecord, source: str) -> ev.Reading | None:
    """Return the first value of a source: read before the plate began, or assumed."""
    if record.state is not None:
        trace = record.state.temperatures.get(source)
        return (trace[0][1], trace[0][2]) if trace else None
    return record.log.start.temperatures.get(source) if record.log.start else None


def _temperatures() -> Iterator[tuple[str, str, Callable[[PlateRecord], Value]]]:
    for source in SOURCES:

        def celsius(record: PlateRecord, source: str = source) -> Value:
            reading = _first(record, source)
            return None if reading is None else reading[0]

        def origin(record: PlateRecord, source: str = source) -> Value:
            reading = _first(record, source)
            return None if reading is None else reading[1]

        yield f"{source} at the start (°C)", f"{source}_celsius", celsius
        yield f"{source} from", f"{source}_from", origin


def _humidity(record: PlateRecord) -> ev.Reading | None:
    if record.state is not None and record.state.humidity:
        _, percent, origin = record.state.humidity[0]
        return percent, origin
    return record.log.start.humidity if record.log.start else None


def _stands(record: PlateRecord) -> Value:
    if record.log.ended is not None:
        return record.log.ended.how
    return record.account.now


def _bottles(record: PlateRecord) -> Value:
    return "; ".join(f"{role}: {name}" for role, name in bottle_text.names(record).items()) or None


def _joined(texts: tuple[str, ...]) -> Value:
    return "\n".join(texts) or None


def _causes(record: PlateRecord) -> tuple[str, ...]:
    return tuple(f"{fault.text}: {fault.cause}" for fault in record.judged.faults if fault.cause)


PLATE: Columns[PlateRecord] = (
    ("plate", "plate", lambda record: record.log.plate),
    ("number", "number", _start("number")),
    ("process", "process", lambda record: record.process),
    ("begun (ISO 8601)", "begun", _start("at")),
    ("ended (ISO 8601)", "ended", lambda record: record.log.ended.at if record.log.ended else None),
    ("stands", "stands", _stands),
    ("reason", "reason", lambda record: record.log.ended.reason if record.log.ended else None),
    ("rehearsal", "rehearsal", _start("rehearsal")),
    ("subject", "subject", _start("subject")),
    ("who", "who", _start("who")),
    ("plate size", "size", _start("size")),
    ("lens", "lens", _start("lens")),
    ("aperture", "aperture", lambda record: record.aperture),
    ("light", "light", _start("light")),
    *SCENE,
    ("bottles", "bottles", _bottles),
    (
        "exposure planned (s)",
        "exposure_planned_s",
        lambda record: exposure.plan_seconds(record.state.plan) if record.state else None,
    ),
    ("exposure planned", "exposure_planned", lambda record: record.account.exposure),
    ("exposure given (s)", "exposure_given_s", lambda record: record.exposed),
    ("exposure timed", "exposure_timed", _start("timed")),
    ("wet time used (s)", "wet_used_s", lambda record: record.account.wet_used),
    ("wet time estimated (s)", "wet_estimated_s", lambda record: record.account.wet_about),
    *_temperatures(),
    ("humidity at the start (%)", "humidity_percent", lambda record: (_humidity(record) or (None, ""))[0]),
    ("humidity from", "humidity_from", lambda record: (_humidity(record) or ("", None))[1]),
    ("stars", "stars", lambda record: record.judged.stars),
    (
        "exposure of the next plate (stops)",
        "exposure_next_stops",
        lambda record: record.judged.exposure_stops,
    ),
    ("exposure of the next plate", "exposure_next_word", lambda record: record.judged.exposure_word),
    ("best strip", "best_strip", lambda record: record.judged.best_strip),
    *SPEED,
    ("faults", "faults", lambda record: _joined(tuple(fault.text for fault in record.judged.faults))),
    ("causes of the faults", "fault_causes", lambda record: _joined(_causes(record))),
    ("nothing else", "nothing_else", lambda record: record.judged.nothing_else is not None or None),
    ("notes", "notes", lambda record: _joined(record.judged.notes)),
    ("details", "details", lambda record: _joined(tuple(f"{k}: {v}" for k, v in record.judged.details))),
    ("times estimated", "times_estimated", lambda record: record.account.estimated),
    ("problems", "problems", lambda record: _joined(record.problems)),
    ("file", "file", lambda record: record.file),
)


class StageRow:
    """One stage of a plate, as a row: `position` counts the stages that were left, from 1."""

    __slots__ = ("position", "record", "stage")

    def __init__(self, record: PlateRecord, stage: StageAccount, position: int) -> None:
        self.record, self.stage, self.position = record, stage, position


def stage_rows(record: PlateRecord) -> list[StageRow]:
    """Return a row for each stage the plate has left."""
    return [StageRow(record, stage, position) for position, stage in enumerate(record.account.stages, 1)]


def _took(row: StageRow) -> float | None:
    return None if row.stage.how == "skipped" else row.stage.seconds


def _over(row: StageRow) -> Value:
    took, planned = _took(row), row.stage.planned
    return None if took is None or planned is None else round(took - planned, 3)


STAGE: Columns[StageRow] = (
    ("plate", "plate", lambda row: row.record.log.plate),
    ("number", "number", lambda row: _start("number")(row.record)),
    ("process", "process", lambda row: row.record.process),
    ("position", "position", lambda row: row.position),
    ("stage", "stage", lambda row: row.stage.stage),
    ("begun (ISO 8601)", "begun", lambda row: row.stage.started),
    ("planned (s)", "planned_s", lambda row: row.stage.planned),
    ("took (s)", "took_s", _took),
    ("over the plan (s)", "over_s", _over),
    ("usual from (s)", "usual_from_s", lambda row: row.stage.usual[0] if row.stage.usual else None),
    ("usual to (s)", "usual_to_s", lambda row: row.stage.usual[1] if row.stage.usual else None),
    ("lens open (s)", "exposed_s", lambda row: row.stage.exposed),
    (
        "strips (s)",
        "strips_s",
        lambda row: " ".join(f"{strip:g}" for strip in row.stage.strips or ()) or None,
    ),
    ("cleared after (s)", "cleared_s", lambda row: row.stage.cleared),
    ("end", "how", lambda row: HOW[row.stage.how]),
    ("end known", "end_known", lambda row: SEEN[row.stage.how]),
    ("temperature of", "source", lambda row: row.stage.source),
    ("temperature (°C)", "celsius", lambda row: row.stage.celsius),
    ("temperature from", "celsius_from", lambda row: row.stage.origin),
    ("times estimated", "times_estimated", lambda row: row.record.account.estimated),
)
