"""The lines of plates: the frame with the events of the bench."""

from __future__ import annotations

from typing import Any, Union, get_args

import msgspec

from darkroom.bench import events as ev
from darkroom.bench.shared_process import shared
from darkroom.event_base import Newer
from darkroom.log.journal.frame import LineReader


def _bare_start() -> type[msgspec.Struct]:
    """Return the type of a first line whose process stays the bytes that it is; all else as it always is."""
    fields: list[Any] = []
    for field in msgspec.structs.fields(ev.PlateStarted):
        kind = msgspec.Raw if field.name == "process" else field.type
        if field.default_factory is not msgspec.NODEFAULT:
            fields.append((field.name, kind, msgspec.field(default_factory=field.default_factory)))
        elif field.default is not msgspec.NODEFAULT:
            fields.append((field.name, kind, field.default))
        else:
            fields.append((field.name, kind))
    config = ev.PlateStarted.__struct_config__
    return msgspec.defstruct(
        "BareStart", fields, frozen=True, kw_only=True, tag_field=config.tag_field, tag=config.tag
    )


_BARE_START: Any = _bare_start()
_START_MEMBERS = ev.PlateStarted.__struct_fields__
_BARE: msgspec.json.Decoder[Any] = msgspec.json.Decoder(
    Union[(_BARE_START, *(kind for kind in get_args(ev.AnyEvent) if kind is not ev.PlateStarted))]
)


class PlateLineReader(LineReader[ev.AnyEvent]):
    """Reads the lines of plates: many at once with the process as one object for all plates that have it."""

    def decode_all(self, data: bytes) -> list[ev.AnyEvent | Newer]:
        """Return the events of sound lines; see `LineReader.decode_all`."""
        events: list[Any] = _BARE.decode_lines(data)
        for place, event in enumerate(events):
            if event.__class__ is _BARE_START:
                members = dict(zip(_START_MEMBERS, msgspec.structs.astuple(event), strict=True))
                members["process"] = shared(bytes(event.process))
                events[place] = ev.PlateStarted(**members)
        return events


READER = PlateLineReader(ev.READER, ev.AnyEvent)
"""Reads the lines of a plate's journal."""
