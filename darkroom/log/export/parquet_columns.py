"""The columns of the Parquet tables: the keys of JSON Lines, each with a type of its own.

What is not known is null. A text stays as it was typed; half of a pair, which UTF-8 cannot say, is written as
an escape. A number that its type cannot hold is null. An instant has two columns: itself, and what the clock
on the wall was ahead of UTC.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime, timedelta
from typing import Generic, Literal, NamedTuple, TypeVar

from darkroom.log.plate import bottle_text
from darkroom.log.plate.columns import PLATE, STAGE, Columns, StageRow
from darkroom.log.plate.record import PlateRecord
from darkroom.log.plate.wall_time import parsed

SCHEMA = "1"
"""The version of the tables. A new column may join them; one renamed or retyped makes another version."""

Kind = Literal[
    "text", "whole", "number", "yes_no", "instant", "day", "texts", "numbers", "by_role", "pairs", "causes"
]
"""What a column holds. The last five hold several: texts, numbers, {role: bottle}, details, faults."""
Row = TypeVar("Row")

_KINDS: dict[str, Kind] = {
    **dict.fromkeys(("number", "proposed_plates", "stars", "best_strip", "position"), "whole"),
    **dict.fromkeys(("rehearsal", "nothing_else", "times_estimated"), "yes_no"),
    **dict.fromkeys(("begun", "ended"), "instant"),
    **dict.fromkeys(("ev", "f_number", "celsius"), "number"),
}
_NUMBERS = ("_s", "_celsius", "_percent", "_stops", "_deg", "_iso")
"""Keys that end with a unit are numbers: seconds, °C, per cent, stops, degrees, ISO."""
_EPOCH, _FIRST_DAY, _TICK = datetime(1970, 1, 1, tzinfo=UTC), date(1970, 1, 1), timedelta(microseconds=1)
_LONGEST = 2**63
OFFSET = "_utc_offset_min"
"""The key of an instant's second column ends so: minutes, east of Greenwich above 0."""


class Column(NamedTuple, Generic[Row]):
    """A column: its key, what it holds, its heading in words, and the value of a row, ready for its type.

    An instant is microseconds since 1970 in UTC, a day the days since then.
    """

    key: str
    kind: Kind
    heading: str
    value: Callable[[Row], object]


def kind_of(key: str) -> Kind:
    """Return what the column of a key of `PLATE` or `STAGE` holds."""
    return _KINDS.get(key) or ("number" if key.endswith(_NUMBERS) else "text")


def text(value: object) -> str | None:
    """Return a text that UTF-8 can say."""
    if value is None:
        return None
    found = str(value)
    return found if found.isascii() else found.encode("utf-8", "backslashreplace").decode()


def whole(value: object) -> int | None:
    """Return a whole number of 64 bits."""
    return int(value) if isinstance(value, int) and -_LONGEST <= value < _LONGEST else None


def number(value: object) -> float | None:
    """Return a number as a float."""
    try:
        return float(value) if isinstance(value, (int, float)) else None
    except OverflowError:
        return None


def instant(value: object) -> int | None:
    """Return the microseconds since 1970 of an RFC 3339 time; one without a zone is taken as UTC."""
    time = parsed(value) if isinstance(value, str) else None
    if time is None:
        return None
    try:
        return ((time.astimezone(UTC) if time.tzinfo else time.replace(tzinfo=UTC)) - _EPOCH) // _TICK
    except OverflowError:
        return None


def offset(value: object) -> int | None:
    """Return the minutes that the time's zone is ahead of UTC, None of one without a zone."""
    time = parsed(value) if isinstance(value, str) else None
    ahead = None if time is None else time.utcoffset()
    return None if ahead is None else ahead // timedelta(minutes=1)


def day(value: object) -> int | None:
    """Return the days since 1970 of a date as YYYY-MM-DD."""
    try:
        return (date.fromisoformat(str(value)) - _FIRST_DAY).days
    except ValueError:
        return None


def yes_no(value: object) -> bool | None:
    """Return yes or no."""
    return value if isinstance(value, bool) else None


_PLAIN: dict[Kind, Callable[[object], object]] = {
    "text": text,
    "whole": whole,
    "number": number,
    "yes_no": yes_no,
    "instant": instant,
}


def _plain(
    columns: Columns[Row], several: dict[str, tuple[Kind, Callable[[Row], object]]]
) -> Iterator[Column[Row]]:
    """Yield the columns of a table for people with their types, those that hold `several` values as lists."""
    for heading, key, value in columns:
        if key in several:
            yield Column(key, several[key][0], heading, several[key][1])
            continue
        kind, words = kind_of(key), heading.removesuffix(" (ISO 8601)")
        yield Column(key, kind, words, _typed(value, _PLAIN[kind]))
        if kind == "instant":
            yield Column(
                f"{key}{OFFSET}", "whole", f"{words}: clock ahead of UTC (min)", _typed(value, offset)
            )


def _typed(value: Callable[[Row], object], convert: Callable[[object], object]) -> Callable[[Row], object]:
    return lambda row: convert(value(row))


def _texts(values: Callable[[PlateRecord], tuple[str, ...]]) -> Callable[[PlateRecord], object]:
    return lambda record: [text(value) for value in values(record)] or None


def _by_role(values: Callable[[PlateRecord], dict[str, str]]) -> Callable[[PlateRecord], object]:
    return lambda record: [(text(role), text(bottle)) for role, bottle in values(record).items()] or None


def _pairs(record: PlateRecord) -> object:
    return [{"key": text(key), "value": text(value)} for key, value in record.judged.details] or None


def _causes(record: PlateRecord) -> object:
    return [
        {
            "name": text(fault.name),
            "where": text(fault.where),
            "cause": text(fault.cause),
            "answers": [(text(question), text(answer)) for question, answer in fault.answers],
        }
        for fault in record.judged.faults
    ] or None


def _strips(row: StageRow) -> object:
    return [number(strip) for strip in row.stage.strips or ()] or None


def _bench(record: PlateRecord) -> object:
    return text(record.log.start.bench) if record.log.start else None


_SEVERAL: dict[str, tuple[Kind, Callable[[PlateRecord], object]]] = {
    "bottles": ("by_role", _by_role(bottle_text.names)),
    "bottle_ids": ("by_role", _by_role(bottle_text.ids)),
    "faults": ("texts", _texts(lambda record: tuple(fault.text for fault in record.judged.faults))),
    "fault_causes": ("causes", _causes),
    "notes": ("texts", _texts(lambda record: record.judged.notes)),
    "details": ("pairs", _pairs),
    "problems": ("texts", _texts(lambda record: record.problems)),
}

PLATES: tuple[Column[PlateRecord], ...] = (
    Column("bench", "text", "bench", _bench),
    Column("day", "day", "day on the wall", lambda record: day(record.log.local_date)),
    *_plain(PLATE, _SEVERAL),
)
"""One row a plate; `bench` and `plate` together are one plate's alone, in folders of many benches too."""
STAGES: tuple[Column[StageRow], ...] = (
    Column("bench", "text", "bench", lambda row: _bench(row.record)),
    Column("day", "day", "day on the wall", lambda row: day(row.record.log.local_date)),
    *_plain(STAGE, {"strips_s": ("numbers", _strips)}),
)
"""One row a stage that a plate has left; `bench`, `plate` and `position` together are one stage's alone."""


def year_of(record: PlateRecord) -> int | None:
    """Return the year of a plate's day on the wall: the table's part that it stands in."""
    try:
        return date.fromisoformat(record.log.local_date).year
    except ValueError:
        return None
