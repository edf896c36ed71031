"""What a crash leaves for the one who starts the application again."""

from __future__ import annotations

import asyncio
import threading
from pathlib import Path
from queue import Empty, Queue

import pytest
from textual.widgets import Static

from darkroom.log.journal.write import JournalWriter
from darkroom.log.store import paths
from darkroom.screens import crash
from darkroom.screens.red.red_app import RedApp
from tests.kit import odd_files
from tests.kit.hanging_disk import HangingDisk
from tests.kit.journals import DAY, PLATE, ReportLog, eager_writer, started


class _Failing(RedApp):
    def compose(self):  # type: ignore[no-untyped-def]
        """Lay out a line."""
        yield Static("here")

    def key_x(self) -> None:
        """Fail."""
        raise RuntimeError("on purpose")


class _GivingUp(RedApp):
    def on_mount(self) -> None:
        """Give up with words."""
        self.panic("given up")


def _press(key: str) -> tuple[_Failing, BaseException | None]:
    app = _Failing()

    async def run() -> BaseException | None:
        try:
            async with app.run_test() as pilot:
                await pilot.press(key)
        except RuntimeError as error:
            return error
        return None

    return app, asyncio.run(run())


def test_an_exception_is_kept_as_text() -> None:
    """After an exception `crash` is its trace, and the exit status is 1."""
    app, error = _press("x")
    assert error is not None and app.return_code == 1
    assert app.crash is not None and "RuntimeError: on purpose" in app.crash and "key_x" in app.crash


def test_a_panic_is_kept_as_text() -> None:
    """What the application gave up with is kept, without any colour."""
    app = _GivingUp()
    app.run(headless=True)
    assert app.crash is not None and app.crash.strip() == "given up"


@pytest.mark.parametrize("key", ["z"])
def test_without_a_crash_there_is_none(key: str) -> None:
    """An application that went on has no crash to tell."""
    app, error = _press(key)
    assert error is None and app.crash is None


@pytest.mark.parametrize("kind", ["fifo", "device zero", "nowhere", "folder"])
def test_a_crash_is_written_down_whatever_has_the_name_of_its_file(home: Path, kind: str) -> None:
    """A pipe or a link is replaced; where a folder has the name, a spill place takes the text."""
    odd_files.put(kind, home / "crash.txt")
    sentence = crash.kept_in(home, "a trace \udcff")
    place = paths.spill_places()[0] if kind == "folder" else home
    assert sentence == f"What happened is in {place / 'crash.txt'}."
    assert (place / "crash.txt").read_text("utf-8") == "a trace ?"


def test_a_disk_that_hangs_is_left_for_the_next_place(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The trace goes to a spill place while the log's own disk still hangs."""
    disk = HangingDisk(monkeypatch, home)
    monkeypatch.setattr(crash, "PATIENCE", (0.05, 20.0))
    place = paths.spill_places()[0] / "crash.txt"
    assert crash.kept_in(home, "a trace") == f"What happened is in {place}."
    assert place.read_text() == "a trace"
    assert not disk.answers.is_set()
    disk.answers.set()


def test_where_every_disk_hangs_nothing_is_claimed(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The bench is not held up, and it is said neither that the trace is written nor that it is not."""
    disk = HangingDisk(monkeypatch, home, *paths.spill_places())
    monkeypatch.setattr(crash, "PATIENCE", (0.05, 0.05))
    assert (
        crash.kept_in(home, "a trace") == "What happened may not be written down: the disk does not answer."
    )
    assert not disk.answers.is_set()
    disk.answers.set()


def test_without_a_thread_nothing_is_said_of_the_disk(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where no thread starts no disk was asked: the trace is not written, and that is all that is said."""

    def start(_: threading.Thread) -> None:
        raise RuntimeError("can't start new thread")

    monkeypatch.setattr(threading.Thread, "start", start)
    assert crash.kept_in(home, "a trace") == "What happened could not be written down."
    assert not (home / "crash.txt").exists()


class _Late(Queue[bool]):
    """What is written becomes known at the moment at which nobody waits for it any more."""

    def get(self, block: bool = True, timeout: float | None = None) -> bool:
        """Raise Empty, when something is there to get."""
        self.put(super().get(timeout=20))
        raise Empty


def test_a_disk_that_answers_too_late_is_not_said_to_take_nothing(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A write that ends just after its time is none that failed: it is not claimed either way."""
    monkeypatch.setattr(crash, "Queue", _Late)
    monkeypatch.setattr(crash, "spill_places", lambda: [])
    assert (
        crash.kept_in(home, "a trace") == "What happened may not be written down: the disk does not answer."
    )
    assert (home / "crash.txt").read_text() == "a trace"


def test_a_folder_with_control_characters_is_shown_harmless(
    tmp_path: Path, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The page after a crash is sent as it is: no folder's name may hold what a terminal obeys."""
    assert crash.kept_in(tmp_path / "a\x9b2Jlog\n", "a trace").endswith("a?2Jlog?/crash.txt.")


@pytest.mark.parametrize("rehearsal", [False, True])
def test_only_plates_of_the_bench_are_said_to_come_back(
    home: Path, rehearsal: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """After a crash lines that wait are counted, then all is saved; a rehearsal does not come back."""
    monkeypatch.setattr(crash, "LAST_WAIT", 0.05)
    writer: JournalWriter = eager_writer(home, ReportLog(), rehearsal=rehearsal)
    disk = HangingDisk(monkeypatch, home)
    writer.write(PLATE, DAY, [started(rehearsal=rehearsal)])
    back = "A rehearsal does not come back." if rehearsal else "Start it again: the plates come back."
    waits, said = crash.saved_or_not(writer)
    assert waits == "Lines not saved yet: 1. A key tries again, and says what is not saved."
    assert said == back
    disk.answers.set()
    monkeypatch.setattr(crash, "LAST_WAIT", 20.0)
    assert crash.saved_or_not(writer) == ["Every press is saved.", back]
    writer.close(5)
