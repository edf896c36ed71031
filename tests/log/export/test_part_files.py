"""What a killed export leaves: the next one into that folder removes it, and nothing else."""

from __future__ import annotations

import os
import signal
import stat
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from darkroom.log.export import part_files, safe_write
from darkroom.log.store import locks
from tests.kit.export_fixtures import Export

LEFT = ".export-0123456789ab.part"


def write_and_wait(out: Path, home: Path) -> subprocess.Popen[bytes]:
    """Return a process that is in the middle of an export into `out`."""
    program = (
        "import sys\nfrom pathlib import Path\nfrom darkroom.log.export import safe_write\n"
        "def data():\n yield b'x' * 1_000_000\n print('half', flush=True)\n sys.stdin.read(1)\n yield b'y'\n"
        f"safe_write.write(Path({str(out / 'slow')!r}), data(), Path({str(home)!r}))\n"
    )
    process = subprocess.Popen([sys.executable, "-c", program], stdin=subprocess.PIPE, stdout=subprocess.PIPE)
    assert process.stdout is not None
    assert process.stdout.readline() == b"half\n"
    return process


def test_a_killed_export_is_cleared_and_a_running_one_is_not(season: Path, out: Path, export: Export) -> None:
    """While it runs its hidden file stays; after a kill the next export of any format removes it."""
    with write_and_wait(out, season) as process:
        status, _ = export("csv", "--all", "--to", out / "a.csv")
        assert status == 0
        (hidden,) = out.glob(".export-*")
        process.send_signal(signal.SIGKILL)
    assert [path.name for path in out.glob(".export-*")] == [hidden.name]
    status, _ = export("xmp", "--all", "--to", out)
    assert status == 0
    assert list(out.glob(".export-*")) == []


def test_an_export_beside_another_is_finished(season: Path, out: Path, export: Export) -> None:
    """An export that runs while another is made and clears the folder is written whole."""
    with write_and_wait(out, season) as process:
        assert export("csv", "--all", "--to", out / "a.csv")[0] == 0
        process.communicate(b"\n")
        assert process.returncode == 0
    assert (out / "slow").read_bytes() == b"x" * 1_000_000 + b"y"
    assert sorted(os.listdir(out)) == ["a.csv", "slow"]


def test_only_plain_files_of_that_very_name_are_cleared(out: Path) -> None:
    """A link, a folder, a pipe, and files whose names are like it, stay."""
    (out / "mine").write_bytes(b"mine")
    (out / LEFT).write_bytes(b"left")
    (out / ".export-00000000000a.part").symlink_to("mine")
    (out / ".export-00000000000b.part").mkdir()
    os.mkfifo(out / ".export-00000000000c.part")
    for name in (".export-0123456789ab.part2", "a.export-0123456789ab.part", ".export-notes.part"):
        (out / name).write_bytes(b"")
    before = set(os.listdir(out))
    part_files.clear_left(out)
    assert before - set(os.listdir(out)) == {LEFT}
    assert (out / "mine").read_bytes() == b"mine"


def test_nothing_is_cleared_where_no_lock_can_tell(out: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """On a file system without locks a hidden file may be in use: it stays."""
    (out / LEFT).write_bytes(b"left")
    monkeypatch.setattr(locks, "_try_lock", lambda fd, shared: None)
    part_files.clear_left(out)
    assert os.listdir(out) == [LEFT]


def test_a_folder_that_cannot_be_listed_ends_no_export(out: Path) -> None:
    """Clearing what is not there, or no folder, raises nothing."""
    (out / "file").write_bytes(b"")
    part_files.clear_left(out / "none")
    part_files.clear_left(out / "file")


def test_a_part_that_is_cleared_before_it_is_locked_is_made_anew(
    home: Path, out: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Between the making of a hidden file and its lock another export may remove it: a new one is made."""
    lock, cleared = locks.lock, []

    def late(fd: int, **options: object) -> bool:
        if not cleared:
            cleared.extend(os.listdir(out))
            part_files.clear_left(out)
        return lock(fd)

    monkeypatch.setattr(locks, "lock", late)
    safe_write.write(out / "a", [b"whole"], home)
    assert len(cleared) == 1
    assert (out / "a").read_bytes() == b"whole"
    assert os.listdir(out) == ["a"]


@pytest.mark.parametrize("of", ["lock", "names"])
def test_a_disk_that_knows_no_locks_or_names_takes_an_export(
    home: Path, out: Path, monkeypatch: pytest.MonkeyPatch, of: str
) -> None:
    """Where every lock is refused, or no file counts its names, the export is written and nothing is left."""
    if of == "lock":
        monkeypatch.setattr(locks, "_try_lock", lambda fd, shared: False)
    else:
        fstat = os.fstat

        def nameless(fd: int) -> os.stat_result:
            found = list(fstat(fd))
            found[stat.ST_NLINK] = 0
            return os.stat_result(found)

        monkeypatch.setattr(os, "fstat", nameless)
    safe_write.write(out / "a", [b"whole"], home)
    assert (out / "a").read_bytes() == b"whole"
    assert os.listdir(out) == ["a"]


def test_two_exports_at_a_time_never_take_each_others_part(home: Path, out: Path) -> None:
    """Exports and clearings at once, many times over: each export is written."""
    failed: list[BaseException] = []

    def work(number: int) -> None:
        try:
            for round_ in range(40):
                part_files.clear_left(out)
                safe_write.write(out / f"{number}-{round_}", [b"whole"], home)
        except BaseException as error:
            failed.append(error)

    threads = [threading.Thread(target=work, args=(number,)) for number in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failed == []
    assert len(os.listdir(out)) == 120
    assert all(path.read_bytes() == b"whole" for path in out.iterdir())
