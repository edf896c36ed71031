"""Real disks: one that is full and then enlarged, one that is read-only, one whose power is cut.

A power cut is a file system on a loop device that is shut down under the writer (`xfs_io -x -c shutdown`):
what was not synced is gone. The control, the same writer without fsync, must lose; so the test can fail.
"""

from __future__ import annotations

import random
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from darkroom.log.journal.find import find_plates
from darkroom.log.journal.merge import read_plate
from darkroom.log.store import bench_files, durable, paths
from tests.kit.journals import (
    DAY,
    PLATE,
    ReportLog,
    by_hand,
    cause,
    eager_writer,
    marks,
    program,
    started,
)
from tests.kit.power_cut import Powered, lost_in_a_cut, run, why_not

CYCLES = 50
CONTROLS = 3


@contextmanager
def mounted(at: Path, *options: str) -> Iterator[None]:
    """Mount a file system for a while; the test is skipped by name where that is not allowed."""
    at.mkdir(exist_ok=True)
    try:
        run("mount", *options, str(at))
    except subprocess.CalledProcessError as error:
        pytest.skip(f"mount is not allowed here: {error.stderr.strip()}")
    try:
        yield
    except BaseException:
        run("umount", "--lazy", str(at))  # a writer may still hold a file after a failed check
        raise
    run("umount", str(at))


def whole(home: Path) -> list[int]:
    """Read the one plate back by its first file; return the numbers of its lines."""
    log = read_plate(paths.plate_path(home, PLATE, DAY))
    assert log.problems == ()
    return [event.n for event in log.events]


def fill(folder: Path) -> None:
    """Fill the disk to its last block."""
    with (folder / "ballast").open("wb", buffering=0) as ballast:
        try:
            while True:
                ballast.write(b"x" * 4096)
        except OSError:
            return


@pytest.mark.skipif(why_not() is not None, reason=why_not() or "")
def test_a_full_disk_that_is_enlarged(home: Path) -> None:
    """On a really full disk the events wait; after it is enlarged they stand in the same file, in order."""
    home.mkdir()
    with mounted(home, "-t", "tmpfs", "-o", "size=64k", "none"):
        report_log = ReportLog()
        writer = eager_writer(home, report_log)
        writer.write(PLATE, DAY, [started()])
        assert writer.flush(5)
        fill(home)
        n = 1
        while not writer.waiting() or writer.flush(0.05):
            writer.write(PLATE, DAY, marks(n + 1, 3, "x" * 100))
            n += 3
        for _ in range(5):
            writer.write(PLATE, DAY, marks(n + 1, 3, "x" * 100))
            n += 3
        assert report_log.kinds()[-1] == "NotSaved"
        saved = report_log.saved()
        assert saved < n
        path = paths.plate_path(home, PLATE, DAY)
        now = by_hand(path.read_bytes().rpartition(b"\n")[0] + b"\n")  # an attempt may be half written
        assert [plain["n"] for plain in now][:saved] == list(range(1, saved + 1))
        run("mount", "-o", "remount,size=1m", str(home))
        assert writer.flush(5)
        assert writer.close(5)
        assert report_log.kinds()[-1] == "SavedAgain"
        assert report_log.spilled() == []
        assert [plain["n"] for plain in by_hand(path.read_bytes())] == list(range(1, n + 1))
        assert whole(home) == list(range(1, n + 1))
        assert [file.name for file in path.parent.iterdir()] == [path.name]


@pytest.mark.skipif(why_not() is not None, reason=why_not() or "")
def test_a_disk_without_room_for_a_file(home: Path) -> None:
    """A disk with no room for one more file name keeps the first line waiting until there is."""
    home.mkdir()
    with mounted(home, "-t", "tmpfs", "-o", "size=256k,nr_inodes=2", "none"):
        report_log = ReportLog()
        writer = eager_writer(home, report_log)
        writer.write(PLATE, DAY, [started()])
        assert not writer.flush(0.1)
        assert report_log.kinds() == ["NotSaved"]
        run("mount", "-o", "remount,nr_inodes=100", str(home))
        assert writer.close(5)
        assert report_log.kinds() == ["NotSaved", "SavedAgain"]
        assert whole(home) == [1]


@pytest.mark.skipif(why_not() is not None, reason=why_not() or "")
def test_a_disk_that_is_read_only(home: Path) -> None:
    """A log on a read-only disk: the bench can be held, the plate goes to the state folder and is found."""
    home.mkdir()
    with mounted(home, "-t", "tmpfs", "-o", "size=256k,ro", "none"):
        with bench_files.BenchLock(home):
            report_log = ReportLog()
            writer = eager_writer(home, report_log)
            writer.write(PLATE, DAY, cause(0))
            writer.write(PLATE, DAY, cause(1))
            assert writer.close(5)
        assert report_log.kinds() == ["Spilled"]
        log = read_plate(find_plates(home)[0])
        assert (log.plate, [event.n for event in log.events], log.problems) == (PLATE, [1, 2, 3, 4], ())
        assert log.files[0].parent == paths.spill_places()[0]


@pytest.fixture
def powered(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Powered]:
    """Return a disk to be cut off; the log and every spill place lie on it."""
    try:
        made = Powered(tmp_path)
        made.on()
    except subprocess.CalledProcessError as error:
        pytest.skip(f"no loop device here: {error.stderr.strip()}")
    made.off()
    monkeypatch.setattr(paths, "spill_places", lambda: (made.at / "spill", made.at / "spill 2"))
    yield made
    subprocess.run([program("umount"), str(made.at)], capture_output=True, check=False)


NO_CUTS = why_not("mkfs.xfs", "xfs_io")


@pytest.mark.slow
@pytest.mark.skipif(NO_CUTS is not None, reason=NO_CUTS or "")
def test_no_saved_event_is_lost_in_a_power_cut(powered: Powered) -> None:
    """In 50 power cuts at random moments every line that was called saved is read back."""
    rng = random.Random(20260301)
    saved = lost = 0
    for cycle in range(CYCLES):
        saved_and_lost = lost_in_a_cut(powered, rng, cycle)
        saved, lost = saved + saved_and_lost[0], lost + saved_and_lost[1]
    assert saved > 10 * CYCLES
    assert lost == 0


@pytest.mark.skipif(NO_CUTS is not None, reason=NO_CUTS or "")
def test_without_fsync_a_power_cut_loses(powered: Powered, monkeypatch: pytest.MonkeyPatch) -> None:
    """The control: a writer that only writes loses what it called saved, so the test above can fail."""
    monkeypatch.setattr(durable, "sync", lambda fd: None)
    monkeypatch.setattr(durable, "sync_folder", lambda folder: None)
    rng = random.Random(20260301)
    counts = [lost_in_a_cut(powered, rng, cycle) for cycle in range(CONTROLS)]
    assert sum(lost for _, lost in counts) > 0
