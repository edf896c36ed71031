"""The order of a line's members and its sum, against a writing of the same line member by member."""

from __future__ import annotations

import json
import zlib

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom.bench import events as ev
from darkroom.event_base import Event
from darkroom.log.journal import frame
from tests.kit.journals import plate_events

ODD = st.text(st.sampled_from('",up:n\\{}null1.5 ä\u2028')) | st.just('x","up":1,"n":2,')
NUMBERS = st.none() | st.floats(allow_nan=False, allow_infinity=False) | st.integers(-9, 9)


def member_by_member(event: Event) -> bytes:
    """Return the line with n, at, up and the event's name first, each encoded by itself."""
    whole = json.loads(msgspec.json.encode(event))
    first = {key: whole.pop(key) for key in ("n", "at", "up", "event")}
    members = (f'"{key}":'.encode() + msgspec.json.encode(value) for key, value in {**first, **whole}.items())
    body = b"{" + b",".join(members)
    return body + b',"sum":"%08x"}\n' % zlib.crc32(body)


@pytest.mark.parametrize("event", plate_events(), ids=lambda event: type(event).__name__)
def test_a_line_begins_with_its_number_time_and_name(event: ev.AnyEvent) -> None:
    """Every kind of event is written in the order that all journals have."""
    assert frame.encode(event) == member_by_member(event)


@given(ODD, NUMBERS, ODD)
def test_no_text_is_taken_for_a_member(at: str, up: float | None, text: str) -> None:
    """Quotes, commas and the names of members inside texts stay where they are."""
    for event in (ev.Note(n=3, at=at, up=up, text=text), ev.Mark(n=3, at=at, up=up)):
        assert frame.encode(event) == member_by_member(event)
