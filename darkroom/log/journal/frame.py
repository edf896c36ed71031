"""One line of a file of events: an event and its checksum, as bytes.

A line is P + `,"sum":"` + 8 lower-case hex digits + `"}` + LF. P is the event's JSON object without
its closing brace; `sum` is the CRC-32 of the bytes of P. Whether a line is sound is decided
by its bytes before anything is parsed; an event is never encoded again for the comparison.
"""

from __future__ import annotations

import math
import zlib
from collections.abc import Iterator, Sequence
from typing import Any, Generic, TypeVar, get_args

import msgspec

from darkroom.errors import LineError
from darkroom.event_base import Event, Newer
from darkroom.late_patterns import late_pattern

_END = late_pattern(rb',"sum":"([0-9a-f]{8})"\}')
_START = b'{"n":'
_TAIL = len(b',"sum":"00000000"}')
_MOST_SUMMED = 1 << 26
"""The search of a bad line ends after checksums over so many bytes: enough for any real damage."""


_JSON = msgspec.json.Encoder().encode
_FINITE = frozenset({str, int, bool, type(None)})


E = TypeVar("E")


class LineReader(Generic[E]):
    """Reads the lines of one kind of file: its events are those of one union of structs."""

    def __init__(self, events: msgspec.json.Decoder[E], union: object) -> None:
        """Read with the decoder `events` of the `union`; it must have been made at import."""
        self._events = events
        self.kinds = frozenset(str(kind.__struct_config__.tag) for kind in get_args(union))
        """The names of the events this version knows."""

    def decode(self, line: bytes) -> E | Newer:
        """Return the event of a line, with or without its LF.

        An event this version does not know comes back as `Newer`. Raises LineError with the reason when
        the sum is not there or not right, or the members are not those of the event.
        """
        if not is_sound(line):
            raise LineError(why_unsound(line))
        return self.parse(line)

    def parse(self, frame: bytes) -> E | Newer:
        """Return the event of a frame known to be sound. Raises LineError when it is none."""
        try:
            return self._events.decode(frame)
        except RecursionError:
            raise LineError("too deeply nested") from None
        except msgspec.ValidationError as error:
            newer = self._newer(frame)
            if newer is None:
                raise LineError(str(error)) from None
            return newer
        except (msgspec.DecodeError, UnicodeDecodeError) as error:  # the second until msgspec 0.22
            raise LineError(str(error) if _is_utf8(frame) else "text that is not UTF-8") from None

    def parse_all(self, frames: Sequence[bytes], data: bytes | None = None) -> list[E | Newer] | None:
        """Return the events of lines without their LF, or None unless every one is sound and a known event.

        `data` are the same lines with their LFs, where the caller has them together.

        The same as `is_sound` and `parse` of each line, but faster; those two give the reason why a line is
        bad.
        """
        crc32 = zlib.crc32
        for frame in frames:
            body = frame[:-_TAIL]
            if frame[-_TAIL:] != b',"sum":"%08x"}' % crc32(body) or body[:1] != b"{":
                return None
        try:
            events = self.decode_all(b"\n".join(frames) if data is None else data)
        except (msgspec.DecodeError, UnicodeDecodeError, RecursionError):
            return None
        return events if len(events) == len(frames) else None

    def decode_all(self, data: bytes) -> list[E | Newer]:
        """Return the events of sound lines. Raises as `decode_lines` where one is no known event."""
        return [*self._events.decode_lines(data)]

    def _newer(self, frame: bytes) -> Newer | None:
        """Return the event of a frame whose name is unknown here, or None when the name is known."""
        try:
            decoded: dict[str, Any] = msgspec.json.decode(frame, type=dict[str, Any])
            if decoded.get("event") in self.kinds:
                return None
            members = {
                key: value for key, value in decoded.items() if key not in ("n", "at", "up", "event", "sum")
            }
            required = {key: decoded[key] for key in ("n", "at", "up", "event")}
            return msgspec.convert({**required, "members": members}, Newer)
        except (KeyError, TypeError, msgspec.DecodeError, RecursionError):
            return None


def encode(event: Event) -> bytes:
    """Return the event as one line, LF included.

    Raises LineError for a number that is not finite, text that is not valid Unicode, and values
    that JSON does not have.
    """
    check_finite(event)
    try:
        whole = _JSON(event)
    except UnicodeEncodeError:
        raise LineError("text that is not valid Unicode") from None
    except (TypeError, ValueError, OverflowError, RecursionError) as error:
        raise LineError(f"a value that cannot be written: {error}") from None
    # The encoder puts the event's name first; in a journal it follows n, at and up. No text holds `,"up":`
    # with its quotes bare, and what follows it is a number or null, without a comma.
    name = b'"event":"%s",' % str(event.__struct_config__.tag).encode()
    up_at = whole.index(b',"up":')
    up_end = whole.find(b",", up_at + 1)
    common = whole[1 + len(name) : up_end if up_end >= 0 else -1]
    body = b"{%s,%s%s" % (common, name[:-1], whole[1 + len(name) + len(common) : -1])
    return b'%s,"sum":"%08x"}\n' % (body, zlib.crc32(body))


def is_sound(line: bytes) -> bool:
    """Return whether the line (with or without its LF) is one frame whose sum is right."""
    line = line.removesuffix(b"\n")
    body = line[:-_TAIL]
    return line[-_TAIL:] == b',"sum":"%08x"}' % zlib.crc32(body) and body[:1] == b"{"


def why_unsound(line: bytes) -> str:
    """Return why a line is not sound."""
    bare = line.removesuffix(b"\n")
    if _END.fullmatch(bare, max(0, len(bare) - _TAIL)) is None or bare[:1] != b"{":
        return "not a line of a journal, or not a whole one"
    return "the sum is not that of the line"


def _is_utf8(data: bytes) -> bool:
    try:
        data.decode()
    except UnicodeDecodeError:
        return False
    return True


def frames_within(line: bytes) -> Iterator[tuple[int, bytes]]:
    """Yield (offset, frame) for each sound frame inside a bad line, in order.

    A frame is looked for at each `{"n":`; frames do not overlap.
    """
    ends = [(frame_end.start(), frame_end.end(), frame_end[1]) for frame_end in _END.finditer(line)]
    start, next_end, summed = line.find(_START), 0, 0
    while start >= 0 and ends and summed < _MOST_SUMMED:
        while next_end < len(ends) and ends[next_end][0] < start:
            next_end += 1
        if next_end == len(ends):
            return
        frame_end = -1
        checksum, summed_to = 0, start
        for position, (end, after, expected) in enumerate(ends[next_end:], next_end):
            checksum = zlib.crc32(line[summed_to:end], checksum)
            summed += end - summed_to
            summed_to = end
            if b"%08x" % checksum == expected:
                yield start, line[start:after]
                frame_end, next_end = after, position + 1
                break
            if summed >= _MOST_SUMMED:
                return
        start = line.find(_START, frame_end if frame_end >= 0 else start + 1)


def check_finite(value: object) -> None:
    """Refuse numbers that are not finite, wherever they stand in the event."""
    if isinstance(value, msgspec.Struct):
        for inner in msgspec.structs.astuple(value):
            kind = type(inner)
            if (kind is float and math.isfinite(inner)) or kind in _FINITE:
                continue
            check_finite(inner)
    elif isinstance(value, float):
        if not math.isfinite(value):
            raise LineError("a number that is not finite")
    elif isinstance(value, dict):
        for key, inner in value.items():
            check_finite(key)
            check_finite(inner)
    elif isinstance(value, (list, tuple)):
        for inner in value:
            check_finite(inner)
