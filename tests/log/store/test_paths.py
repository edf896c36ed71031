"""Paths of the log, the lock of the bench and `bench.json`."""

from __future__ import annotations

import json
import os
import random
import re
import signal
import subprocess
import sys
import threading
from datetime import UTC, datetime
from pathlib import Path

import pytest

from darkroom.errors import BenchTaken, NotReadable, WrongUse
from darkroom.log.store import bench_files, durable, locks, paths
from tests.kit.journals import DAY, PYTHON


def test_the_log_lies_where_it_is_told(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """DARKROOM_HOME names the folder; without it the user's data folder is taken; neither is made."""
    assert paths.home() == home
    assert not home.exists()
    monkeypatch.setenv("DARKROOM_HOME", "~/plates of mine")
    assert paths.home() == Path.home() / "plates of mine"
    monkeypatch.delenv("DARKROOM_HOME")
    assert paths.home().name == "darkroom"


@pytest.mark.skipif(sys.platform != "linux", reason="the XDG base directories are Linux's")
def test_the_folders_are_those_of_the_base_directory_specification(tmp_path: Path) -> None:
    """~/.local/share and ~/.local/state unless told otherwise (XDG Base Directory Specification 0.8)."""
    code = (
        "from darkroom.log.store import paths; "
        "print(paths.home(), paths.state_dir(), paths.spill_places()[0])"
    )
    clean = {key: value for key, value in os.environ.items() if not key.startswith(("XDG_", "DARKROOM_"))}
    clean |= {"HOME": str(tmp_path), "PYTHONPATH": os.pathsep.join(path for path in sys.path if path)}
    for more, data, state in (
        ({}, tmp_path / ".local/share", tmp_path / ".local/state"),
        ({"XDG_DATA_HOME": "/d", "XDG_STATE_HOME": "/s"}, Path("/d"), Path("/s")),
    ):
        done = subprocess.run(
            [PYTHON, "-c", code], env={**clean, **more}, capture_output=True, text=True, check=True
        )
        assert done.stdout.split() == [
            str(data / "darkroom"),
            str(state / "darkroom"),
            str(state / "darkroom/spill"),
        ]
    assert not (tmp_path / ".local").exists()


@pytest.mark.skipif(sys.platform != "linux", reason="the XDG base directories are Linux's")
@pytest.mark.parametrize("home_variable", ["/home/somebody", "relative", ""])
@pytest.mark.parametrize("xdg", ["/elsewhere", "", "relative/folder", None])
def test_the_folders_are_those_of_platformdirs(
    home_variable: str, xdg: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is found on Linux without platformdirs is what it finds (reference: platformdirs)."""
    monkeypatch.setenv("HOME", home_variable)
    for variable in ("XDG_DATA_HOME", "XDG_STATE_HOME"):
        if xdg is None:
            monkeypatch.delenv(variable, raising=False)
        else:
            monkeypatch.setenv(variable, xdg)
        found = paths._of_user(variable)
        assert found == paths._platform_folder(variable)


def test_a_plates_id_is_the_utc_time_and_six_signs() -> None:
    """Ids sort by time, and two plates of one second differ."""
    when = datetime(2026, 3, 1, 12, 0, 5, tzinfo=UTC)
    ids = {paths.new_plate_id(when, random.Random(seed)) for seed in range(50)}
    assert len(ids) == 50
    assert all(re.fullmatch(r"20260301-120005-[a-z0-9]{6}", one) for one in ids)
    assert all(map(paths.is_plate_id, ids))


def test_a_plates_path_holds_its_date(home: Path) -> None:
    """Plates and rehearsals lie in a folder of the year and one of the day."""
    assert paths.plate_path(home, "x-1", "2026-03-01") == home / "plates/2026/2026-03-01/x-1.jsonl"
    assert paths.plate_path(home, "x-1", "2026-03-01", True) == home / "rehearsals/2026/2026-03-01/x-1.jsonl"


NO_PLATES = [("../up", DAY), ("", DAY), ("a/b", DAY), ("a\0", DAY), ("a", "2026-13-01"), ("a", "../..")]


@pytest.mark.parametrize(("plate", "day"), NO_PLATES)
def test_no_name_leads_out_of_the_log(home: Path, plate: str, day: str) -> None:
    """An invalid id or date raises an error instead of giving a path."""
    with pytest.raises(WrongUse):
        paths.plate_path(home, plate, day)


def test_the_benchs_id_is_made_once(home: Path) -> None:
    """The id stays the same from run to run; a damaged file of it is mended by its copy, two are replaced."""
    first = paths.bench_id()
    assert re.fullmatch(r"[0-9a-f]{16}", first)
    assert paths.bench_id() == first
    files = [paths.state_dir() / name for name in ("bench-id", "bench-id.copy")]
    for file in files:
        file.write_bytes(b"\xff\xfe")
        assert paths.bench_id() == first
        assert files[0].read_text() == f"{first}\n"
        assert files[1].read_text().startswith(first)
    for file in files:
        file.write_bytes(b"\xff\xfe")
    second = paths.bench_id()
    assert second != first
    assert paths.bench_id() == second


@pytest.mark.parametrize("name", ["bench-id", "bench-id.copy"])
def test_one_wrong_digit_in_the_benchs_id_is_noticed(home: Path, name: str) -> None:
    """Of two ids that differ the one with a right checksum counts: plates come back by it."""
    first = paths.bench_id()
    file = paths.state_dir() / name
    text = file.read_text()
    file.write_text(("0" if text[0] != "0" else "1") + text[1:])
    assert paths.bench_id() == first
    assert file.read_text() == text


def test_an_id_without_its_copy_stays(home: Path) -> None:
    """A bench that has only the one file, as older ones have, keeps its id."""
    (paths.state_dir()).mkdir(parents=True)
    (paths.state_dir() / "bench-id").write_text("0123456789abcdef\n")
    assert paths.bench_id() == "0123456789abcdef"
    assert paths.bench_id() == "0123456789abcdef"


def test_a_bench_without_a_state_folder_keeps_its_id(home: Path) -> None:
    """Without a writable state folder the id is still the same at each start."""
    (home.parent / "state" / "darkroom").write_bytes(b"a file where the folder should be")
    assert paths.bench_id() == paths.bench_id()
    assert re.fullmatch(r"[0-9a-f]{16}", paths.bench_id())


@pytest.mark.skipif(sys.platform != "linux", reason="Linux names its boots")
def test_the_boots_id_is_the_kernels() -> None:
    """The id of this start of the machine is the one the kernel gives."""
    assert paths.boot_id() == Path("/proc/sys/kernel/random/boot_id").read_text().strip()


# --- the lock ---------------------------------------------------------------------------------

HOLD = """
import sys
from pathlib import Path
from darkroom.log.store.bench_files import BenchLock
with BenchLock(Path(sys.argv[1])):
    print("held", flush=True)
    sys.stdin.read()
"""


def holder(home: Path) -> subprocess.Popen[str]:
    """Start a program that holds the bench until its standard input ends."""
    env = {**os.environ, "PYTHONPATH": os.pathsep.join(path for path in sys.path if path)}
    held = subprocess.Popen(
        [PYTHON, "-c", HOLD, str(home)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env=env
    )
    assert held.stdout is not None
    assert held.stdout.readline() == "held\n"
    return held


def test_a_second_tool_is_told_who_holds_the_bench(home: Path) -> None:
    """The second one gets BenchTaken with the number of the first one's process, and status 2."""
    with holder(home) as held:
        with pytest.raises(BenchTaken, match=f"process {held.pid}") as caught, bench_files.BenchLock(home):
            pytest.fail("both hold the bench")
        assert caught.value.exit_status == 2
        held.communicate("")
    with bench_files.BenchLock(home):
        pass


def test_a_killed_tool_gives_the_bench_back(home: Path) -> None:
    """After SIGKILL the bench is free at once: the lock lives with its process."""
    with holder(home) as held:
        held.kill()
        held.wait()
        with bench_files.BenchLock(home):
            assert (home / "bench.lock").read_text() == f"{os.getpid()}\n"


def test_a_note_being_written_does_not_take_the_bench(home: Path) -> None:
    """The bench waits for a shared lock that is released soon."""
    home.mkdir()
    fd = os.open(home / "bench.lock", os.O_RDWR | os.O_CREAT)
    assert locks.lock(fd, shared=True)
    timer = threading.Timer(0.1, os.close, [fd])
    timer.start()
    with bench_files.BenchLock(home):
        pass
    timer.join()


def test_a_log_that_is_no_folder_is_said(home: Path) -> None:
    """A file where the log should lie is a path that cannot be used: status 2."""
    home.write_bytes(b"")
    with pytest.raises(NotReadable, match=r"bench\.lock"), bench_files.BenchLock(home):
        pytest.fail("a file is no folder")


# --- the book ---------------------------------------------------------------------------------


def test_the_book_keeps_what_it_is_given(home: Path) -> None:
    """What was saved last is loaded; it is plain JSON; no other file is left beside it."""
    book = bench_files.BenchBook(home)
    assert book.load() == {}
    assert book.problem is None
    for number in range(20):
        book.save({"large": f"plate {number}", "form": {"subject": "Büste"}, "plates": []})
    assert book.close()
    assert bench_files.BenchBook(home).load() == {
        "large": "plate 19",
        "form": {"subject": "Büste"},
        "plates": [],
    }
    assert json.loads((home / "bench.json").read_text("utf-8"))["large"] == "plate 19"
    assert [path.name for path in home.iterdir()] == ["bench.json"]


@pytest.mark.parametrize("damage", [b"", b"{", b"[1]", b"\xff\xfe", b"[" * 100_000])
def test_a_damaged_book_is_empty_and_said(home: Path, damage: bytes) -> None:
    """A book that cannot be read is empty, with a problem, and the next save puts it right."""
    home.mkdir()
    (home / "bench.json").write_bytes(damage)
    book = bench_files.BenchBook(home)
    assert book.load() == {}
    assert book.problem is not None
    assert "bench.json" in str(book.problem)
    book.save({"large": None})
    assert book.close()
    assert book.load() == {"large": None}
    assert book.problem is None


def test_what_a_killed_tool_left_of_the_book_is_removed(home: Path) -> None:
    """A kill while the book is written leaves a file beside it; the next holder removes that file alone."""
    program = (
        "import os, signal, sys\nfrom pathlib import Path\n"
        "from darkroom.log.store import bench_files, durable\n"
        "durable.sync = lambda fd: os.kill(os.getpid(), signal.SIGKILL)\n"
        "home = Path(sys.argv[1])\nbench_files.BenchLock(home).acquire()\n"
        "book = bench_files.BenchBook(home)\nbook.save({'number': 2})\nbook.flush(60.0)\n"
    )
    home.mkdir()
    mine = {"bench.json.tmp", "bench.json.old.1.tmp", "bench.json.1.2.tmp2", "other.json.1.2.tmp"}
    for name in mine:
        (home / name).touch()
    before = set(os.listdir(home))
    done = subprocess.run([sys.executable, "-c", program, str(home)], check=False)
    assert done.returncode == -signal.SIGKILL
    (left,) = set(os.listdir(home)) - before - {"bench.lock"}
    assert left.startswith("bench.json.") and left.endswith(".tmp")
    with pytest.raises(BenchTaken), bench_files.BenchLock(home):
        bench_files.BenchLock(home).acquire()
    assert set(os.listdir(home)) == {*mine, "bench.lock"}


def test_saving_the_book_does_not_wait(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """While the disk hangs `save` returns, and of many states the last is written."""
    gate, real, written = threading.Event(), durable.write_whole, []

    def slow(path: Path, data: bytes) -> None:
        gate.wait(10)
        written.append(data)
        real(path, data)

    monkeypatch.setattr(durable, "write_whole", slow)
    book = bench_files.BenchBook(home)
    for number in range(50):
        book.save({"number": number})
    assert not book.flush(0)
    gate.set()
    assert book.close(5)
    assert book.load() == {"number": 49}
    assert len(written) <= 2


def test_a_book_that_cannot_be_written_says_why(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A full disk leaves the old book whole, and the trouble is there to be shown."""
    book = bench_files.BenchBook(home)
    book.save({"number": 1})
    assert book.flush(5)

    def full(fd: int, data: bytes) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(durable, "write_once", full)
        book.save({"number": 2})
        assert not book.flush(5)
    assert book.trouble is not None
    assert "No space left" in book.trouble
    assert bench_files.BenchBook(home).load() == {"number": 1}
    assert [path.name for path in home.iterdir()] == ["bench.json"]
    book.save({"number": 3})
    assert book.close(5)
    assert book.trouble is None
