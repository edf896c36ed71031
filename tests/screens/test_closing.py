"""The end of the tool: lines that no journal took are said, whoever saves and whatever fails meanwhile."""

from __future__ import annotations

import json
import threading
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import pytest

from darkroom.bench import events as ev
from darkroom.log.journal import last_save
from darkroom.log.journal.frame import encode
from darkroom.log.journal.plate_files import Batch
from darkroom.log.journal.write import JournalWriter, Unsaved
from darkroom.log.store import paths
from darkroom.screens import closing
from darkroom.screens.closing import Closing
from tests.kit.hanging_disk import HangingDisk
from tests.kit.journals import DAY, PLATE, ReportLog, eager_writer, started

WHY = f"plate {PLATE}: 1 line is not in the journal: {last_save.NO_ANSWER}"
Other = tuple[str | None, Callable[[float], bool]]


@pytest.fixture
def disk(home: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[HangingDisk]:
    """Return a disk that hangs below the log; it is given up soon."""
    monkeypatch.setattr(closing, "save_all", _soon)
    disk = HangingDisk(monkeypatch, home)
    yield disk
    disk.answers.set()


def _soon(home: Path, writer: JournalWriter, **options: object) -> list[last_save.NotInJournal]:
    return last_save.save_all(home, writer, copies_after=0.05, longest=0.3, **options)  # type: ignore[arg-type]


def _closing(home: Path, *, rehearsal: bool = False, others: Sequence[Other] = ()) -> Closing:
    """Return the end of a tool with one line that waits for the disk."""
    writer = eager_writer(home, ReportLog(), rehearsal=rehearsal)
    writer.write(PLATE, DAY, [started(rehearsal=rehearsal)])
    return Closing(home, writer, dict, others)


@pytest.mark.parametrize(
    ("rehearsal", "then"),
    [
        (False, "Start darkroom again: it reads them from there."),
        (True, "A rehearsal does not come back; darkroom log list --rehearsals reads them from there."),
    ],
)
def test_what_is_done_with_the_copy_is_said_as_it_is(
    home: Path, disk: HangingDisk, rehearsal: bool, then: str
) -> None:
    """The copy of a plate is read when the tool starts, that of a rehearsal when rehearsals are listed."""
    said: list[str] = []
    assert not _closing(home, rehearsal=rehearsal).run(said.append)
    copy = paths.spill_places()[0] / f"{PLATE}.2.jsonl"
    waits = "1 line is not saved yet: tried for a few seconds more"
    assert said == [waits, WHY, f"  Kept in {copy}", f"  {then}"]
    assert copy.exists()


def test_the_second_who_saves_waits_until_the_first_has_said_it(home: Path, disk: HangingDisk) -> None:
    """Two threads that end the tool get the same answer; it is said once, before either goes on."""
    end, said, speaks, may_speak = _closing(home), [], threading.Event(), threading.Event()
    answers: list[tuple[bool, int]] = []

    def say(line: str) -> None:
        speaks.set()
        may_speak.wait(20)
        said.append(line)

    def run() -> None:
        all_saved = end.run(say)
        answers.append((all_saved, len(said)))

    threads = [threading.Thread(target=run) for _ in range(2)]
    threads[0].start()
    assert speaks.wait(20)
    threads[1].start()
    assert answers == []
    may_speak.set()
    for thread in threads:
        thread.join(20)
    assert said.count(WHY) == 1
    assert answers == [(False, len(said))] * 2


def test_a_fault_of_our_own_while_saving_hides_no_line(
    home: Path, disk: HangingDisk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever saving or the other files raise, the lines that wait are printed and not all is saved."""

    def fault(*_: object, **__: object) -> bool:
        raise ValueError("on purpose")

    monkeypatch.setattr(closing, "save_all", fault)
    said: list[str] = []
    end = _closing(home, others=[("the day's sheet", fault), (None, fault)])
    assert not end.run(said.append)
    assert said[:2] == [WHY, "  Saved nowhere. They follow; keep them:"]
    assert '"event":"plate_started"' in said[2]
    assert "not saved: the day's sheet" in said
    assert not end.run(said.append)


def test_a_folder_with_control_characters_is_said_harmless(
    tmp_path: Path, home: Path, disk: HangingDisk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is said goes to the terminal as it is: the name of a folder holds nothing that it obeys."""
    monkeypatch.setattr("darkroom.log.store.paths.state_dir", lambda: tmp_path / "a\x1b]2;b\x07")
    said: list[str] = []
    assert not _closing(home).run(said.append)
    assert said[2] == f"  Kept in {tmp_path}/a?]2;b?/spill/{PLATE}.2.jsonl"


def test_a_printed_line_is_one_line_and_harmless() -> None:
    """Signs that end a line or turn the writing are escaped in JSON's own notation; it means the same."""
    text = "a\u2028b\u202ec\x9bd\x7f"
    data = encode(ev.Note(n=2, at="2026-03-01T09:00:00.000+01:00", up=None, text=text))
    unsaved = Unsaved(PLATE, Path("plate.jsonl"), [Batch(2, 1, data, "", None, 0.0, 2)], None)
    lines = closing.lines_of({}, [last_save.NotInJournal(unsaved, None)])
    (printed,) = [line for line in lines if line.startswith("{")]
    assert printed.isprintable()
    assert json.loads(printed)["text"] == text
