"""The writer of journals: what it calls saved is on the disk, in order, whatever the disk does."""

from __future__ import annotations

import errno
import os
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from log_tools import (
    DAY,
    OTHER,
    PLATE,
    Heard,
    at,
    by_hand,
    cause,
    marks,
    path_of,
    plate_events,
    scribe,
    started,
)

from darkroom.bench import events as ev
from darkroom.errors import LineError
from darkroom.log import disk, house, journal, lines
from darkroom.log.journal import NotSaved, Saved, SavedAgain, Scribe
from darkroom.log.recovery import read_plate

EVENTS = plate_events()


def first_path(home: Path, plate: str = PLATE) -> Path:
    """Return the first file of a plate."""
    return house.plate_path(home, plate, DAY)


class FaultyDisk:
    """A disk whose calls can be made to fail: a script of faults for each kind of call."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        """Take the place of the real calls, which are still made when there is no fault."""
        self.faults: dict[str, Iterator[int | None]] = {}
        self.synced: list[str] = []
        self.calls: list[str] = []
        self.gate = threading.Event()
        self.gate.set()
        real = {name: getattr(disk, name) for name in ("write_once", "sync", "create")}
        folder, truncate = disk.sync_folder, os.ftruncate

        def write_once(fd: int, data: bytes) -> None:
            fault = self.fault("write")
            if fault == errno.ENOSPC:
                os.write(fd, data[: len(data) // 2])
            self.fail(fault)
            real["write_once"](fd, data)

        def sync(fd: int) -> None:
            self.gate.wait(10)
            self.fail(self.fault("fsync"))
            real["sync"](fd)

        def sync_folder(path: Path) -> None:
            self.fail(self.fault("folder"))
            folder(path)

        def create(path: Path, mode: int = 0o666) -> int:
            self.fail(self.fault("create"))
            return int(real["create"](path, mode))

        def ftruncate(fd: int, length: int) -> None:
            self.fail(self.fault("truncate"))
            truncate(fd, length)

        monkeypatch.setattr(disk, "write_once", write_once)
        monkeypatch.setattr(disk, "sync", sync)
        monkeypatch.setattr(disk, "sync_folder", sync_folder)
        monkeypatch.setattr(disk, "create", create)
        monkeypatch.setattr(os, "ftruncate", ftruncate)

    def fault(self, kind: str) -> int | None:
        """Return the next fault of this kind of call."""
        self.calls.append(kind)
        return next(self.faults.get(kind, iter(())), None)

    def fail(self, fault: int | None) -> None:
        """Raise a fault."""
        if fault is not None:
            raise OSError(fault, os.strerror(fault))

    def script(self, kind: str, *faults: int | None) -> None:
        """Let the next calls of this kind fail so; None is a call that works."""
        self.faults[kind] = iter(faults)


@pytest.fixture
def faulty(monkeypatch: pytest.MonkeyPatch) -> FaultyDisk:
    """Return a disk that can be made to fail."""
    return FaultyDisk(monkeypatch)


def write_all(writer: Scribe, causes: int = 4, plate: str = PLATE) -> list[ev.AnyEvent]:
    """Write some causes of a plate, one after the other; return their lines."""
    written: list[ev.AnyEvent] = []
    for number in range(causes):
        group = cause(number)
        writer.write(plate, DAY, group)
        writer.flush(2)
        written += group
    return written


# --- without faults ---------------------------------------------------------------------------


def test_a_plate_is_written_where_the_contract_says(home: Path) -> None:
    """A plate's lines stand in plates/YYYY/YYYY-MM-DD/<plate>.jsonl, sound for any JSON reader."""
    heard = Heard()
    writer = scribe(home, heard)
    for event in EVENTS:
        writer.write(PLATE, DAY, [event])
    assert writer.close(5)
    path = home / "plates" / "2026" / DAY / f"{PLATE}.jsonl"
    assert path.read_bytes() == b"".join(map(lines.encode, EVENTS))
    assert [plain["n"] for plain in by_hand(path.read_bytes())] == list(range(1, len(EVENTS) + 1))
    assert heard.all == [Saved(PLATE, event.n) for event in EVENTS]


def test_rehearsals_are_kept_apart(home: Path) -> None:
    """The plates of a rehearsal lie in a folder of their own, in the same form."""
    writer = scribe(home, Heard(), rehearsal=True)
    writer.write(PLATE, DAY, [started(rehearsal=True)])
    assert writer.close(5)
    assert (home / "rehearsals" / "2026" / DAY / f"{PLATE}.jsonl").is_file()
    assert not (home / "plates").exists()


def test_nothing_is_made_before_the_first_line(home: Path) -> None:
    """A writer that is opened and closed leaves no file, no folder and no thread."""
    before = threading.active_count()
    assert scribe(home, Heard()).close(1)
    assert not home.exists()
    assert threading.active_count() == before


def test_one_cause_is_one_write_and_one_fsync(home: Path, faulty: FaultyDisk) -> None:
    """However many lines a cause has, they go out together, and none is saved before all are."""
    heard = Heard()
    writer = scribe(home, heard)
    writer.write(PLATE, DAY, EVENTS[:1])
    writer.flush(5)
    faulty.calls.clear()
    writer.write(PLATE, DAY, EVENTS[1:7])
    assert writer.close(5)
    assert faulty.calls == ["write", "fsync"]
    assert heard.all[-1] == Saved(PLATE, 7)


def test_writing_does_not_wait_for_the_disk(home: Path, faulty: FaultyDisk) -> None:
    """While an fsync hangs, `write` takes every further event, and `waiting` says for how long."""
    now = [100.0]
    heard = Heard()
    writer = scribe(home, heard, clock=lambda: now[0])
    faulty.gate.clear()
    writer.write(PLATE, DAY, EVENTS[:1])
    now[0] = 101.5
    for event in EVENTS[1:]:
        writer.write(PLATE, DAY, [event])
    assert writer.waiting() == {PLATE: 1.5}
    assert heard.all == []
    faulty.gate.set()
    assert writer.flush(5)
    assert writer.waiting() == {}
    assert heard.saved() == len(EVENTS)
    writer.close(5)


def test_what_cannot_be_written_is_refused_at_once(home: Path) -> None:
    """A cause with a number that is not finite is refused whole; the plate goes on."""
    writer = scribe(home, Heard())
    writer.write(PLATE, DAY, EVENTS[:1])
    with pytest.raises(LineError):
        writer.write(PLATE, DAY, [*EVENTS[1:3], ev.Mark(n=4, at=at(4), up=float("nan"))])
    writer.write(PLATE, DAY, EVENTS[1:4])
    assert writer.close(5)
    assert list(read_plate(first_path(home)).events) == EVENTS[:4]


def test_two_plates_are_written_side_by_side(home: Path) -> None:
    """Each plate has a journal of its own, in its own order."""
    writer = scribe(home, Heard())
    other = plate_events(OTHER, number=8)
    for mine, theirs in zip(EVENTS, other, strict=True):
        writer.write(PLATE, DAY, [mine])
        writer.write(OTHER, DAY, [theirs])
    assert writer.close(5)
    assert list(read_plate(first_path(home)).events) == EVENTS
    assert list(read_plate(first_path(home, OTHER)).events) == other


def test_a_listener_that_fails_stops_nothing(home: Path) -> None:
    """An error where the report is heard is kept, and the next events are saved."""

    def broken(report: object) -> None:
        raise RuntimeError("gone")

    writer = scribe(home, broken)
    write_all(writer)
    assert writer.close(5)
    assert len(read_plate(first_path(home)).events) == 8
    assert writer.report_trouble[0] == "Saved: gone"


def test_writing_goes_on_after_closing(home: Path) -> None:
    """An event that comes after `close` is not lost: the journal is taken up again."""
    writer = scribe(home, Heard())
    written = write_all(writer)
    assert writer.close(5)
    writer.write(PLATE, DAY, marks(9, 1))
    assert writer.close(5)
    assert list(read_plate(first_path(home)).events) == [*written, *marks(9, 1)]


# --- taking up a journal --------------------------------------------------------------------


def resumed(home: Path, heard: Heard, events: list[ev.AnyEvent]) -> None:
    """Take up the plate as it lies on the disk and write on."""
    writer = scribe(home, heard)
    writer.adopt(read_plate(first_path(home)))
    writer.write(PLATE, DAY, events)
    assert writer.close(5)


def test_a_journal_is_taken_up_and_goes_on(home: Path, faulty: FaultyDisk) -> None:
    """A resumed journal is fsynced with its folder before anything in it counts as saved."""
    write_all(writer := scribe(home, Heard()))
    writer.close(5)
    heard = Heard()
    faulty.calls.clear()
    writer = scribe(home, heard)
    faulty.gate.clear()
    writer.adopt(read_plate(first_path(home)))
    assert PLATE in writer.waiting()
    faulty.gate.set()
    assert writer.flush(5)
    assert faulty.calls[0] == "fsync"
    assert set(faulty.calls[1:]) == {"folder"}
    writer.write(PLATE, DAY, marks(9, 2))
    assert writer.close(5)
    assert [event.n for event in read_plate(first_path(home)).events] == list(range(1, 11))
    assert heard.saved() == 10


def test_a_torn_last_line_is_moved_aside(home: Path) -> None:
    """The holder cuts off what was never saved, keeps it beside the journal, and goes on."""
    write_all(writer := scribe(home, Heard()))
    writer.close(5)
    path = first_path(home)
    with path.open("ab") as file:
        file.write(b'{"n":9,"at":"2026')
    resumed(home, Heard(), marks(9, 2))
    log = read_plate(path)
    assert (len(log.events), log.problems, log.files) == (10, (), (path,))
    assert by_hand(path.read_bytes())[-1]["n"] == 10
    assert path.with_name(f"{PLATE}.torn").read_bytes() == b'{"n":9,"at":"2026\n'


def test_a_whole_line_without_its_lf_is_kept(home: Path) -> None:
    """A last line that lacks its LF only was written whole: it gets the LF, and stays."""
    written = write_all(writer := scribe(home, Heard()))
    writer.close(5)
    path = first_path(home)
    path.write_bytes(path.read_bytes()[:-1])
    resumed(home, Heard(), marks(9, 2))
    assert path.read_bytes() == b"".join(map(lines.encode, [*written, *marks(9, 2)]))
    assert not path.with_name(f"{PLATE}.torn").exists()


def test_damage_elsewhere_is_left_alone(home: Path) -> None:
    """A bad line in the middle stays as it is, for whoever may still read something from it."""
    write_all(writer := scribe(home, Heard()))
    writer.close(5)
    path = first_path(home)
    damaged = path.read_bytes().replace(b'"mark"', b'"mork"', 1)
    path.write_bytes(damaged)
    resumed(home, Heard(), marks(9, 1))
    assert path.read_bytes() == damaged + lines.encode(marks(9, 1)[0])


def test_a_journal_changed_under_the_reader_is_not_trusted(home: Path) -> None:
    """When the file is no longer what was read back, the plate goes on in another with all its lines."""
    written = write_all(writer := scribe(home, Heard()))
    writer.close(5)
    path = first_path(home)
    log = read_plate(path)
    path.write_bytes(path.read_bytes()[:200])
    heard = Heard()
    writer = scribe(home, heard)
    writer.adopt(log)
    writer.write(PLATE, DAY, marks(9, 1))
    assert writer.close(5)
    assert list(read_plate(path).events) == [*written, *marks(9, 1)]
    assert heard.spilled()[0].path.name == f"{PLATE}.2.jsonl"


def test_a_journal_without_its_adoption_is_taken_up(home: Path) -> None:
    """A line with a number above 1 for a journal that is there already is appended to it."""
    written = write_all(writer := scribe(home, Heard()))
    writer.close(5)
    writer = scribe(home, Heard())
    writer.write(PLATE, DAY, marks(9, 1))
    assert writer.close(5)
    assert list(read_plate(first_path(home)).events) == [*written, *marks(9, 1)]


def test_a_new_plate_never_overwrites(home: Path) -> None:
    """When a journal of that name is there already, a new plate goes to a further file."""
    path = first_path(home)
    path.parent.mkdir(parents=True)
    path.write_bytes(b"something else\n")
    heard = Heard()
    writer = scribe(home, heard)
    writer.write(PLATE, DAY, [started()])
    assert writer.close(5)
    assert path.read_bytes() == b"something else\n"
    assert heard.spilled()[0].path == path.with_name(f"{PLATE}.2.jsonl")


# --- a full disk ---------------------------------------------------------------------------------


def test_no_space_is_cut_back_kept_and_tried_again(home: Path, faulty: FaultyDisk) -> None:
    """On a full disk the half line is cut off, the events wait in order, and go out when there is space."""
    heard = Heard()
    writer = scribe(home, heard)
    write_all(writer, 2)
    size = first_path(home).stat().st_size
    full = [errno.ENOSPC] * 1000
    faulty.script("write", *full)
    writer.write(PLATE, DAY, cause(2))
    writer.write(PLATE, DAY, cause(3))
    assert not writer.flush(0.3)
    assert first_path(home).stat().st_size == size
    assert heard.kinds() == ["NotSaved"]
    said = heard.all[-1]
    assert isinstance(said, NotSaved)
    assert (said.plate, said.why) == (PLATE, "the disk is full")
    assert set(writer.waiting()) == {PLATE}
    faulty.script("write")
    assert writer.flush(5)
    assert heard.kinds() == ["NotSaved", "SavedAgain"]
    assert writer.close(5)
    assert [plain["n"] for plain in by_hand(first_path(home).read_bytes())] == list(range(1, 9))
    assert read_plate(first_path(home)).files == (first_path(home),)


def test_a_full_disk_at_the_first_line_is_tried_again(home: Path, faulty: FaultyDisk) -> None:
    """A new journal that finds no room begins in its own place once there is room."""
    for kind in ("create", "write"):
        plate = {"create": PLATE, "write": OTHER}[kind]
        faulty.script(kind, *[errno.ENOSPC] * 3)
        heard = Heard()
        writer = scribe(home, heard)
        writer.write(plate, DAY, [started(plate)])
        assert writer.flush(5)
        assert heard.kinds() == ["NotSaved", "SavedAgain"]
        assert writer.close(5)
        assert read_plate(first_path(home, plate)).problems == ()


def test_leaving_on_a_full_disk_saves_elsewhere(home: Path, faulty: FaultyDisk, monkeypatch: Any) -> None:
    """Events that still wait when the tool is left go to the first other place that takes them."""
    heard = Heard()
    writer = scribe(home, heard)
    write_all(writer, 2)
    real, own = disk.write_once, str(home)

    def full(fd: int, data: bytes) -> None:
        if path_of(fd).startswith(own):
            raise OSError(errno.ENOSPC, "full")
        real(fd, data)

    monkeypatch.setattr(disk, "write_once", full)
    writer.write(PLATE, DAY, cause(2))
    assert not writer.flush(0.1)
    assert writer.close(5)
    assert [report.path.parent for report in heard.spilled()] == [house.spill_places()[0]]
    log = read_plate(first_path(home))
    assert ([event.n for event in log.events], log.problems) == ([1, 2, 3, 4, 5, 6], ())


# --- a failing disk --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "fault"),
    [("write", errno.EIO), ("write", errno.EROFS), ("write", errno.EFBIG), ("fsync", errno.EIO),
     ("fsync", errno.ENOSPC), ("fsync", errno.EDQUOT)],
)  # fmt: skip
def test_a_failing_file_is_left(home: Path, faulty: FaultyDisk, kind: str, fault: int) -> None:
    """After EIO, a read-only disk or a failed fsync the plate goes on beside it; nothing is lost."""
    heard = Heard()
    writer = scribe(home, heard)
    write_all(writer, 2)
    faulty.script(kind, fault)
    writer.write(PLATE, DAY, cause(2))
    assert writer.flush(5)
    writer.write(PLATE, DAY, cause(3))
    assert writer.close(5)
    second = first_path(home).with_name(f"{PLATE}.2.jsonl")
    assert heard.kinds() == ["Spilled"]
    assert heard.spilled()[0].path == second
    plain = by_hand(second.read_bytes())
    assert (plain[0]["n"], plain[0]["event"], plain[0]["plate"], plain[0]["saved"]) == (
        0,
        "continued",
        PLATE,
        4,
    )
    assert [line["n"] for line in plain[1:]] == [5, 6, 7, 8]
    log = read_plate(first_path(home))
    assert ([event.n for event in log.events], log.problems) == (list(range(1, 9)), ())
    assert lines.encode(cause(2)[0]) in second.read_bytes()


def test_a_failed_fsync_is_never_asked_again(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The system may call a second fsync good although the bytes are gone: it is not asked."""
    asked: list[str] = []
    real = disk.sync

    def sync(fd: int) -> None:
        asked.append(Path(path_of(fd)).name)
        if len(asked) == 2:
            raise OSError(errno.EIO, "Input/output error")
        real(fd)

    monkeypatch.setattr(disk, "sync", sync)
    writer = scribe(home, Heard())
    write_all(writer, 5)
    assert writer.close(5)
    assert asked == [f"{PLATE}.jsonl"] * 2 + [f"{PLATE}.2.jsonl"] * 4


def test_the_places_are_tried_in_their_order(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The plate's folder, the user's state folder, the temporary folder: the first that works is taken."""
    bad: list[str] = []
    real = disk.sync

    def sync(fd: int) -> None:
        path = path_of(fd)
        if any(path.startswith(place) for place in bad):
            raise OSError(errno.EIO, "Input/output error")
        real(fd)

    monkeypatch.setattr(disk, "sync", sync)
    state, temporary = house.spill_places()
    heard = Heard()
    writer = scribe(home, heard)
    write_all(writer, 2)
    for number, place in enumerate([home, state, temporary], 2):
        bad.append(str(place))
        writer.write(PLATE, DAY, cause(number))
        assert writer.flush(0.3) is (place != temporary)
    assert [report.path.parent for report in heard.spilled()] == [state, temporary]
    assert heard.kinds()[-1] == "NotSaved"
    bad.clear()
    assert writer.close(5)
    assert heard.spilled()[-1].path.parent == first_path(home).parent
    log = read_plate(first_path(home))
    assert ([event.n for event in log.events], log.problems) == (list(range(1, 11)), ())
    assert isinstance(heard.all[-1], SavedAgain)


def test_a_failed_resume_writes_every_line_again(home: Path, faulty: FaultyDisk) -> None:
    """When the fsync of a resumed journal fails nothing in it counts: all of it goes to the next file."""
    written = write_all(writer := scribe(home, Heard()))
    writer.close(5)
    log = read_plate(first_path(home))
    faulty.script("fsync", errno.EIO)
    heard = Heard()
    writer = scribe(home, heard)
    writer.adopt(log)
    writer.write(PLATE, DAY, marks(9, 1))
    assert writer.close(5)
    second = first_path(home).with_name(f"{PLATE}.2.jsonl")
    assert second.read_bytes().split(b"\n", 1)[1] == b"".join(map(lines.encode, [*written, *marks(9, 1)]))
    assert by_hand(second.read_bytes())[0]["saved"] == 0


def test_a_spilled_plate_is_brought_home(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A plate that went on in the state folder is copied back beside its journal when it is resumed."""
    with monkeypatch.context() as patch:
        real = disk.sync
        bad = [False]

        def sync(fd: int) -> None:
            if bad[0] and path_of(fd).startswith(str(home)):
                raise OSError(errno.EIO, "Input/output error")
            real(fd)

        patch.setattr(disk, "sync", sync)
        writer = scribe(home, Heard())
        write_all(writer, 2)
        bad[0] = True
        writer.write(PLATE, DAY, cause(2))
        assert writer.close(5)
    spilled = read_plate(first_path(home)).files[-1]
    assert spilled.parent == house.spill_places()[0]
    kept = spilled.read_bytes()
    for again in range(3):
        resumed(home, Heard(), marks(7 + again, 1))
    assert spilled.read_bytes() == kept
    spilled.unlink()
    log = read_plate(first_path(home))
    assert ([event.n for event in log.events], log.problems) == (list(range(1, 10)), ())
    assert [path.name for path in log.files] == [f"{PLATE}.jsonl", f"{PLATE}.4.jsonl"]


def test_a_deleted_journal_is_written_anew(home: Path) -> None:
    """When the file is taken away under the writer every line of the plate is saved again in another."""
    heard = Heard()
    writer = scribe(home, heard)
    written = write_all(writer)
    first_path(home).unlink()
    writer.write(PLATE, DAY, marks(9, 1))
    assert writer.close(5)
    assert [report.why for report in heard.spilled()] == ["the journal was deleted"]
    log = read_plate(heard.spilled()[0].path)
    assert list(log.events) == [*written, *marks(9, 1)]
    assert by_hand(log.files[0].read_bytes())[0]["saved"] == 0


def test_an_error_of_our_own_loses_nothing(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever goes wrong in the writer itself, the events are kept and go to another file."""
    heard = Heard()
    writer = scribe(home, heard)
    written = write_all(writer)
    calls = iter([MemoryError("no memory")])
    real = disk.write_once

    def write_once(fd: int, data: bytes) -> None:
        for error in calls:
            raise error
        real(fd, data)

    monkeypatch.setattr(disk, "write_once", write_once)
    writer.write(PLATE, DAY, marks(9, 1))
    assert writer.close(5)
    assert heard.kinds() == ["NotSaved", "Spilled", "SavedAgain"]
    assert list(read_plate(first_path(home)).events) == [*written, *marks(9, 1)]


def test_one_plates_bad_disk_does_not_hold_up_another(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """While one plate waits for space the events of another are saved."""
    real = disk.write_once

    def write_once(fd: int, data: bytes) -> None:
        if PLATE in path_of(fd):
            raise OSError(errno.ENOSPC, "full")
        real(fd, data)

    monkeypatch.setattr(disk, "write_once", write_once)
    heard = Heard()
    writer = scribe(home, heard)
    writer.write(PLATE, DAY, [started()])
    writer.write(OTHER, DAY, [started(OTHER)])
    writer.write(OTHER, DAY, marks(2, 3))
    assert not writer.flush(0.3)
    assert heard.saved(OTHER) == 4
    assert set(writer.waiting()) == {PLATE}
    monkeypatch.setattr(disk, "write_once", real)
    assert writer.close(5)


FAULTS = st.lists(st.sampled_from([None, None, errno.ENOSPC, errno.EIO, errno.EROFS]), max_size=8)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.fixed_dictionaries({kind: FAULTS for kind in ("write", "fsync", "folder", "create", "truncate")}),
       st.booleans())  # fmt: skip
def test_whatever_fails_nothing_is_lost_or_out_of_order(
    tmp_path_factory: pytest.TempPathFactory, faults: dict[str, list[int | None]], restart: bool
) -> None:
    """Random faults in every call: each line is there when it is called saved, and all are at the end."""
    folder = tmp_path_factory.mktemp("any")
    home = folder / "home"
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(house, "spill_places", lambda: (folder / "state", folder / "tmp"))
        faulty = FaultyDisk(patch)
        wrong: list[str] = []

        def check(report: journal.Report) -> None:
            if isinstance(report, Saved):
                there = {event.n for event in found(home).events}
                if not there >= set(range(1, report.n + 1)):
                    wrong.append(f"{report} but {sorted(there)}")

        for kind, script in faults.items():
            faulty.script(kind, *script)
        writer = scribe(home, check, retry=0.0)
        written: list[ev.AnyEvent] = []
        for number in range(6):
            if restart and number == 3:
                assert writer.close(5)
                writer = scribe(home, check, retry=0.0)
                writer.adopt(found(home))
            writer.write(PLATE, DAY, cause(number))
            written += cause(number)
        assert writer.close(5)
        log = found(home)
        assert list(log.events) == written
        assert log.problems == ()
        assert wrong == []


def found(home: Path) -> Any:
    """Read the plate back from wherever its first file is."""
    from darkroom.log.recovery import find_plates

    paths = find_plates(home)
    return read_plate(paths[0] if paths else first_path(home))


def test_a_released_journal_can_be_noted_in(home: Path) -> None:
    """The bench holds the lock of its journals until it says that it is done with a plate."""
    writer = scribe(home, Heard())
    write_all(writer)
    fd = disk.append(first_path(home))
    try:
        assert not disk.lock(fd)
        writer.release(PLATE)
        assert disk.lock(fd, wait=5)
    finally:
        os.close(fd)
    writer.close(5)
