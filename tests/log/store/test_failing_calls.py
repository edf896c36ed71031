"""Locks and closings that fail keep nothing from being saved."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from darkroom.log.journal.further_files import begin_file
from darkroom.log.store import durable, locks
from darkroom.log.store.bench_files import BenchLock

PLATE = "20261129-100000-abcdef"


def _fails(number: int) -> Callable[..., None]:
    def call(*_: object) -> None:
        raise OSError(number, os.strerror(number))

    return call


def _closes_and_fails(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Have each closing of a file fail after it was closed; return the list that gets their numbers."""
    closed: list[int] = []
    close = os.close

    def call(fd: int) -> None:
        closed.append(fd)
        close(fd)
        raise OSError(errno.EIO, "closing failed")

    monkeypatch.setattr(os, "close", call)
    return closed


@pytest.mark.parametrize("number", [errno.EIO, errno.ENOLCK, errno.ESTALE])
def test_a_lock_that_fails_keeps_no_bench_and_no_plate_away(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    """Whatever the file system says of locks, but that another has it: the bench opens, a file is begun."""
    monkeypatch.setattr(locks.fcntl, "flock", _fails(number))
    with BenchLock(tmp_path) as lock:
        assert lock.held
        path, _, fd = begin_file(tmp_path, PLATE, 2, b"line\n")
        os.close(fd)
    assert path.read_bytes() == b"line\n"


def test_a_lock_of_a_file_that_is_not_open_is_an_error(tmp_path: Path) -> None:
    """A number that is no open file is a fault of the program: it is raised."""
    fd = durable.create(tmp_path / "file")
    os.close(fd)
    with pytest.raises(OSError, match="Bad file descriptor"):
        locks.lock(fd)


def test_a_whole_file_is_there_though_closing_failed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is durable takes its place; each number is closed once, since it may be another file's by then."""
    closed = _closes_and_fails(monkeypatch)
    durable.write_whole(tmp_path / "file", b"whole")
    assert (tmp_path / "file").read_bytes() == b"whole"
    assert len(closed) == 2  # the file and its folder
    assert [path.name for path in tmp_path.iterdir()] == ["file"]


def test_the_bench_is_given_back_though_closing_failed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The end of the tool raises nothing."""
    lock = BenchLock(tmp_path)
    lock.acquire()
    _closes_and_fails(monkeypatch)
    lock.release()
    assert not lock.held
