"""The writing end of the player's pipe: a write that cannot be made now waits, the caller never does."""

from __future__ import annotations

import os
import select
import threading
import time
from collections import deque
from collections.abc import Callable

_BLOCKING = os.name == "nt"
"""Windows has pipes that refuse only since Python 3.12: there every write is left to `flush`."""


class Pipe:
    """Lines for the player: single ones in order, and of the sets only the newest."""

    def __init__(self, late: Callable[[bytes], None] = lambda line: None) -> None:
        """Begin without a player: lines wait. `late(line)` hears of each that waited past its time."""
        self._late = late
        self._lock = threading.Lock()
        self._fd: int | None = None
        self._rest = b""
        self._lines: deque[tuple[float, bytes]] = deque()
        self._latest: bytes | None = None
        self._work = threading.Event()

    def open(self, fd: int, first: bytes) -> None:
        """Write to this descriptor from now on, this line first. The descriptor stays its owner's."""
        if not _BLOCKING:
            os.set_blocking(fd, False)
        with self._lock:
            self._fd, self._rest, self._latest = fd, first, None
        self._try()

    def close(self) -> None:
        """Write no more; what waits is forgotten, single lines excepted: they wait for the next pipe."""
        with self._lock:
            self._fd, self._rest, self._latest = None, b"", None
        self._work.set()

    def send(self, line: bytes, until: float) -> bool:
        """Send a line, or keep it until `until` (monotonic seconds). False when too many wait."""
        with self._lock:
            if len(self._lines) >= 64:
                return False
            self._lines.append((until, line))
        self._try()
        return True

    def send_latest(self, line: bytes) -> None:
        """Send a line that takes the place of the last one of its kind that still waits."""
        with self._lock:
            self._latest = line
        self._try()

    def flush(self, seconds: float) -> None:
        """Wait up to so long for work, and do it; called in a loop by a thread of the client."""
        if not self._work.wait(seconds):
            return
        with self._lock:
            fd = self._fd
        if fd is None:
            self._work.clear()
            return
        if not _BLOCKING:
            try:
                select.select([], [fd], [], seconds)
            except (OSError, ValueError):
                return
        self._write()

    def _try(self) -> None:
        if _BLOCKING:
            self._work.set()
        else:
            self._write()

    def _write(self) -> None:
        late: list[bytes] = []
        with self._lock:
            self._write_all(late)
        for line in late:
            self._late(line)

    def _write_all(self, late: list[bytes]) -> None:
        while self._fd is not None and self._next(late):
            try:
                sent = os.write(self._fd, self._rest)
            except BlockingIOError:
                self._work.set()
                return
            except OSError:
                self._fd = None  # the player is gone; its reader's end says so too
                break
            self._rest = self._rest[sent:]
        self._work.clear()

    def _next(self, late: list[bytes]) -> bool:
        """Put the next line to be written into `_rest`; False when there is none."""
        if self._rest:
            return True
        now = time.monotonic()
        while self._lines:
            until, line = self._lines.popleft()
            if until >= now:
                self._rest = line
                return True
            late.append(line)
        if self._latest is not None:
            self._rest, self._latest = self._latest, None
            return True
        return False
