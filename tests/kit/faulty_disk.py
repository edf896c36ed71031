"""A disk whose calls can be made to fail, and the writing of a plate on it."""

from __future__ import annotations

import errno
import os
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from darkroom.bench import events as ev
from darkroom.log.journal.merge import read_plate
from darkroom.log.journal.write import JournalWriter
from darkroom.log.store import durable, paths
from tests.kit.journals import DAY, PLATE, ReportLog, cause, eager_writer


def first_path(home: Path, plate: str = PLATE) -> Path:
    """Return the first file of a plate."""
    return paths.plate_path(home, plate, DAY)


class FaultyDisk:
    """A disk whose calls can be made to fail: a script of faults for each kind of call."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        """Take the place of the real calls, which are still made when there is no fault."""
        self.faults: dict[str, Iterator[int | None]] = {}
        self.synced: list[str] = []
        self.calls: list[str] = []
        self.gate = threading.Event()
        self.gate.set()
        real = {name: getattr(durable, name) for name in ("write_once", "sync", "create")}
        folder, truncate = durable.sync_folder, os.ftruncate

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

        monkeypatch.setattr(durable, "write_once", write_once)
        monkeypatch.setattr(durable, "sync", sync)
        monkeypatch.setattr(durable, "sync_folder", sync_folder)
        monkeypatch.setattr(durable, "create", create)
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


def write_all(writer: JournalWriter, causes: int = 4, plate: str = PLATE) -> list[ev.AnyEvent]:
    """Write some causes of a plate, one after the other; return their lines."""
    written: list[ev.AnyEvent] = []
    for number in range(causes):
        group = cause(number)
        writer.write(plate, DAY, group)
        writer.flush(2)
        written += group
    return written


def resumed(home: Path, report_log: ReportLog, events: list[ev.AnyEvent]) -> None:
    """Take up the plate as it lies on the disk and write on."""
    writer = eager_writer(home, report_log)
    writer.adopt(read_plate(first_path(home)))
    writer.write(PLATE, DAY, events)
    assert writer.close(5)
