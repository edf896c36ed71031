"""How long a disk takes to save a line while something else happens on it."""

from __future__ import annotations

import os
import threading
import time
from pathlib import Path
from types import TracebackType
from typing import Self

EVERY = 0.05


class DiskProbe:
    """Saves a line in a folder again and again, in a thread, for as long as the context lasts."""

    def __init__(self, folder: Path) -> None:
        """Nothing is saved yet."""
        self._path = folder / "probe"
        self._end = threading.Event()
        self._thread = threading.Thread(target=self._probe, daemon=True)
        self._begun: float | None = None
        self._slowest = 0.0

    @property
    def slowest(self) -> float:
        """The most seconds that a line took, one that is not saved yet among them."""
        begun = self._begun
        return max(self._slowest, 0.0 if begun is None else time.monotonic() - begun)

    def _probe(self) -> None:
        fd = os.open(self._path, os.O_CREAT | os.O_WRONLY | os.O_APPEND, 0o600)
        try:
            while not self._end.is_set():
                self._begun = time.monotonic()
                os.write(fd, b"line\n")
                os.fsync(fd)
                self._slowest, self._begun = self.slowest, None
                self._end.wait(EVERY)
        finally:
            os.close(fd)

    def __enter__(self) -> Self:
        """Begin."""
        self._thread.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """End."""
        self._end.set()
        self._thread.join()
