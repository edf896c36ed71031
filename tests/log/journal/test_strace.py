"""The real writer in a process of its own, with real system calls that fail or kill it (strace).

The method is that of SQLite's I/O-error and crash tests: let the Nth call fail, for N = 1, 2, 3 … to
the end of a session (sqlite.org, "How SQLite Is Tested", sections on I/O errors and crashes).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

import pytest

from darkroom.event_base import Newer
from darkroom.log.journal import frame
from darkroom.log.journal.merge import PlateLog, read_plate
from darkroom.log.store import paths as store_paths
from tests.kit.journals import (
    DAY,
    PLATE,
    acknowledged,
    by_hand,
    cause,
    child,
    eager_writer,
    marks,
    missing,
    program,
    reports,
)

pytestmark = pytest.mark.skipif(missing("strace") is not None, reason=missing("strace") or "")

CAUSES = 5
LIMIT = 8
"""Blocks of 512 bytes a file may have, as POSIX counts them for `ulimit -f`."""
WRITTEN = [event for number in range(CAUSES) for event in cause(number)]


@pytest.fixture
def first_path(home: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return the path of the plate's first file, for a log in a folder that a program finds by itself."""
    monkeypatch.undo()
    monkeypatch.setenv("XDG_STATE_HOME", str(home.parent / "state"))
    monkeypatch.setenv("TMPDIR", str(home.parent / "tmp"))
    places = (home.parent / "state" / "darkroom" / "spill", store_paths.spill_places()[1])
    monkeypatch.setattr(
        store_paths, "spill_places", lambda: (places[0], home.parent / "tmp" / places[1].name)
    )
    return store_paths.plate_path(home, PLATE, DAY)


def home_of(path: Path) -> Path:
    """Return the folder of the log."""
    return path.parents[3]


CALLS = "openat,write,fsync,ftruncate,pwrite64,rename,unlink"


def strace(
    *faults: str, only: Sequence[Path] = (), trace: str = "write,fsync", out: Path | None = None
) -> list[str]:
    """Return the command that lets system calls on the files `only` fail."""
    paths = [word for path in only for word in ("-P", str(path))]
    inject = [word for fault in faults for word in ("-e", f"inject={fault}")]
    kept = str(out or "/dev/null")
    return [program("strace"), "-f", "-qq", "-y", "-o", kept, *paths, "-e", f"trace={trace}", *inject]


def whole(path: Path) -> PlateLog:
    """Read the plate back; every line that was written is there, and there is no problem."""
    log = read_plate(path)
    assert list(log.events) == WRITTEN
    assert log.problems == ()
    return log


def test_the_calls_are_those_of_the_contract(first_path: Path, tmp_path: Path) -> None:
    """Created with O_EXCL and O_APPEND; one write and one fsync a cause; its folder fsynced; no more."""
    trace = tmp_path / "trace"
    done = child(
        home_of(first_path), CAUSES, wrap=strace(out=trace, only=[first_path, first_path.parent], trace=CALLS)
    )
    assert acknowledged(done.stdout) == len(WRITTEN), done.stderr
    calls = [line.split(None, 1)[1] for line in trace.read_text().splitlines() if "exited" not in line]
    of_file = [call for call in calls if first_path.name in call]
    assert re.search(r"O_WRONLY\|O_CREAT\|O_EXCL\|O_APPEND\|O_CLOEXEC", of_file[0])
    names = [call.split("(")[0] for call in of_file[1:]]
    assert names == ["write", "fsync"] * CAUSES
    folder = [
        call.split("(")[0] for call in calls if first_path.name not in call and first_path.parent.name in call
    ]
    assert folder.count("fsync") == 1


@pytest.mark.parametrize("fault", ["EIO", "EROFS", "ENOSPC", "EDQUOT"])
@pytest.mark.parametrize("when", [1, 3])
def test_a_failed_fsync(first_path: Path, tmp_path: Path, fault: str, when: int) -> None:
    """The plate goes on in `.2.jsonl`; the failed file is never written or fsynced again."""
    trace = tmp_path / "trace"
    wrap = strace(f"fsync:error={fault}:when={when}", only=[first_path], out=trace)
    done = child(home_of(first_path), CAUSES, wrap=wrap)
    assert reports(done.stdout)[0] == "spilled", done.stderr
    assert reports(done.stdout)[-1] == "all"
    assert acknowledged(done.stdout) == len(WRITTEN)
    calls = trace.read_text().splitlines()
    assert "INJECTED" in calls[-1]
    assert sum(" fsync(" in call for call in calls) == when
    log = whole(first_path)
    second = by_hand(log.files[1].read_bytes())
    assert (second[0]["event"], second[0]["saved"]) == ("continued", 2 * (when - 1))


@pytest.mark.parametrize("fault", ["EIO", "EROFS"])
@pytest.mark.parametrize("when", [1, 4])
def test_a_failed_write(first_path: Path, fault: str, when: int) -> None:
    """When a write fails the plate goes on in a second file."""
    done = child(
        home_of(first_path), CAUSES, wrap=strace(f"write:error={fault}:when={when}", only=[first_path])
    )
    assert acknowledged(done.stdout) == len(WRITTEN), done.stderr
    assert reports(done.stdout) == ["spilled", "all"]
    assert len(whole(first_path).files) == 2


@pytest.mark.parametrize("fault", ["error=ENOSPC:when=3..6", "error=EDQUOT:when=1..2", "retval=17:when=2..3"])
def test_no_space_for_a_while(first_path: Path, fault: str) -> None:
    """A full disk, a quota or a short write: cut back and tried again in the same file."""
    done = child(home_of(first_path), CAUSES, wrap=strace(f"write:{fault}", only=[first_path]))
    assert acknowledged(done.stdout) == len(WRITTEN), done.stderr
    assert reports(done.stdout) == ["not_saved", "saved_again", "all"]
    assert whole(first_path).files == (first_path,)
    assert [plain["n"] for plain in by_hand(first_path.read_bytes())] == [event.n for event in WRITTEN]


def test_a_write_that_is_cut_short_for_good(first_path: Path) -> None:
    """A file that may grow no further (a limit of the shell) is cut back and left for a second one."""
    wrap = ["/bin/sh", "-c", f'ulimit -f {LIMIT}; exec "$@"', "sh"]
    done = child(home_of(first_path), 20, words=200, wrap=wrap)
    log = read_plate(first_path)
    assert acknowledged(done.stdout) == 40, done.stderr
    assert [event.n for event in log.events] == list(range(1, 41))
    assert log.problems == ()
    assert len(log.files) > 1
    assert all(path.stat().st_size <= LIMIT * 512 for path in log.files)


def test_a_folder_that_cannot_be_fsynced(first_path: Path) -> None:
    """The first line does not count as saved before the name of its file is on the disk."""
    done = child(home_of(first_path), CAUSES, wrap=strace("fsync:error=EIO:when=1", only=[first_path.parent]))
    assert reports(done.stdout) == ["spilled", "all"], done.stderr
    assert acknowledged(done.stdout) == len(WRITTEN)
    assert len(whole(first_path).files) == 2


def test_a_disk_that_is_gone_for_good(first_path: Path) -> None:
    """When the plate's folder fails for every file, the journal goes on in the state folder."""
    beside = [first_path.with_name(f"{PLATE}.{k}.jsonl") for k in range(2, 9)]
    wrap = strace("fsync:error=EIO:when=3+", only=[first_path, first_path.parent, *beside])
    done = child(home_of(first_path), CAUSES, wrap=wrap)
    assert acknowledged(done.stdout) == len(WRITTEN), done.stderr
    log = whole(first_path)
    assert log.files[-1].parent == store_paths.spill_places()[0]


def test_when_no_place_works_nothing_is_called_saved(first_path: Path) -> None:
    """With every fsync failing the events stay unsaved and are said to be, and the program goes on."""
    done = child(home_of(first_path), 3, wrap=strace("fsync:error=EIO:when=3+"))
    assert acknowledged(done.stdout) <= 2, done.stderr
    assert reports(done.stdout)[0] == "not_saved"
    assert reports(done.stdout)[-1] == "left"
    assert done.returncode == 0


def test_killed_at_every_write_and_fsync(first_path: Path) -> None:
    """SIGKILL at each write and fsync of a session: nothing saved is lost, and the plate goes on after it."""
    files = [first_path, first_path.parent]
    points = 0
    for call in ("write", "fsync"):
        for when in range(1, 20):
            done = child(
                home_of(first_path), CAUSES, wrap=strace(f"{call}:signal=SIGKILL:when={when}", only=files)
            )
            saved = acknowledged(done.stdout)
            log = read_plate(first_path)
            assert list(log.events) == WRITTEN[: len(log.events)]
            assert len(log.events) >= saved
            assert [problem.what for problem in log.problems if "empty" not in problem.what] == []
            killed = "all" not in reports(done.stdout)
            if killed:
                points += 1
                goes_on(home_of(first_path), log)
            for path in (*log.files, *first_path.parent.iterdir()):
                path.unlink(missing_ok=True)
            if not killed:
                break
    assert points >= 2 * CAUSES


def goes_on(home: Path, log: PlateLog) -> None:
    """Resume the plate with one more line; all is there, without a problem."""
    if not log.events:
        return
    report_log: list[object] = []
    writer = eager_writer(home, report_log.append)
    writer.adopt(log)
    more = marks(log.last_n + 1, 1)
    writer.write(PLATE, DAY, more)
    assert writer.close(5)
    again = read_plate(log.path)
    assert list(again.events) == [*log.events, *more]
    assert again.problems == ()


def test_the_line_after_a_cut_is_never_glued(first_path: Path) -> None:
    """A reader with nothing but the standard library finds every line whole after a full disk."""
    done = child(home_of(first_path), CAUSES, wrap=strace("write:error=ENOSPC:when=2+2", only=[first_path]))
    assert acknowledged(done.stdout) == len(WRITTEN), done.stderr
    assert first_path.read_bytes() == b"".join(map(frame.encode, WRITTEN))
    assert not any(isinstance(event, Newer) for event in read_plate(first_path).events)
