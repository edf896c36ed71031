"""The lines of a day's file: one struct each, in the frame of the journal.

Names and members are a contract with every file on disk: never renamed, never retyped; new members are
optional. Every line carries `n`, `at` and `up` as the journal's lines do.
"""

from __future__ import annotations

import msgspec

from darkroom.event_base import Event


class Begun(Event, frozen=True, kw_only=True, omit_defaults=True):
    """The sheet before the first plate was gone through on `bench`; `shown` are the ids that stood on it."""

    bench: str
    shown: tuple[str, ...] = ()


class SeenTo(Event, frozen=True, kw_only=True, omit_defaults=True):
    """The item `id` of the sheet was seen to.

    `value` is what was typed for it. `process` and `what` are those of a question that a process wants
    confirmed, answered with yes; its `id` is `confirm`.
    """

    id: str
    value: str | None = None
    process: str | None = None
    what: str | None = None


class Note(Event, frozen=True, kw_only=True, omit_defaults=True):
    """Words about the day."""

    text: str


class Closed(Event, frozen=True, kw_only=True, omit_defaults=True):
    """The sheet after the last plate was gone through; `shown` are the ids that stood on it."""

    shown: tuple[str, ...] = ()


DayEvent = Begun | SeenTo | Note | Closed
READER: msgspec.json.Decoder[DayEvent] = msgspec.json.Decoder(DayEvent)
"""Reads a line's event; made at import, see `darkroom.bench.events.READER`."""

CONFIRM = "confirm"
"""The id of a `seen_to` line that answers what a process wants confirmed."""


class Day(msgspec.Struct, frozen=True, kw_only=True):
    """A day as its lines tell it; instants are RFC 3339 text, the latest of each kind.

    `seen` is {id: instant}, `values` {id: what was typed}, `confirmed` {(process, question): instant},
    `shown` the ids of the sheets that were gone through. `closed` is None while work goes on: `begun` and
    `seen_to` after it open the day again.
    """

    date: str
    begun: str | None = None
    closed: str | None = None
    seen: dict[str, str] = {}
    values: dict[str, str] = {}
    confirmed: dict[tuple[str, str], str] = {}
    shown: frozenset[str] = frozenset()
    notes: tuple[str, ...] = ()


def with_line(day: Day, line: DayEvent) -> Day:
    """Return the day with one more line."""
    replace = msgspec.structs.replace
    match line:
        case Begun():
            return replace(day, begun=line.at, closed=None, shown=day.shown | set(line.shown))
        case SeenTo(id=item) if item == CONFIRM:
            if line.process is None or line.what is None:
                return day
            return replace(day, confirmed={**day.confirmed, (line.process, line.what): line.at})
        case SeenTo():
            values = {**day.values, line.id: line.value} if line.value is not None else day.values
            return replace(day, seen={**day.seen, line.id: line.at}, values=values)
        case Note():
            return replace(day, notes=(*day.notes, line.text))
        case Closed():
            return replace(day, closed=line.at)
