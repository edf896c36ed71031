"""The two files of the bench: `bench.lock`, which one tool holds, and `bench.json`, what it remembers."""

from __future__ import annotations

import errno
import os
import threading
from contextlib import suppress
from pathlib import Path
from types import TracebackType

import msgspec

from darkroom import plain_files
from darkroom.errors import BenchTaken, NotReadable, Problem
from darkroom.log.store import durable, locks
from darkroom.log.store.paths import spill_places

LARGEST = 1 << 20
"""A longer `bench.json` is none that a bench wrote, in bytes."""
TAKEN_AFTER = 1.0
"""How long a note from the command line may keep the bench waiting, in seconds."""


class BenchLock:
    """Holds the bench for one full-screen tool, from `with` to its end.

    Raises BenchTaken when another tool holds it, NotReadable when the folder cannot be used.
    """

    def __init__(self, home: Path) -> None:
        """`home` is the folder of the log."""
        self.path = home / "bench.lock"
        self._fd: int | None = None

    def __enter__(self) -> BenchLock:
        """Take the bench."""
        self.acquire()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Give it back."""
        self.release()

    @property
    def held(self) -> bool:
        """Whether the bench is held."""
        return self._fd is not None

    def close(self) -> None:
        """Give the bench back where it is held."""
        self.release()

    def acquire(self) -> None:
        """Take the bench."""
        fd = self._open()
        if not locks.lock(fd, wait=TAKEN_AFTER):
            holder = _pid(fd)
            plain_files.close(fd)
            by = f" (process {holder})" if holder else ""
            raise BenchTaken(f"the bench is held by another darkroom{by}: {self.path}")
        with suppress(OSError):  # the number only names the holder; a full disk need not stop the bench
            os.ftruncate(fd, 0)
            os.write(fd, b"%d\n" % os.getpid())
        self._fd = fd
        if locks.lock_for_certain(fd):
            _clear_left(self.path.parent)

    def _open(self) -> int:
        """Open the lock; where that file cannot be had, one of the same name in a spill place."""
        try:
            return _lock_file(self.path)
        except OSError as error:
            if not (error.errno in _NOT_TAKEN or isinstance(error, plain_files.NotPlain)):
                raise NotReadable(f"{self.path}: {plain_files.reason(error)}") from None
            fault = error
        import hashlib

        path_hash = hashlib.sha256(os.fsencode(self.path)).hexdigest()[:16]
        for place in spill_places():
            with suppress(OSError):
                durable.own_folder(place)
                return _lock_file(place / f"bench-{path_hash}.lock")
        raise NotReadable(f"{self.path}: {plain_files.reason(fault)}")

    def release(self) -> None:
        """Give the bench back."""
        if self._fd is not None:
            with suppress(OSError):
                os.ftruncate(self._fd, 0)
            plain_files.close(self._fd)
            self._fd = None


_NOT_TAKEN = frozenset({errno.EROFS, errno.EIO, errno.EACCES, errno.EPERM}) | durable.NO_SPACE
"""The folder of the log takes no new file: journals go on in the spill places, and so does the lock."""


def _clear_left(folder: Path) -> None:
    """Remove what a killed tool left of a `bench.json` that it wrote; only this process may write there."""
    with suppress(OSError):
        for name in os.listdir(folder):
            if durable.is_aside(name, "bench.json"):
                with suppress(OSError):
                    os.unlink(folder / name)


def _lock_file(path: Path) -> int:
    durable.make_folders(path.parent)
    return durable.open_or_create(path)


def _pid(fd: int) -> int | None:
    try:
        os.lseek(fd, 0, os.SEEK_SET)
        return int(os.read(fd, 32))
    except (OSError, ValueError):
        return None


class BenchBook:
    """`bench.json`: what the bench remembers from one run of the tool to the next; journals overrule it.

    `save` returns at once; a thread of its own writes the latest. `problem` says what was wrong
    with the file, `trouble` why the last one could not be written.
    """

    def __init__(self, home: Path) -> None:
        """`home` is the folder of the log; nothing is read yet."""
        self.path = home / "bench.json"
        self.problem: Problem | None = None
        self.trouble: str | None = None
        self._changed = threading.Condition()
        self._next: bytes | None = None
        self._busy = False
        self._closing = False
        self._thread: threading.Thread | None = None

    def load(self) -> dict[str, object]:
        """Return what was saved last; empty, with a `problem`, when the file is damaged."""
        self.problem = None
        try:
            data = plain_files.read_start(self.path, LARGEST + 1)
        except FileNotFoundError:
            return {}
        except OSError as error:
            self.problem = Problem(str(self.path), None, None, f"cannot be read: {plain_files.reason(error)}")
            return {}
        if len(data) > LARGEST:
            self.problem = Problem(str(self.path), None, None, f"left out: longer than {LARGEST >> 20} MB")
            return {}
        try:
            return msgspec.json.decode(data, type=dict[str, object])
        except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as error:
            self.problem = Problem(str(self.path), None, None, f"damaged, left out: {error}")
            return {}

    def save(self, state: dict[str, object]) -> None:
        """Have `state` written in place of what was there.

        Raises TypeError or ValueError for what JSON cannot hold.
        """
        data = msgspec.json.encode(state) + b"\n"
        with self._changed:
            self._next = data
            if self._thread is None:
                self._closing = False
                self._thread = threading.Thread(target=self._run, name="bench-book", daemon=True)
                self._thread.start()
            self._changed.notify_all()

    def flush(self, timeout: float) -> bool:
        """Wait until the latest is written; return whether it was."""
        with self._changed:
            quiet = self._changed.wait_for(lambda: self._next is None and not self._busy, timeout)
            return quiet and self.trouble is None

    def close(self, timeout: float = 2.0) -> bool:
        """Write what is left and stop; return whether all was written."""
        all_written = self.flush(timeout)
        with self._changed:
            self._closing = True
            thread, self._thread = self._thread, None
            self._changed.notify_all()
        if thread is not None and all_written:
            thread.join(timeout)
        return all_written

    def _run(self) -> None:
        while True:
            with self._changed:
                self._changed.wait_for(lambda: self._next is not None or self._closing)
                data, self._next = self._next, None
                if data is None:
                    return
                self._busy = True
            trouble = None
            try:
                durable.make_folders(self.path.parent)
                durable.write_whole(self.path, data)
            except OSError as error:
                trouble = f"{self.path}: {error.strerror or error}"
            with self._changed:
                self.trouble = trouble
                self._busy = False
                self._changed.notify_all()
