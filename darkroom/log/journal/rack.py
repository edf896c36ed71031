"""Taking a plate's journal back from the rack: locked and read again, off the caller's thread."""

from __future__ import annotations

import threading
from pathlib import Path

from darkroom.errors import NotSavedError
from darkroom.log.journal.merge import PlateLog
from darkroom.log.journal.plate_files import PlateFiles, disk_error_text

ANSWER = 0.5
"""So many seconds the disk is waited for: a hand waits, and the clocks of other plates go on."""


def take_back(home: Path, path: Path, plate_id: str, timeout: float) -> tuple[PlateFiles, PlateLog]:
    """Lock the journal whose first file is `path`; return its files, held, and what is in them now.

    `timeout` is in seconds. Raises NotSavedError with the reason: a note is being written to it, it cannot
    be read, or the disk does not answer in time. Then nothing is held.
    """
    attempt = _Attempt(PlateFiles(home, path, plate_id))
    thread = threading.Thread(target=attempt.run, name="rack", daemon=True)
    thread.start()
    thread.join(timeout)
    return attempt.files, attempt.result()


class _Attempt:
    """One attempt; its lock is given back when nobody waits for it by then."""

    def __init__(self, files: PlateFiles) -> None:
        self.files = files
        self._ending = threading.Lock()
        self._given_up = False
        self._log: PlateLog | None = None
        self._why = "the disk does not answer: try again"

    def run(self) -> None:
        """Lock and read."""
        log, why = None, self._why
        try:
            log = self.files.take_back()
        except OSError as error:
            why = disk_error_text(error)
        except Exception as error:  # the caller gets a reason, whatever it was
            why = f"{type(error).__name__}: {error}"
        with self._ending:
            self._log, self._why = log, why
            if self._given_up:
                self.files.close()

    def result(self) -> PlateLog:
        """Return what was read, or give up. Raises NotSavedError."""
        with self._ending:
            self._given_up = True
            if self._log is None:
                raise NotSavedError(self._why)
            return self._log
