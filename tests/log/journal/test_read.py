"""Reading journals back: every damage is named with its place, everything good is still there."""

from __future__ import annotations

from pathlib import Path

import pytest

from darkroom.bench import events as ev
from darkroom.event_base import Newer
from darkroom.log.journal import frame
from darkroom.log.journal import read as reading
from darkroom.log.journal.merge import PlateLog, read_plate
from tests.kit.damage import flipped
from tests.kit.flipped_bits import LF, after_cut, after_flip
from tests.kit.journals import DAY, OTHER, PLATE, at, framed, marks, plate_events, started
from tests.kit.plate_files import continued, put, whats

EVENTS = plate_events()
LINES = [frame.encode(event) for event in EVENTS]
SHORT = [
    started(process={"name": "Trial", "stages": []}),
    *marks(2, 3),
    ev.PlateEnded(n=5, at=at(9), up=9.0, how="abandoned", reason="a drop of sweat"),
]


def test_a_whole_journal_is_read_without_a_problem(home: Path) -> None:
    """Every event of a plate comes back in order, with its file, its day and its schema."""
    first = put(home, b"".join(LINES))
    log = read_plate(first)
    assert list(log.events) == EVENTS
    assert log.problems == ()
    assert (log.plate, log.files, log.local_date, log.schema) == (PLATE, (first,), DAY, 1)
    assert log.journal_files[-1].whole_bytes == len(b"".join(LINES))
    assert log.ended is not None
    assert log.ended.how == "unvarnished"


def test_every_truncation_gives_the_whole_lines_before_it(home: Path) -> None:
    """Cut anywhere, a journal gives the lines whose last byte of content is there, and no other."""
    data = b"".join(map(frame.encode, SHORT))
    path = put(home, data)
    assert [after_cut(path, data, length) for length in range(len(data) + 1)] == [None] * (len(data) + 1)


def test_every_single_bit_flip_is_noticed(home: Path) -> None:
    """Flipping any bit of a journal loses only its own line, and exactly that line is named."""
    data = b"".join(map(frame.encode, SHORT))
    path = put(home, data)
    for place in range(len(data)):
        assert [after_flip(path, data, place, bit) for bit in range(8)] == [None] * 8, place


def test_the_plate_of_a_journal_with_a_flipped_bit_has_all_other_lines(home: Path) -> None:
    """What the plate is folded from is every event but the damaged one; a damaged line feed loses none."""
    data = b"".join(map(frame.encode, SHORT))
    path = put(home, data)
    of_byte = [k for k, event in enumerate(SHORT) for _ in frame.encode(event)]
    for place in range(len(data)):
        log = read_plate_of(path, flipped(data, place, 1 << place % 8))
        hit = of_byte[place]
        assert list(log.events) == (SHORT if data[place] == LF else SHORT[:hit] + SHORT[hit + 1 :])
        assert log.problems or place == len(data) - 1


def read_plate_of(path: Path, data: bytes) -> PlateLog:
    """Return the plate as it would be read if its one file had these bytes."""
    from darkroom.log.journal.merge import merge

    return merge(PLATE, [reading.scan(path, 1, data)])


@pytest.mark.parametrize("missing", range(len(SHORT) - 1))
def test_a_deleted_line_is_noticed(home: Path, missing: int) -> None:
    """A line taken out from before the last one is named by its number."""
    kept = [frame.encode(event) for n, event in enumerate(SHORT) if n != missing]
    log = read_plate(put(home, b"".join(kept)))
    assert f"line {SHORT[missing].n} missing" in [what for _, what in whats(log)]


def test_swapped_lines_are_noticed(home: Path) -> None:
    """Two swapped lines are read in the right order, with a problem."""
    log = read_plate(put(home, b"".join([LINES[0], LINES[2], LINES[1], *LINES[3:]])))
    assert list(log.events) == EVENTS
    assert whats(log) == [(3, "line 2 stands after line 3")]


def test_a_doubled_line_is_one_event(home: Path) -> None:
    """The same bytes twice are one event, and no problem."""
    log = read_plate(put(home, b"".join([*LINES[:4], LINES[2], LINES[3], *LINES[4:]])))
    assert (list(log.events), log.problems) == (EVENTS, ())


def test_an_edited_line_is_left_out_and_said(home: Path) -> None:
    """A number changed by hand makes the sum wrong: the value is not shown."""
    edited = LINES[3].replace(b'"seconds":20.0', b'"seconds":25.0')
    assert edited != LINES[3]
    log = read_plate(put(home, b"".join([*LINES[:3], edited, *LINES[4:]])))
    assert 4 not in [event.n for event in log.events]
    assert (4, "the sum is not that of the line") in whats(log)


def test_another_plates_lines_are_noticed(home: Path) -> None:
    """Two journals run into one: the plate's own lines count, the others are problems."""
    other_lines = [frame.encode(event) for event in plate_events(OTHER, number=8)[:2]]
    log = read_plate(put(home, b"".join([*LINES, *other_lines])))
    assert list(log.events) == EVENTS
    assert any(OTHER in what for _, what in whats(log))


def test_lines_run_together_are_read_and_said(home: Path) -> None:
    """Lines joined by a lost line feed are all read, with a problem."""
    log = read_plate(put(home, LINES[0] + LINES[1].rstrip(b"\n") + b"".join(LINES[2:])))
    assert list(log.events) == EVENTS
    assert whats(log) == [(2, "several lines run together; all are good")]


def test_a_torn_line_with_a_whole_one_behind_it(home: Path) -> None:
    """A whole line joined to a torn one is read."""
    log = read_plate(put(home, LINES[0] + LINES[1][:30] + b"".join(LINES[2:])))
    assert [event.n for event in log.events] == [1, *range(3, len(EVENTS) + 1)]
    assert whats(log)[0] == (2, "the sum is not that of the line; 1 good inside it")


def test_an_unfinished_last_line_is_no_problem_on_the_bench(home: Path) -> None:
    """The unfinished last line of a plate on the bench is no problem."""
    log = read_plate(put(home, b"".join(LINES[:4]) + LINES[4][:20]))
    assert (len(log.events), log.problems, log.torn) == (4, (), LINES[4][:20])


def test_an_unfinished_last_line_of_an_ended_plate_is_said(home: Path) -> None:
    """The unfinished last line of an ended plate is a problem with its line number."""
    log = read_plate(put(home, b"".join(LINES[:30]) + LINES[30][:20]))
    assert whats(log) == [(31, "the last line is unfinished; it was never saved")]


def test_zeros_after_a_power_cut_are_a_torn_line(home: Path) -> None:
    """Blocks that were given to the file and never filled read as zeros."""
    log = read_plate(put(home, b"".join(LINES[:4]) + bytes(512)))
    assert (len(log.events), log.problems, len(log.torn)) == (4, (), 512)


@pytest.mark.parametrize(
    ("data", "phrase"),
    [
        (b"", "empty"),
        (b"\n", "not a line of a journal"),
        (b"\xff\xfe\x00{\n", "not a line of a journal"),
        (b"{}\n", "not a line of a journal"),
        (b'{"n":1}\n', "not a line of a journal"),
        (LINES[0].replace(b"Trial", b"Tr\xffal"), "the sum is not"),
        (framed('"n":2,"at":"x","up":1,"event":"mark"'), "line 1 missing"),
        (framed('"n":1,"at":"x","up":1,"event":"mark"'), "`plate_started` is line 1"),
        (framed('"n":-3,"at":"x","up":1,"event":"mark"'), "-3 is no number"),
        (framed('"n":0,"at":"x","up":1,"event":"mark"'), "0 is no number"),
        (LINES[0] + continued(), "not the first line"),
        (continued(plate=OTHER) + LINES[0], "goes on from another plate"),
        (LINES[0] + framed('"n":2,"at":5,"up":1,"event":"mark"'), "the sum is right, the event is not"),
    ],
)
def test_what_is_no_journal_is_said(home: Path, data: bytes, phrase: str) -> None:
    """Each wrong content gives a problem with the telling phrase, and never an exception."""
    log = read_plate(put(home, data))
    assert any(phrase in what for _, what in whats(log)), whats(log)


def test_a_newer_schema_is_read(home: Path) -> None:
    """A journal of a later schema, with events unknown here, is read and none of it is a problem."""
    first = frame.encode(started(schema=2))
    log = read_plate(put(home, first + framed('"n":2,"at":"x","up":1,"event":"toned","with":"gold"')))
    assert (log.schema, log.problems, len(log.events)) == (2, (), 2)
    assert isinstance(log.events[1], Newer)
