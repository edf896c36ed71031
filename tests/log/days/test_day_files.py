"""The day's file: what is read of it, how it is appended to, and what the book of the bench makes of it."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest
from msgspec.structs import replace

from darkroom.bench.working_day import hour, working_day
from darkroom.errors import LineError, NotSavedError
from darkroom.log.days import files
from darkroom.log.days.book import DayBook
from darkroom.log.days.events import CONFIRM, Begun, Closed, Day, DayEvent, Note, SeenTo
from darkroom.log.store import durable

AT = "2026-11-02T09:12:30.000+01:00"
LATER = "2026-11-02T18:40:00.000+01:00"
BENCH = "00000000000000be"


def write(home: Path, *lines: DayEvent, day: str = "2026-11-02") -> Path:
    """Append the lines to the file of a day, numbered anew; return it."""
    path = files.path_of(home, day, BENCH)
    for line in lines:
        files.append(path, lambda n, line=line: [replace(line, n=n)])  # type: ignore[misc]
    return path


def seen(item: str, at: str = AT, value: str | None = None) -> SeenTo:
    """Return a line that an item was seen to."""
    return SeenTo(n=0, at=at, up=None, id=item, value=value)


def test_the_day_changes_at_four_in_the_morning() -> None:
    """Work until 03:59 belongs to the evening before, in the offset of its own stamp."""
    assert working_day("2026-11-03T03:59:59.999+01:00") == "2026-11-02"
    assert working_day("2026-11-03T04:00:00.000+01:00") == "2026-11-03"
    assert working_day("2026-01-01T00:30:00.000-11:00") == "2025-12-31"
    assert hour(AT) == "09:12"


def test_what_is_appended_is_read_back(home: Path) -> None:
    """Ticks, values, answers, notes, the beginning and the end of a day are told with their instants."""
    what = "Somebody is near?"
    write(
        home,
        seen("goggles"),
        seen("room", value="19.0 °C"),
        Begun(n=0, at=AT, up=1.5, bench=BENCH, shown=("goggles", "gloves")),
        SeenTo(n=0, at=AT, up=None, id=CONFIRM, process="Tintype", what=what),
        Note(n=0, at=AT, up=None, text="new bath"),
        Closed(n=0, at=LATER, up=None, shown=("bottles-capped",)),
    )
    expected = Day(
        date="2026-11-02",
        begun=AT,
        closed=LATER,
        seen={"goggles": AT, "room": AT},
        values={"room": "19.0 °C"},
        confirmed={("Tintype", what): AT},
        shown=frozenset({"goggles", "gloves"}),
        notes=("new bath",),
    )
    assert (expected, []) == files.read_day(home, "2026-11-02", BENCH)


def test_a_day_that_begins_again_is_open_again(home: Path) -> None:
    """A plate after the closing sheet opens the day: `closed` stands while nothing was begun after it."""
    begun = Begun(n=0, at=AT, up=None, bench=BENCH)
    write(home, begun, Closed(n=0, at=AT, up=None), Begun(n=0, at=LATER, up=None, bench=BENCH))
    assert files.read_day(home, "2026-11-02", BENCH)[0].closed is None


def test_damage_costs_only_its_line(home: Path) -> None:
    """A flipped byte, a line of a newer version and a torn end are problems; the good lines count."""
    path = write(home, seen("goggles"), seen("gloves"))
    data = path.read_bytes()
    path.write_bytes(data.replace(b"goggles", b"gogglez") + b'{"n":3,"at":"')
    day, problems = files.read_day(home, "2026-11-02", BENCH)
    assert day.seen == {"gloves": AT}
    assert [problem.line for problem in problems] == [1, 3]
    write(home, seen("water"))
    assert files.read_day(home, "2026-11-02", BENCH)[0].seen == {"gloves": AT, "water": AT}


def test_numbers_go_on(home: Path) -> None:
    """Each line has the number after the highest in the file."""
    path = write(home, seen("goggles"), seen("gloves"), seen("water"))
    assert [int(line[5:6]) for line in path.read_bytes().splitlines()] == [1, 2, 3]


def test_a_full_disk_leaves_the_file_as_it_was(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A line that the disk does not take is told, and nothing of it stays in the file."""
    path = write(home, seen("goggles"))
    before = path.read_bytes()

    def full(fd: int, data: bytes) -> None:
        os.write(fd, data[:7])
        raise OSError(errno.ENOSPC, "full")

    monkeypatch.setattr(durable, "write_once", full)
    with pytest.raises(NotSavedError, match="not saved"):
        write(home, seen("gloves"))
    assert path.read_bytes() == before


def test_what_is_no_plain_file_is_told_and_never_waited_for(home: Path) -> None:
    """A pipe in the place of the day's file is a problem on reading and refused on writing."""
    path = files.path_of(home, "2026-11-02", BENCH)
    path.parent.mkdir()
    os.mkfifo(path)
    day, problems = files.read_day(home, "2026-11-02", BENCH)
    assert day == Day(date="2026-11-02") and "not a plain file" in str(problems[0])
    with pytest.raises(NotSavedError):
        write(home, seen("goggles"))


def test_the_last_time_an_item_was_seen_to_is_found_in_the_days_before(home: Path) -> None:
    """The newest of the days within reach counts; older ones do not."""
    for day in ("2026-10-20", "2026-10-29", "2026-10-31"):
        write(home, seen("fog-test"), seen("goggles"), day=day)
    assert files.last_seen(home, "2026-11-02", BENCH, ["fog-test"], 7) == {"fog-test": "2026-10-31"}
    assert files.last_seen(home, "2026-11-09", BENCH, ["fog-test"], 7) == {}


def test_the_book_counts_at_once_and_writes_soon(home: Path) -> None:
    """A line stands in the day as soon as it is added, and in the file when the book is closed."""
    book = DayBook(home, BENCH)
    assert "goggles" in book.add(lambda n: SeenTo(n=n, at=AT, up=2.0, id="goggles"), AT).seen
    assert book.close(5.0)
    assert files.read_day(home, "2026-11-02", BENCH)[0].seen == {"goggles": AT}


def test_the_book_reads_what_others_wrote(home: Path) -> None:
    """A line ticked from the command line meanwhile is there when the book is read again."""
    book = DayBook(home, BENCH)
    assert book.day(AT).seen == {}
    write(home, seen("gloves"))
    assert book.read_again(AT).seen == {"gloves": AT}


def test_the_book_turns_the_page_at_four(home: Path) -> None:
    """What was seen to yesterday is not seen to today."""
    book = DayBook(home, BENCH)
    book.add(lambda n: SeenTo(n=n, at=AT, up=None, id="goggles"), AT)
    assert book.day("2026-11-03T03:00:00.000+01:00").seen
    assert book.day("2026-11-03T04:00:01.000+01:00").seen == {}
    assert book.close(5.0)


def test_a_rehearsal_keeps_no_day(home: Path) -> None:
    """A book that is not kept neither reads nor writes, and tells what was added to it."""
    write(home, seen("goggles"))
    book = DayBook(home, BENCH, kept=False)
    assert book.day(AT).seen == {}
    assert book.add(lambda n: SeenTo(n=n, at=AT, up=None, id="gloves"), AT).seen == {"gloves": AT}
    assert book.close(5.0)
    assert files.read_day(home, "2026-11-02", BENCH)[0].seen == {"goggles": AT}


def test_a_line_that_was_not_saved_is_said_and_saved_with_the_next(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The book says why a line is not saved, keeps it, and saves it when the disk takes lines again."""
    said: list[str | None] = []
    book = DayBook(home, BENCH, trouble=said.append)
    append = files.append

    def refuse(*_: object) -> None:
        raise NotSavedError("the day's sheet is not saved: no space")

    monkeypatch.setattr(files, "append", refuse)
    book.add(lambda n: SeenTo(n=n, at=AT, up=None, id="goggles"), AT)
    assert not book.close(5.0)
    monkeypatch.setattr(files, "append", append)
    book.add(lambda n: SeenTo(n=n, at=AT, up=None, id="gloves"), AT)
    assert book.close(5.0)
    assert said[0] == "the day's sheet is not saved: no space" and said[-1] is None
    assert set(files.read_day(home, "2026-11-02", BENCH)[0].seen) == {"goggles", "gloves"}


def test_a_text_that_cannot_be_written_is_refused_at_once(home: Path) -> None:
    """Half a character in a note is an error where it was typed, and the day stays as it was."""
    book = DayBook(home, BENCH)
    with pytest.raises(LineError):
        book.add(lambda n: Note(n=n, at=AT, up=None, text="\ud800"), AT)
    assert book.day(AT).notes == ()
