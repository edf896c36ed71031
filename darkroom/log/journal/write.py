"""The writer of the journals: a thread of its own that saves durably and in order; callers never wait."""

from __future__ import annotations

import math
import queue
import threading
import time
from collections import deque
from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path

import msgspec

from darkroom.bench.events import AnyEvent
from darkroom.log.journal import rack
from darkroom.log.journal.frame import encode
from darkroom.log.journal.hints import Hints
from darkroom.log.journal.merge import PlateLog
from darkroom.log.journal.plate_files import Batch, NotSavedYet, PlateFiles
from darkroom.log.store import paths

RETRY = 1.0
"""What waits is tried again after so many seconds, and whenever more is written."""


class Saved(msgspec.Struct, frozen=True):
    """Every line of the plate up to `n` is on the disk."""

    plate: str
    n: int


class NotSaved(msgspec.Struct, frozen=True):
    """So many events of the plate are not on the disk, and why. Said once for each reason."""

    plate: str
    why: str
    waiting: int


class SavedAgain(msgspec.Struct, frozen=True):
    """After a `NotSaved`: everything written so far is on the disk."""

    plate: str


class Spilled(msgspec.Struct, frozen=True):
    """The plate's journal goes on in another file."""

    plate: str
    path: Path
    why: str


class Unsaved(msgspec.Struct, frozen=True):
    """The lines of a plate that wait for the disk; `why` is None while it has refused nothing."""

    plate: str
    first_path: Path
    batches: Sequence[Batch]
    why: str | None

    @property
    def count(self) -> int:
        """How many lines wait."""
        return sum(batch.count for batch in self.batches)

    @property
    def lines(self) -> bytes:
        """The lines as they are written, each with its LF."""
        return b"".join(batch.data for batch in self.batches)


Report = Saved | NotSaved | SavedAgain | Spilled


class JournalWriter:
    """Writes the journals of the plates on the bench.

    `report` is called from the writer's thread. `clock` gives the seconds that `waiting` counts in.
    """

    def __init__(
        self,
        home: Path,
        report: Callable[[Report], None],
        *,
        rehearsal: bool = False,
        clock: Callable[[], float] = time.monotonic,
        retry: float = RETRY,
    ) -> None:
        """Nothing is opened and no thread begun before the first line."""
        self.home, self.rehearsal, self.clock, self.retry = home, rehearsal, clock, retry
        self.report_trouble: list[str] = []
        self._report = report
        self._changed = threading.Condition()
        self._wake: queue.SimpleQueue[None] = queue.SimpleQueue()
        self._waiting: dict[str, deque[Batch]] = {}
        self._files: dict[str, PlateFiles] = {}
        self._retry_at: dict[str, float] = {}
        self._reported_trouble: dict[str, str] = {}
        self._released: set[str] = set()
        self._hints = Hints(home)
        self._closing = self._last_resort = False
        self._thread: threading.Thread | None = None

    def write(self, plate_id: str, local_date: str, events: Sequence[AnyEvent]) -> None:
        """Take the events of one cause; returns at once.

        Raises LineError, and takes none of them, when one cannot be written.
        """
        if not events:
            return
        data = b"".join(map(encode, events))
        first = events[0]
        plate_files = self._files.get(plate_id)
        path = (
            plate_files.first
            if plate_files
            else paths.plate_path(self.home, plate_id, local_date, self.rehearsal)
        )
        batch = Batch(events[-1].n, len(events), data, first.at, first.up, self.clock(), first.n)
        self._enqueue(plate_id, path, batch)

    def adopt(self, plate_log: PlateLog) -> None:
        """Go on with a plate that was read back; returns at once.

        Its lines count as waiting until the file was checked and fsynced.
        """
        first_path = plate_log.path
        if plate_log.local_date:
            first_path = paths.plate_path(self.home, plate_log.plate, plate_log.local_date, self.rehearsal)
        at, frames = plate_log.start.at if plate_log.start else "", sorted(plate_log.frames.items())
        data = b"".join(frame + b"\n" for _, frame in frames)
        batch = Batch(plate_log.last_n, len(frames), data, at, None, self.clock(), 1, plate_log)
        self._enqueue(plate_log.plate, first_path, batch)

    def release(self, plate_id: str) -> None:
        """Give the journal's lock back once what waits is saved: others may then add notes to the plate."""
        with self._changed:
            if plate_id in self._files:
                self._released.add(plate_id)
                self._wake.put(None)

    def take_back(self, plate_id: str, local_date: str) -> PlateLog | None:
        """Lock the journal of a released plate, and return it as it is now: it is this writer's again.

        None when its lock was never given back: nobody else could write to it. Raises NotSavedError with
        the reason; a disk that does not answer is not waited for.
        """
        with self._changed:
            self._released.discard(plate_id)
            if plate_id in self._files:
                return None
        path = paths.plate_path(self.home, plate_id, local_date, self.rehearsal)
        plate_files, plate_log = rack.take_back(self.home, path, plate_id, rack.ANSWER)
        with self._changed:
            self._files[plate_id] = plate_files
        self.adopt(plate_log)
        return plate_log

    def waiting(self) -> dict[str, float]:
        """Return {plate: seconds its oldest unsaved event has waited}."""
        now = self.clock()
        with self._changed:
            return {plate: max(0.0, now - batches[0].since) for plate, batches in self._waiting.items()}

    def flush(self, timeout: float) -> bool:
        """Wait until everything is saved, at most `timeout` seconds; return whether it is."""
        with self._changed:
            return self._changed.wait_for(lambda: not self._waiting, timeout)

    def hurry(self) -> None:
        """Try at once what waits; from now on a full disk is left for another place; returns at once."""
        with self._changed:
            self._last_resort = True
            self._retry_at.clear()
            self._wake.put(None)

    def unsaved(self) -> list[Unsaved]:
        """Return what waits, by plate; lines of a journal that was read back wait for nothing."""
        with self._changed:
            return [
                Unsaved(plate, self._files[plate].first, new_batches, self._reported_trouble.get(plate))
                for plate, batches in self._waiting.items()
                if (new_batches := [batch for batch in batches if batch.adopted is None])
            ]

    def close(self, timeout: float) -> bool:
        """Save what waits, on a full disk in another place, and stop; return whether all is saved."""
        until = time.monotonic() + timeout
        self.hurry()
        all_saved = self.flush(timeout)
        with self._changed:
            self._closing = True
            thread = self._thread
            self._wake.put(None)
        if thread is not None:
            thread.join(max(0.0, until - time.monotonic()) + 0.2)
        return all_saved

    # --- inside ----------------------------------------------------------------------------

    def _enqueue(self, plate: str, path: Path, batch: Batch) -> None:
        with self._changed:
            if plate not in self._files:
                self._files[plate] = PlateFiles(self.home, path, plate)
            self._released.discard(plate)
            self._waiting.setdefault(plate, deque()).append(batch)
            self._retry_at.pop(plate, None)
            if self._thread is None:
                self._closing = self._last_resort = False
                self._thread = threading.Thread(target=self._run, name="journal", daemon=True)
                self._thread.start()
        self._wake.put(None)

    def _run(self) -> None:
        while True:
            with self._changed:
                plate = self._next_plate()
                if plate is not None:
                    files, batches = self._files[plate], list(self._waiting[plate])
                    last_resort = self._last_resort
                elif not (hints_due := self._hints.are_due(self._closing)):
                    if self._closing:
                        self._thread = None
                        for files in self._files.values():
                            files.close()
                        return
                    seconds = self._seconds_until_due()
            if plate is None:
                if hints_due:
                    self._hints.give()
                else:
                    with suppress(queue.Empty):
                        self._wake.get(timeout=seconds)
                continue
            saved, why = 0, None
            try:
                saved = files.save(batches, last_resort=last_resort)
            except NotSavedYet as not_yet:
                why = str(not_yet)
            except Exception as error:  # whatever it was, the events are kept and go to another file
                why = f"{type(error).__name__}: {error}"
                files.give_up(why)
            self._settle(plate, files, batches, saved, why)
            if saved:
                self._hints.add(files.path)

    def _next_plate(self) -> str | None:
        """Return the plate whose oldest cause has waited longest and may be tried now."""
        if self._released:
            for plate in [plate for plate in self._released if plate not in self._waiting]:
                self._released.discard(plate)
                self._files.pop(plate).close()
        if not self._retry_at and len(self._waiting) < 2:
            return next(iter(self._waiting), None)
        now = time.monotonic()
        ready = [plate for plate in self._waiting if self._retry_at.get(plate, 0.0) <= now]
        return min(ready, key=lambda plate: self._waiting[plate][0].since, default=None)

    def _seconds_until_due(self) -> float | None:
        """Return how long there is nothing to do, in seconds; None is until something is written."""
        soonest = min([self._hints.due, *(self._retry_at.get(plate, 0.0) for plate in self._waiting)])
        return None if soonest == math.inf else max(0.0, soonest - time.monotonic())

    def _settle(
        self, plate: str, files: PlateFiles, batches: list[Batch], saved: int, why: str | None
    ) -> None:
        """Take what is saved off the queue and report the outcome."""
        reports: list[Report] = [Spilled(plate, path, reason) for path, reason in files.moved_to]
        files.moved_to.clear()
        with self._changed:
            queue = self._waiting[plate]
            for _ in range(saved):
                queue.popleft()
            if saved:
                reports.append(Saved(plate, batches[saved - 1].n))
            if why is not None:
                self._retry_at[plate] = time.monotonic() + self.retry
                if self._reported_trouble.get(plate) != why:
                    self._reported_trouble[plate] = why
                    reports.append(NotSaved(plate, why, sum(batch.count for batch in queue)))
            elif not queue and self._reported_trouble.pop(plate, None) is not None:
                reports.append(SavedAgain(plate))
            if not queue:
                del self._waiting[plate]
            self._changed.notify_all()
        for report in reports:
            self._send(report)

    def _send(self, report: Report) -> None:
        try:
            self._report(report)
        except Exception as error:  # the receiver may be gone; the writing goes on
            self.report_trouble.append(f"{type(report).__name__}: {error}")
