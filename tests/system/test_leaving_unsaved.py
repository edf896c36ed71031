"""A signal while lines wait for a disk that fails: they are saved, or the terminal says which are not."""

from __future__ import annotations

import os
import re
import signal
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.kit import failing_outside
from tests.kit.failing_disk import FailingDisk, why_not
from tests.kit.journals import PLATE
from tests.kit.leaving import MARKS, MEMORY, Leaving
from tests.kit.leaving_many import LINES, PLATES, LeavingMany, is_whole
from tests.kit.photographer import Photographer, shortened
from tests.kit.terminal import Terminal

pytestmark = [
    pytest.mark.system,
    pytest.mark.slow,
    pytest.mark.skipif(why_not() is not None, reason=why_not() or ""),
]
LONGEST = 20.0
"""Seconds in which it has left: the writer gets 7, leaving the screen 2; the rest is for a slow machine."""


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Leaving]:
    """Return a bench with a log of its own; what it left in memory is taken away."""
    bench = Leaving(tmp_path)
    yield bench
    bench.clear_memory()


def _lines_told(screen: str, why: str) -> int:
    """Return how many lines are said to be not in the journal; a busy machine has stalls among them."""
    told = re.search(rf"plate 1: (\d+) lines are not in the journal: {why}", screen)
    assert told is not None, screen
    return int(told[1])


def test_a_slow_disk_is_waited_for(bench: Leaving, tmp_path: Path) -> None:
    """Lines that wait for a disk are saved when it answers; the exit status is the signal's."""
    left = bench.leave(FailingDisk(tmp_path, [bench.home], "hangs"), signal.SIGTERM, answers_after=3.0)
    assert (left.status, bench.saved_marks()) == (128 + signal.SIGTERM, MARKS)
    assert "not in the journal" not in left.screen
    assert list(bench.state.rglob("*.jsonl")) == []


def test_a_disk_that_hangs_is_left_for_another_place(bench: Leaving, tmp_path: Path) -> None:
    """What waits goes to the state folder, however many signals come, and the next start brings it home."""
    disk = FailingDisk(tmp_path, [bench.home], "hangs")
    left = bench.leave(disk, signal.SIGHUP, signal.SIGHUP, signal.SIGTERM)
    assert (left.status, left.seconds < LONGEST) == (1, True)
    assert _lines_told(left.screen, "the disk does not answer") >= MARKS
    assert "Start darkroom again: it reads them from there." in left.screen
    assert len(list(bench.state.rglob("*.jsonl"))) == 1
    disk.answer()
    assert bench.marks_that_come_back() == MARKS


def test_a_full_disk_leaves_memory(bench: Leaving, tmp_path: Path) -> None:
    """On a machine whose only disk is full the lines go to memory, and it says that power ends them."""
    disk = FailingDisk(tmp_path, [bench.home, bench.state, bench.temporary], "full")
    left = bench.leave(disk, signal.SIGTERM)
    assert (left.status, left.seconds < LONGEST) == (1, True)
    assert _lines_told(left.screen, "the disk is full") >= MARKS
    assert "That is memory, lost with the power." in left.screen
    disk.answer()
    assert bench.marks_that_come_back() == MARKS


def test_lines_that_no_place_takes_are_printed(bench: Leaving, tmp_path: Path) -> None:
    """Where nothing takes them the lines themselves stand on the terminal, whole and with their sums."""
    everywhere = [bench.home, bench.state, bench.temporary, MEMORY]
    left = bench.leave(FailingDisk(tmp_path, everywhere, "full"), signal.SIGTERM)
    assert (left.status, left.seconds < LONGEST) == (1, True)
    assert "Saved nowhere. They follow; keep them:" in left.screen
    assert left.screen.count('"event":"mark","sum":"') == MARKS
    *_, said, which = left.screen.strip().splitlines()
    assert said.startswith("Saved nowhere, only printed above; copy them")
    told = re.match(r"  (\d+) lines of plate 1: the disk is full", which)
    assert told is not None and int(told[1]) == len(re.findall(r'^\{"n":', left.screen, re.MULTILINE))


def test_a_terminal_that_has_stalled_holds_no_end_up(bench: Leaving, tmp_path: Path) -> None:
    """Where nothing takes the lines and nobody reads the terminal it ends all the same, with status 1."""
    everywhere = [bench.home, bench.state, bench.temporary, MEMORY]
    left = bench.leave(FailingDisk(tmp_path, everywhere, "full"), signal.SIGTERM, stalled=True)
    assert (left.status, left.seconds < 2 * LONGEST) == (1, True)


def test_a_limit_on_the_size_of_files_is_a_disk_that_takes_nothing(tmp_path: Path) -> None:
    """Under `ulimit -f 0` the bench works, says that the plate is not saved, and prints it at the end."""
    hand = Photographer(tmp_path / "home", 100, 24, XDG_STATE_HOME=str(tmp_path / "state"))
    hand.program = ["sh", "-c", 'ulimit -f 0; exec "$@"', "sh", *hand.program]
    with hand.terminal as terminal:
        hand.open("bench", str(shortened(tmp_path)))
        hand.press("space")
        hand.wait("not saved: plate 1")
        terminal.kill(signal.SIGTERM)
        assert terminal.wait() == 1
        assert "2 lines of plate 1: " in terminal.screen()


def test_a_fault_outside_the_application_hides_no_line(bench: Leaving, tmp_path: Path) -> None:
    """The trace stands on the terminal in red, and after it which plate has lines that no journal took."""
    disk = FailingDisk(tmp_path, [bench.home], "hangs")
    path = os.pathsep.join(filter(None, sys.path))
    env = {**bench.env, **disk.env, "DARKROOM_HOME": str(bench.home), "PYTHONPATH": path}
    with Terminal(100, 40, env=env) as terminal:
        terminal.spawn([sys.executable, failing_outside.__file__])
        assert terminal.wait() == 1
        assert failing_outside.WHAT in terminal.screen()
        assert f"plate {PLATE}: 1 line is not in the journal" in terminal.screen()
    assert len(list(bench.state.rglob("*.jsonl"))) == 1


def test_each_of_six_plates_is_told_and_comes_back(tmp_path: Path) -> None:
    """With a disk that hangs every plate is named with the number of its lines, and all come back whole."""
    bench = LeavingMany(tmp_path)
    disk = FailingDisk(tmp_path, [bench.home], "hangs")
    left = bench.leave_all(disk, signal.SIGTERM)
    assert (left.status, left.seconds < LONGEST) == (1, True)
    assert list(left.told) == list(range(1, PLATES + 1))
    assert min(left.told.values()) >= LINES
    disk.answer()
    assert all(map(is_whole, bench.open_again()))
