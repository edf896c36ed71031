"""JSON Lines: one object a plate, or one a stage; UTF-8, LF. Nothing of the journal is left out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import msgspec

from darkroom.log.plate import bottle_text
from darkroom.log.plate.columns import PLATE, STAGE, RowKind, stage_rows
from darkroom.log.plate.record import PlateRecord
from darkroom.process.text.plain_text import json_escaped


def lines(plates: Iterable[PlateRecord], rows: RowKind = "plates") -> Iterator[bytes]:
    """Yield one line a plate with its stages, moments and every event, or one line a stage.

    Keys that end in `_s` are seconds, in `_celsius` °C, in `_percent` per cent, in `_stops` stops.
    """
    for record in plates:
        if rows == "stages":
            for row in stage_rows(record):
                yield _line({key: value(row) for _, key, value in STAGE})
        else:
            yield _line(whole(record))


def whole(record: PlateRecord) -> dict[str, object]:
    """Return all that is known of a plate, as plain values."""
    plate: dict[str, object] = {key: value(record) for _, key, value in PLATE}
    plate["files"] = [str(file) for file in map(_printable, record.log.files)]
    plate["problems"] = list(record.problems)
    plate["faults"] = [fault.text for fault in record.judged.faults]
    plate["fault_causes"] = [
        {"name": fault.name, "where": fault.where, "cause": fault.cause, "answers": dict(fault.answers)}
        for fault in record.judged.faults
    ]
    plate["nothing_else"] = record.judged.nothing_else
    plate["notes"] = list(record.judged.notes)
    plate["details"] = [{"key": key, "value": value} for key, value in record.judged.details]
    plate["bottles"] = bottle_text.names(record) or None
    plate["bottle_ids"] = bottle_text.ids(record) or None
    plate["stages"] = [{key: value(row) for _, key, value in STAGE[3:]} for row in stage_rows(record)]
    for key in ("readings", "moments", "taken_back", "words", "newer"):
        plate[key] = msgspec.to_builtins(getattr(record.account, key))
    plate["events"] = [msgspec.to_builtins(event) for event in record.log.events]
    return plate


def _printable(file: object) -> str:
    return str(file).encode("utf-8", "backslashreplace").decode()


def _line(value: dict[str, object]) -> bytes:
    return json_escaped(msgspec.json.encode(value).decode()).encode() + b"\n"
