"""Writing the files of one plate: append, cut back, go on in another file.

Only the writer's thread uses this. After a failed fsync a file is never written or fsynced again:
the system may have dropped what was not yet on the disk and report no error the next time.
"""

from __future__ import annotations

import errno
import os
from collections.abc import Sequence
from itertools import takewhile
from pathlib import Path

import msgspec

from darkroom import plain_files
from darkroom.bench import events as ev
from darkroom.log.journal.frame import encode
from darkroom.log.journal.further_files import begin_file
from darkroom.log.journal.merge import PlateLog, lines_elsewhere, read_plate
from darkroom.log.journal.read import read_file
from darkroom.log.store import durable, locks, paths

LOCK_WAIT = 2.0
"""How long a note being written from the command line may keep a resumed plate waiting, in seconds."""
RACK_WAIT = 0.2
"""The same for a plate taken from the rack: a hand waits for it."""


class Batch(msgspec.Struct, frozen=True):
    """The lines of one cause, `data` with every LF; `since` is when they began to wait.

    `adopted` marks what is not a cause: the lines a journal already has, until they count as saved.
    """

    n: int
    count: int
    data: bytes
    at: str
    up: float | None
    since: float
    first: int = 1
    adopted: PlateLog | None = None


class NotSavedYet(Exception):
    """Nothing could be saved: what waits is kept and tried again."""


class PlateFiles:
    """Appends the causes of one plate. `home` is the folder of the log."""

    def __init__(self, home: Path, path: Path, plate: str) -> None:
        """`path` is the plate's first file, there already or not."""
        self.home, self.first, self.plate = home, path, plate
        self.path = path
        self.saved = 0
        self.moved_to: list[tuple[Path, str]] = []
        self._fd = -1
        self._good_bytes = 0
        self._file_number = 1
        self._name_synced = False
        self._given_up_because: str | None = None
        self._saved_data: list[bytes] = []
        self._deleted = False

    def save(self, batches: Sequence[Batch], *, last_resort: bool = False) -> int:
        """Save `batches` with one write and one fsync, or as many as the disk takes; return how many.

        Raises NotSavedYet when none is. With `last_resort` a full disk is left for another place at once.
        """
        if self._given_up_because is not None:
            return self._go_on(self._given_up_because, batches)
        batch = batches[0]
        try:
            if batch.adopted is not None:
                return self._adopt(batch.adopted, batches)
            if self._fd < 0:
                self._open(batch)
            taken = self._append_most(_until_adopted(batches))
        except OSError as error:
            if error.errno in durable.TRY_AGAIN and self._given_up_because is None and not last_resort:
                raise NotSavedYet(disk_error_text(error)) from error
            return self._go_on(self._given_up_because or disk_error_text(error), batches)
        self._saved_data += [batch.data for batch in batches[:taken]]
        self.saved = batches[taken - 1].n
        return taken

    def give_up(self, why: str) -> None:
        """Give up the present file: what is saved next goes to a further one."""
        self._given_up_because = why
        self.close()

    def close(self) -> None:
        """Close the file and give its lock back."""
        fd, self._fd = self._fd, -1
        if fd >= 0:
            plain_files.close(fd)

    # --- the present file ------------------------------------------------------------------

    def _open(self, batch: Batch) -> None:
        if batch.first > 1 and self.first.exists():
            self._resume(read_plate(self.first))
            return
        durable.make_folders(self.first.parent)
        self._fd = durable.create(self.first)
        self._good_bytes, self._name_synced = 0, False
        locks.lock(self._fd)

    def _append_most(self, batches: Sequence[Batch]) -> int:
        """Append all batches, or the first alone where there is no room for all; return how many.

        On a slow disk causes that wait share one fsync: each would take seconds.
        """
        try:
            self._append(batches[0].data if len(batches) == 1 else b"".join(batch.data for batch in batches))
            return len(batches)
        except OSError as error:
            if (
                len(batches) == 1
                or error.errno not in durable.TRY_AGAIN
                or self._given_up_because is not None
            ):
                raise
        self._append(batches[0].data)
        return 1

    def _append(self, data: bytes) -> None:
        """Write and fsync; the file is cut back when the disk is full, and lost when it fails."""
        try:
            durable.write_once(self._fd, data)
        except OSError as error:
            self._cut_back()
            if error.errno not in durable.TRY_AGAIN:
                self.give_up(disk_error_text(error))
            raise
        self._sync()
        if os.fstat(self._fd).st_nlink == 0:
            self._deleted = True
            self.give_up("the journal was deleted")
            raise OSError(errno.ENOENT, self._given_up_because)
        self._good_bytes += len(data)

    def _cut_back(self) -> None:
        """Cut the file back to its last saved byte: the next line must not be glued to a torn one."""
        try:
            os.ftruncate(self._fd, self._good_bytes)
        except OSError as error:
            self.give_up(disk_error_text(error))

    def _sync(self) -> None:
        try:
            durable.sync(self._fd)
            if not self._name_synced:
                durable.sync_names(self.path.parent, self.home)
                self._name_synced = True
        except OSError as error:
            self.give_up(f"{disk_error_text(error)} (fsync)")
            raise

    # --- a journal that is there already ---------------------------------------------------

    def take_back(self) -> PlateLog:
        """Lock a journal that others could write to, and return it as it is now. Raises OSError."""
        path = read_plate(self.first).file_to_append_to.path
        self._fd, self.path = durable.append(path), path
        if not locks.lock(self._fd, wait=RACK_WAIT):
            self.close()
            raise OSError(errno.EAGAIN, "a note is being written to it: try again")
        log = read_plate(self.first)
        if log.file_to_append_to.path != path:
            self.close()
            raise OSError(errno.EAGAIN, "its journal goes on in another file since: try again")
        return log

    def _adopt(self, log: PlateLog, batches: Sequence[Batch]) -> int:
        """Go on with a journal read back; a plate that had spilled is brought home first."""
        self._file_number = max(journal_file.k for journal_file in log.journal_files)
        elsewhere = lines_elsewhere(log, self.first.parent)
        if not elsewhere or not self._bring_home(log, elsewhere, batches[0]):
            self._resume(log)
        self._saved_data = [batches[0].data]
        self.saved = log.last_n
        return 1

    def _bring_home(self, log: PlateLog, elsewhere: dict[int, bytes], batch: Batch) -> bool:
        """Copy lines that lie in spill places alone to a further file of the plate's own folder."""
        data = b"".join(frame + b"\n" for _, frame in sorted(elsewhere.items()))
        try:
            durable.make_folders(self.first.parent)
            self._begin(self.first.parent, "brought home", min(elsewhere) - 1, batch, data)
        except OSError as error:
            self.moved_to.append((log.journal_files[-1].path, disk_error_text(error)))
            return False
        return True

    def _resume(self, log: PlateLog) -> None:
        """Open the last file, compare it with `log`, move a torn last line aside, fsync."""
        last_file = log.journal_files[-1]
        self._file_number = max(journal_file.k for journal_file in log.journal_files)
        if not last_file.readable:
            self.give_up("the journal could not be read")
            raise OSError(errno.EIO, self._given_up_because)
        if self._fd < 0 or self.path != last_file.path:  # else `take_back` holds it
            self.close()
            self.path = last_file.path
            self._fd = durable.append(last_file.path)
            if not locks.lock(self._fd, wait=LOCK_WAIT):
                self.close()
                raise OSError(errno.EAGAIN, "another program is writing in the journal")
        try:
            reread = read_file(last_file.path)
            if not reread.readable or reread.good_lines[: len(last_file.good_lines)] != last_file.good_lines:
                self.give_up("the journal has changed since it was read")
                raise OSError(errno.EIO, self._given_up_because)
            self._good_bytes = reread.whole_bytes
            if reread.tail_good:
                durable.write_once(self._fd, b"\n")
                self._good_bytes += len(reread.tail) + 1
            elif reread.tail:
                self._set_aside(reread.tail)
                os.ftruncate(self._fd, reread.whole_bytes)
            self._name_synced = False
            self._sync()
        except OSError:
            self.close()
            raise

    def _set_aside(self, tail: bytes) -> None:
        """Keep a torn line in a file beside the journal: it was never saved, but may still be of use."""
        aside = self.path.with_name(f"{self.plate}.torn")
        fd = os.open(aside, os.O_CREAT | os.O_WRONLY | os.O_APPEND | getattr(os, "O_CLOEXEC", 0), 0o600)
        try:
            durable.write_once(fd, tail + b"\n")
            durable.sync(fd)
        finally:
            plain_files.close(fd)
        durable.sync_folder(aside.parent)

    # --- a further file ----------------------------------------------------------------------

    def _go_on(self, why: str, batches: Sequence[Batch]) -> int:
        """Save all `batches` in a further file, in the first place that works."""
        self.give_up(why)
        data = b"".join([*(self._saved_data if self._deleted else ()), *(batch.data for batch in batches)])
        errors: list[str] = []
        for folder in (self.first.parent, *paths.spill_places()):
            try:
                if folder == self.first.parent:
                    durable.make_folders(folder)
                else:
                    durable.own_folder(folder)
                self._begin(folder, why, 0 if self._deleted else self.saved, batches[0], data)
            except OSError as error:
                errors.append(disk_error_text(error))
                continue
            self._deleted = False
            self._saved_data += [batch.data for batch in batches]
            self.saved = batches[-1].n
            return len(batches)
        raise NotSavedYet(f"{why}; nor elsewhere: {errors[-1]}")

    def _begin(self, folder: Path, why: str, saved: int, batch: Batch, data: bytes) -> None:
        """Begin the plate's next file in `folder` with the lines of `data`. Raises OSError."""
        home = paths.printable(self.home) if folder != self.first.parent else None
        continued = ev.Continued(
            n=0, at=batch.at, up=batch.up, plate=self.plate, saved=saved, why=why, home=home
        )
        data_with_start = encode(continued) + data
        self._file_number += 1  # also where it fails: a number is never used in two places
        path, self._file_number, fd = begin_file(folder, self.plate, self._file_number, data_with_start)
        self.close()
        self.path, self._fd, self._good_bytes, self._name_synced, self._given_up_because = (
            path,
            fd,
            len(data_with_start),
            True,
            None,
        )
        self.moved_to.append((path, why))


def _until_adopted(batches: Sequence[Batch]) -> Sequence[Batch]:
    """Return the first causes, up to lines that a journal already has; the first is a cause."""
    if len(batches) == 1:
        return batches
    return list(takewhile(lambda waiting: waiting.adopted is None, batches))


def disk_error_text(error: OSError) -> str:
    """Return the reason of a disk error in plain words."""
    if error.errno in durable.NO_SPACE:
        return "the disk is full"
    return error.strerror or str(error)
