"""Many files of an export in one folder: each whole or not at all, their names made durable once."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from darkroom.errors import NotWritten, WrongUse
from darkroom.log.export import safe_write
from darkroom.log.export.safe_files import SafeFiles
from darkroom.log.store import durable


class Synced:
    """Counts what is made durable: the inodes of files, and the folders."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.files: list[int] = []
        self.folders: list[Path] = []
        file, folder = durable.sync, durable.sync_folder
        monkeypatch.setattr(durable, "sync", lambda fd: (self.files.append(os.fstat(fd).st_ino), file(fd)))
        monkeypatch.setattr(durable, "sync_folder", lambda at: (self.folders.append(at), folder(at)))


def test_each_file_is_synced_and_the_folder_once(
    home: Path, out: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every file is on the disk before it has its name; their names are, when all have theirs."""
    synced = Synced(monkeypatch)
    files = SafeFiles(out, home)
    written = [files.write(f"{number}.xmp", b"words") for number in range(5)]
    assert synced.files == [path.stat().st_ino for path in written] and synced.folders == []
    files.keep_names()
    files.keep_names()
    assert synced.folders == [out]
    assert sorted(os.listdir(out)) == [f"{number}.xmp" for number in range(5)]


def test_a_file_that_would_be_the_same_stays(home: Path, out: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """With force a file with these bytes is made durable and keeps its inode; any other is replaced."""
    (out / "same").write_bytes(b"words")
    (out / "longer").write_bytes(b"words and more")
    (out / "other").write_bytes(b"sword")
    before = {path.name: path.stat().st_ino for path in out.iterdir()}
    synced = Synced(monkeypatch)
    files = SafeFiles(out, home, force=True)
    for name in before:
        files.write(name, b"words")
    files.keep_names()
    after = {path.name: path.stat().st_ino for path in out.iterdir()}
    assert {name for name in before if before[name] == after[name]} == {"same"}
    assert all(path.read_bytes() == b"words" for path in out.iterdir())
    assert set(synced.files) == set(after.values()) and synced.folders == [out]


def test_a_file_that_cannot_be_synced_as_it_is_is_written_anew(
    home: Path, out: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where a file opened to be read cannot be made durable, as on Windows, the same bytes are written."""
    (out / "same").write_bytes(b"words")
    before, sync = (out / "same").stat().st_ino, durable.sync

    def refuse(fd: int) -> None:
        if os.fstat(fd).st_ino == before:
            raise OSError(errno.EBADF, "Bad file descriptor")
        sync(fd)

    monkeypatch.setattr(durable, "sync", refuse)
    SafeFiles(out, home, force=True).write("same", b"words")
    assert (out / "same").read_bytes() == b"words" and (out / "same").stat().st_ino != before


def test_a_name_that_is_taken_is_refused_as_for_one_file(home: Path, out: Path) -> None:
    """The first file and those after it: a file without force, a folder, a link; all is left as it is."""
    (out / "file").write_bytes(b"words")
    (out / "folder").mkdir()
    (out / "link").symlink_to("file")
    for name in ("file", "folder", "link"):
        with pytest.raises(WrongUse) as told:
            safe_write.check(out / name, home)
        for before in ((), ("free",)):
            files = SafeFiles(out, home)
            assert [files.check(free) for free in before] == [out / free for free in before]
            with pytest.raises(WrongUse) as told_of_many:
                files.check(name)
            assert str(told_of_many.value) == str(told.value)
    assert sorted(os.listdir(out)) == ["file", "folder", "link"]


@pytest.mark.parametrize("fails", [False, True])
def test_names_are_kept_when_a_later_file_fails(
    season: Path, out: Path, export, monkeypatch: pytest.MonkeyPatch, fails: bool
) -> None:
    """The sidecars before one that the disk did not take are durable, and a disk that fails that is told."""
    put, done, folders = safe_write.put, [], []

    def full(target: Path, *words: object, **more: bool) -> None:
        if done:
            raise OSError(errno.ENOSPC, "No space left on device")
        done.append(target)
        put(target, *words, **more)

    def sync_folder(at: Path) -> None:
        folders.append(at)
        if fails:
            raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(safe_write, "put", full)
    monkeypatch.setattr(durable, "sync_folder", sync_folder)
    status, said = export("xmp", "--all", "--to", out)
    assert status == 1 and "the disk is full; 1 of 3 files are written" in said
    assert ("may not outlast a power cut" in said) == fails
    assert folders == [out] and [path.name for path in out.iterdir()] == [done[0].name]


def test_names_that_are_not_kept_are_told(home: Path, out: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A failed fsync of the folder is no success."""

    def fail(_: object) -> None:
        raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(durable, "sync_folder", fail)
    files = SafeFiles(out, home)
    files.write("a", b"words")
    with pytest.raises(NotWritten, match="may not outlast a power cut"):
        files.keep_names()
