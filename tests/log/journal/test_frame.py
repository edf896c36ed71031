"""The format of a journal's line: members, order, checksum, and detection of small damage."""

from __future__ import annotations

import binascii
import json
import math
import zlib
from typing import Any, get_args

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from darkroom.bench import events as ev
from darkroom.errors import LineError
from darkroom.event_base import Newer
from darkroom.log.journal import frame as lines
from darkroom.log.journal.plate_lines import READER
from darkroom.process.model import ExposurePlan
from tests.kit.journals import PROCESS, at, framed, plate_events, started
from tests.kit.nightly import examples

EVENTS = plate_events()
KINDS = get_args(ev.AnyEvent)


def test_the_sample_has_an_event_of_every_kind() -> None:
    """The sample plate that other tests use leaves no event out but the line of a further file."""
    assert {type(event) for event in EVENTS} == set(KINDS) - {ev.Continued}


@pytest.mark.parametrize("event", EVENTS, ids=lambda event: type(event).__name__)
def test_a_line_is_the_contracts_bytes(event: ev.AnyEvent) -> None:
    """A line is P, the sum of P as the last member, and LF; `n`, `at`, `up`, `event` come first."""
    line = lines.encode(event)
    body, sign, rest = line.rpartition(b',"sum":"')
    plain = json.loads(line)
    assert sign
    assert rest == b"%08x" % binascii.crc32(body) + b'"}\n'
    assert list(plain)[:4] == ["n", "at", "up", "event"]
    assert list(plain)[-1] == "sum"
    assert line.count(b"\n") == 1


def test_the_sum_is_the_crc_32_of_the_standards() -> None:
    """`zlib.crc32` gives CBF43926 for "123456789", the check value of CRC-32 (ITU-T V.42; from memory)."""
    assert zlib.crc32(b"123456789") == 0xCBF43926


def test_text_is_kept_as_utf_8() -> None:
    """Text outside ASCII stands in the journal as itself, so that any program can search it."""
    line = lines.encode(ev.Note(n=2, at=at(1), up=None, text="Kollodium, 20\u00a0°C, \u5199\u771f"))
    assert "Kollodium, 20\u00a0°C, \u5199\u771f".encode() in line


@pytest.mark.parametrize("event", EVENTS, ids=lambda event: type(event).__name__)
def test_a_line_is_read_back_and_written_again_byte_for_byte(event: ev.AnyEvent) -> None:
    """Reading a line gives the event; writing that event gives the same bytes."""
    line = lines.encode(event)
    decoded = READER.decode(line)
    assert type(decoded) is type(event)
    assert lines.encode(decoded) == line  # type: ignore[arg-type]


TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=40)
FLOAT = st.floats(allow_nan=False, allow_infinity=False)
PLAN = st.none() | st.builds(
    ExposurePlan, seconds=st.none() | FLOAT, steps=st.none() | st.tuples(FLOAT, FLOAT)
)
PLAIN = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53), 2**53) | FLOAT | TEXT,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(TEXT, inner, max_size=3),
    max_leaves=12,
)


JUNK = st.binary(max_size=30).map(lambda junk: junk.replace(b"\n", b" "))


def _any_event(kind: type[Any]) -> st.SearchStrategy[Any]:
    special = {
        "n": st.integers(0, 10**6),
        "up": st.none() | FLOAT,
        "process": st.dictionaries(TEXT, PLAIN, max_size=4),
        "plan": PLAN,
    }
    chosen = {}
    for field in msgspec.structs.fields(kind):
        chosen[field.name] = special.get(field.name, _of(field.type))
    return st.builds(kind, **chosen)


def _of(kind: Any) -> st.SearchStrategy[Any]:
    return st.from_type(kind).filter(_can_be_written)


def _can_be_written(value: Any) -> bool:
    try:
        lines.check_finite(value)
        msgspec.json.encode(value)
    except (LineError, UnicodeEncodeError, OverflowError):
        return False
    return True


@settings(max_examples=examples(300))
@given(st.one_of([_any_event(kind) for kind in KINDS]))
def test_any_event_goes_round_byte_for_byte(event: ev.AnyEvent) -> None:
    """Whatever finite numbers and valid text an event holds, it is read back the same, to the byte."""
    line = lines.encode(event)
    decoded = READER.decode(line)
    assert isinstance(decoded, KINDS)
    assert lines.encode(decoded) == line
    assert json.loads(line)["event"] == type(event).__struct_config__.tag


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_numbers_that_are_not_finite_are_refused(value: float) -> None:
    """JSON has no such numbers, and a journal never holds null in their place."""
    for event in (
        ev.StageEnded(n=2, at=at(1), up=1.0, stage="fix", seconds=value, planned=None, how="strike"),
        ev.Mark(n=2, at=at(1), up=value),
        ev.ExposureSet(n=2, at=at(1), up=1.0, plan=ExposurePlan(steps=(1.0, value))),
        started(process={**PROCESS, "deep": {"list": [1.0, {"x": value}]}}),
        started(temperatures={"bath": (value, "hand")}),
    ):
        with pytest.raises(LineError, match="not finite"):
            lines.encode(event)


def test_text_that_is_no_unicode_is_refused() -> None:
    """Half a surrogate pair, as a terminal can deliver, is refused before it reaches the disk."""
    for text in ("\ud83d", "x\udc80"):
        with pytest.raises(LineError, match="Unicode"):
            lines.encode(ev.Note(n=2, at=at(1), up=None, text=text))
        with pytest.raises(LineError, match="Unicode"):
            lines.encode(ev.Mark(n=2, at=text, up=None))


def test_every_truncation_of_a_line_is_refused() -> None:
    """A line cut short anywhere is no line; only its LF may be missing."""
    line = lines.encode(EVENTS[4])
    for length in range(len(line) - 1):
        with pytest.raises(LineError):
            READER.decode(line[:length])
    assert READER.decode(line[:-1]) == EVENTS[4]


def test_every_single_bit_flip_is_refused() -> None:
    """Flipping any bit of a line makes it a bad line: the checksum is compared as text."""
    line = lines.encode(EVENTS[4])
    for position in range(len(line) - 1):
        for bit in range(8):
            damaged = bytearray(line)
            damaged[position] ^= 1 << bit
            with pytest.raises(LineError):
                READER.decode(bytes(damaged))


def test_upper_case_hex_in_a_sum_is_refused() -> None:
    """The sum is eight lower-case hex digits, nothing that merely means the same number."""
    line = next(
        line for line in map(lines.encode, map(_mark, range(99))) if line[-11:-3].upper() != line[-11:-3]
    )
    with pytest.raises(LineError):
        READER.decode(line[:-11] + line[-11:-3].upper() + line[-3:])


def _mark(n: int) -> ev.Mark:
    return ev.Mark(n=n, at=at(n), up=None)


@pytest.mark.parametrize(
    ("members", "phrase"),
    [
        ('"n":2,"at":"x","up":1', "event"),
        ('"n":"2","at":"x","up":1,"event":"mark"', "Expected `int`"),
        ('"n":2,"at":"x","up":1e999,"event":"mark"', "out of range"),
        ('"n":2,"at":"x","up":NaN,"event":"mark"', "malformed"),
        ('"n":2,"at":"x","up":1,"event":"stage_ended","stage":"fix"', "missing required"),
        ('"n":2,"at":"x","up":1,"event":"clock","kind":"frozen","seconds":1', "Invalid enum"),
        ('"n":2,"at":"\udc80","up":1,"event":"mark"', "UTF-8"),
        ('"n":2,"at":"x","up":1,"event":"mark","x":' + "[" * 100_000, "deeply nested"),
    ],
)
def test_a_right_sum_does_not_make_a_wrong_event_right(members: str, phrase: str) -> None:
    """Members that are not the event's are refused with the reason, although the sum is right."""
    with pytest.raises(LineError, match=phrase):
        READER.decode(framed(members))


def test_unknown_members_are_ignored() -> None:
    """A member that a later version added does not stop this one."""
    line = framed('"n":2,"at":"x","up":1.5,"event":"mark","colour":"amber","deep":{"a":[1]}')
    decoded = READER.decode(line)
    assert decoded == ev.Mark(n=2, at="x", up=1.5)


def test_an_unknown_event_is_kept_as_it_came() -> None:
    """An event of a later version is read with its members, and is not taken for damage."""
    decoded = READER.decode(framed('"n":9,"at":"x","up":2,"event":"toned","with":"gold","celsius":38.5'))
    assert decoded == Newer(n=9, at="x", up=2.0, event="toned", members={"with": "gold", "celsius": 38.5})


def test_frames_are_found_inside_a_bad_line() -> None:
    """Two lines run together, or a whole line behind a torn one, are found again."""
    first, second, third = (lines.encode(event).rstrip(b"\n") for event in EVENTS[:3])
    assert [frame for _, frame in lines.frames_within(first + second)] == [first, second]
    assert [frame for _, frame in lines.frames_within(first[: len(first) // 2] + second)] == [second]
    assert [frame for _, frame in lines.frames_within(b"\x00\xff" + second + b"junk" + third[:-4])] == [
        second
    ]
    assert list(lines.frames_within(second[5:])) == []
    assert [offset for offset, _ in lines.frames_within(b"##" + second)] == [2]


@settings(max_examples=examples(100))
@given(st.lists(st.sampled_from(EVENTS[1:]) | JUNK, max_size=6))
def test_every_whole_frame_among_junk_is_found(parts: list[Any]) -> None:
    """Whatever lies between whole frames on one line, each of them is found, in order."""
    pieces = [part if isinstance(part, bytes) else lines.encode(part).rstrip(b"\n") for part in parts]
    expected = [piece for piece, part in zip(pieces, parts, strict=True) if not isinstance(part, bytes)]
    assert [frame for _, frame in lines.frames_within(b"".join(pieces))] == expected


def test_a_hostile_line_ends() -> None:
    """The search of a megabyte of line starts and ends without a right checksum ends early."""
    bad = b'{"n":' * 100_000 + b',"sum":"00000000"}' * 30_000
    assert list(lines.frames_within(bad)) == []
