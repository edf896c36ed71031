"""The files of one plate as their writer sees them: append, cut back, go on elsewhere.

Only the writer's thread uses this. After a failed fsync a file is never written or fsynced again:
the system may have thrown away what was not yet on the disk and say nothing the next time.
"""

from __future__ import annotations

import errno
import os
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

import msgspec

from darkroom.bench import events as ev
from darkroom.log.journal.frame import encode
from darkroom.log.journal.merge import PlateLog, read_plate
from darkroom.log.journal.read import plate_of, read_file
from darkroom.log.store import durable, locks, paths

LOCK_WAIT = 2.0
"""How long a note being written from the command line may keep a resumed plate waiting, in seconds."""


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


class Later(Exception):
    """Nothing was saved for now; what waits is kept and tried again."""


class PlateFiles:
    """Appends the causes of one plate. `home` is the folder of the log."""

    def __init__(self, home: Path, path: Path, plate: str) -> None:
        """`path` is the plate's first file, there already or not."""
        self.home, self.first, self.plate = home, path, plate
        self.path = path
        self.saved = 0
        self.moved_to: list[tuple[Path, str]] = []
        self._fd = -1
        self._good = 0
        self._k = 1
        self._named = False
        self._lost: str | None = None
        self._text: list[bytes] = []
        self._gone = False

    def save(self, batches: Sequence[Batch], *, last_resort: bool = False) -> int:
        """Save the first of `causes`, or all of them in a further file; return how many are saved now.

        Raises Later when none is. With `last_resort` a full disk is left for another place at once.
        """
        if self._lost is not None:
            return self._go_on(self._lost, batches)
        batch = batches[0]
        try:
            if batch.adopted is not None:
                return self._adopt(batch.adopted, batches)
            if self._fd < 0:
                self._open(batch)
            self._append(batch.data)
        except OSError as error:
            if error.errno in durable.TRY_AGAIN and self._lost is None and not last_resort:
                raise Later(words(error)) from error
            return self._go_on(self._lost or words(error), batches)
        self._text.append(batch.data)
        self.saved = batch.n
        return 1

    def lose(self, why: str) -> None:
        """Give up the present file: what is saved next goes to a further one."""
        self._lost = why
        self.close()

    def close(self) -> None:
        """Close the file and give its lock back."""
        fd, self._fd = self._fd, -1
        if fd >= 0:
            with suppress(OSError):  # nothing is ever saved by closing
                os.close(fd)

    # --- the present file ------------------------------------------------------------------

    def _open(self, batch: Batch) -> None:
        if batch.first > 1 and self.first.exists():
            self._resume(read_plate(self.first))
            return
        durable.make_folders(self.first.parent)
        self._fd = durable.create(self.first)
        self._good, self._named = 0, False
        locks.lock(self._fd)

    def _append(self, data: bytes) -> None:
        """Write and fsync; the file is cut back when the disk is full, and lost when it fails."""
        try:
            durable.write_once(self._fd, data)
        except OSError as error:
            self._cut_back()
            if error.errno not in durable.TRY_AGAIN:
                self.lose(words(error))
            raise
        self._sync()
        if os.fstat(self._fd).st_nlink == 0:
            self._gone = True
            self.lose("the journal was deleted")
            raise OSError(errno.ENOENT, self._lost)
        self._good += len(data)

    def _cut_back(self) -> None:
        """Cut the file back to its last saved byte: the next line must not be glued to a torn one."""
        try:
            os.ftruncate(self._fd, self._good)
        except OSError as error:
            self.lose(words(error))

    def _sync(self) -> None:
        try:
            durable.sync(self._fd)
            if not self._named:
                durable.sync_names(self.path.parent, self.home)
                self._named = True
        except OSError as error:
            self.lose(f"{words(error)} (fsync)")
            raise

    # --- a journal that is there already ---------------------------------------------------

    def _adopt(self, log: PlateLog, batches: Sequence[Batch]) -> int:
        """Go on with a journal read back; a plate that had spilled is brought home first."""
        self._k = max(part.k for part in log.parts)
        away = _away(log, self.first.parent)
        if not away or not self._bring_home(log, away, batches[0]):
            self._resume(log)
        self._text = [batches[0].data]
        self.saved = log.last_n
        return 1

    def _bring_home(self, log: PlateLog, away: dict[int, bytes], batch: Batch) -> bool:
        """Copy lines that lie in spill places alone to a further file of the plate's own folder."""
        data = b"".join(frame + b"\n" for _, frame in sorted(away.items()))
        try:
            durable.make_folders(self.first.parent)
            self._begin(self.first.parent, "brought home", min(away) - 1, batch, data)
        except OSError as error:
            self.moved_to.append((log.parts[-1].path, words(error)))
            return False
        return True

    def _resume(self, log: PlateLog) -> None:
        """Open the last file, check it, move a torn last line aside, make sure of it."""
        last = log.parts[-1]
        self._k = max(part.k for part in log.parts)
        if not last.readable:
            self.lose("the journal could not be read")
            raise OSError(errno.EIO, self._lost)
        self.path = last.path
        self._fd = durable.append(last.path)
        if not locks.lock(self._fd, wait=LOCK_WAIT):
            self.close()
            raise OSError(errno.EAGAIN, "another program is writing in the journal")
        try:
            now = read_file(last.path)
            if not now.readable or now.kept[: len(last.kept)] != last.kept:
                self.lose("the journal has changed since it was read")
                raise OSError(errno.EIO, self._lost)
            self._good = now.whole
            if now.tail_good:
                durable.write_once(self._fd, b"\n")
                self._good += len(now.tail) + 1
            elif now.tail:
                self._set_aside(now.tail)
                os.ftruncate(self._fd, now.whole)
            self._named = False
            self._sync()
        except OSError:
            self.close()
            raise

    def _set_aside(self, tail: bytes) -> None:
        """Keep a torn line beside the journal: it was never saved, and still it may tell something."""
        aside = self.path.with_name(f"{self.plate}.torn")
        fd = os.open(aside, os.O_CREAT | os.O_WRONLY | os.O_APPEND | getattr(os, "O_CLOEXEC", 0), 0o666)
        try:
            durable.write_once(fd, tail + b"\n")
            durable.sync(fd)
        finally:
            os.close(fd)
        durable.sync_folder(aside.parent)

    # --- a further file ----------------------------------------------------------------------

    def _go_on(self, why: str, batches: Sequence[Batch]) -> int:
        """Save all `causes` in a further file, in the first place that works."""
        self.lose(why)
        data = b"".join([*(self._text if self._gone else ()), *(batch.data for batch in batches)])
        reasons: list[str] = []
        for folder in (self.first.parent, *paths.spill_places()):
            try:
                if folder == self.first.parent:
                    durable.make_folders(folder)
                else:
                    durable.own_folder(folder)
                self._begin(folder, why, 0 if self._gone else self.saved, batches[0], data)
            except OSError as error:
                reasons.append(words(error))
                continue
            self._gone = False
            self._text += [batch.data for batch in batches]
            self.saved = batches[-1].n
            return len(batches)
        raise Later(f"{why}; nor elsewhere: {reasons[-1]}")

    def _begin(self, folder: Path, why: str, saved: int, batch: Batch, data: bytes) -> None:
        """Begin the plate's next file in `folder` with the lines of `data`. Raises OSError."""
        self._k = max([self._k, *_used(folder, self.plate)])
        fd = -1
        while fd < 0:
            self._k += 1
            path = folder / f"{self.plate}.{self._k}.jsonl"
            with suppress(FileExistsError):
                fd = durable.create(path)
        elsewhere = str(self.home) if folder != self.first.parent else None
        start = ev.Continued(
            n=0, at=batch.at, up=batch.up, plate=self.plate, saved=saved, why=why, home=elsewhere
        )
        whole = encode(start) + data
        try:
            locks.lock(fd)
            durable.write_once(fd, whole)
            durable.sync(fd)
            durable.sync_folder(folder)
        except BaseException:
            os.close(fd)
            with suppress(OSError):  # nothing in it was ever saved
                path.unlink()
            raise
        self.close()
        self.path, self._fd, self._good, self._named, self._lost = path, fd, len(whole), True, None
        self.moved_to.append((path, why))


def _away(log: PlateLog, own: Path) -> dict[int, bytes]:
    """Return the lines that are safe outside the plate's own folder alone.

    What stands in a file beyond what the next one calls saved was never known to be on the disk.
    """
    at_home: set[bytes] = set()
    for part, after in zip(log.parts, [*log.parts[1:], None], strict=True):
        if part.path.parent == own:
            at_home |= {kept.frame for kept in part.kept if after is None or kept.event.n <= after.saved}
    return {n: frame for n, frame in log.frames.items() if frame not in at_home}


def _used(folder: Path, plate: str) -> list[int]:
    """Return the numbers of the plate's files in a folder."""
    try:
        found = [plate_of(Path(name)) for name in os.listdir(folder)]
    except OSError:
        return []
    return [named[1] for named in found if named is not None and named[0] == plate]


def words(error: OSError) -> str:
    """Return what went wrong with the disk, for people."""
    if error.errno in durable.NO_SPACE:
        return "the disk is full"
    return error.strerror or str(error)
