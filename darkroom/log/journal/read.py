"""Reading one file of a journal, and finding the files of a plate.

Nothing here locks, changes a file, or raises: what comes back are the good lines and a list of
problems, each with its file and line.
"""

from __future__ import annotations

import os
import re
import stat
from pathlib import Path
from typing import BinaryIO

import msgspec

from darkroom.bench import events as ev
from darkroom.errors import LineError, Problem
from darkroom.log.journal.frame import Line, decode, frames_within, is_sound, parse, parse_all
from darkroom.log.store import durable, paths
from darkroom.log.store.paths import printable

LARGEST = 64 << 20
"""A journal longer than this is read no further: a plate fills some thousand lines at most."""

MOST_FOLDERS = 16
"""A listing holds the names of about so many folders at a time: plates come day by day."""
_NAME = re.compile(r"(?P<plate>[^.]+)(?:\.(?P<k>[0-9]{1,6}))?\.jsonl")


class Kept(msgspec.Struct, frozen=True):
    """A good line: its event, its bytes without the LF, and the number of its line in the file."""

    event: Line
    frame: bytes
    line: int


class FileRead(msgspec.Struct, frozen=True, kw_only=True):
    """One file of a journal as it was read.

    `whole` counts the bytes up to and with the last LF, `tail` is what follows it; `tail_good` says
    that the tail holds a whole frame and lacks only its LF. `saved` is what the `continued` line says.
    """

    path: Path
    k: int
    kept: tuple[Kept, ...] = ()
    whole: int = 0
    line_count: int = 0
    tail: bytes = b""
    tail_good: bool = False
    saved: int = 0
    home: str | None = None
    readable: bool = True
    problems: tuple[Problem, ...] = ()


def plate_of(path: Path) -> tuple[str, int] | None:
    """Return (plate, number of the file, from 1) from a journal's path, or None when it is none."""
    return plate_of_name(path.name)


def plate_of_name(name: str) -> tuple[str, int] | None:
    """Return (plate, number of the file, from 1) from a journal's name, or None when it is none."""
    found = _NAME.fullmatch(name)
    return (found["plate"], int(found["k"] or 1)) if found else None


class Listing:
    """The journals in folders, each folder looked into once while many plates are gone through.

    It is of the moment: make one for each going through.
    """

    def __init__(self) -> None:
        """Find the spill places; no folder is looked into yet."""
        self.spill_folders = spill_folders()
        self._folders: dict[Path, dict[str, list[tuple[int, Path]]]] = {}

    def journals(self, folder: Path, plate: str) -> list[tuple[int, Path]]:
        """Return (number of the file, path) of a plate's files in a folder."""
        if folder not in self._folders:
            if len(self._folders) > MOST_FOLDERS:
                self._folders.clear()
            by_plate = self._folders[folder] = {}
            for name in names_in(folder):
                named = plate_of_name(name)
                if named is not None:
                    by_plate.setdefault(named[0], []).append((named[1], folder / name))
        return self._folders[folder].get(plate, [])


def files_of(path: Path, listing: Listing | None = None) -> list[Path]:
    """Return the files of the plate that `path` belongs to: its folder's, then the spilled ones."""
    named = plate_of(path)
    if named is None:
        return [path]
    listing = listing or Listing()
    files: list[tuple[int, int, Path]] = []
    for place, folder in enumerate((path.parent, *listing.spill_folders)):
        if place == 0 or folder != path.parent:
            files += [(k, place, file) for k, file in listing.journals(folder, named[0])]
    if not any(file == path for _, _, file in files):
        files.append((named[1], 0, path))
    return [file for _, _, file in sorted(files)]


def spill_folders() -> list[Path]:
    """Return the spill places that are this user's own."""
    return [folder for folder in paths.spill_places() if durable.is_own(folder)]


def names_in(folder: Path) -> list[str]:
    """Return the names in a folder, none of one that cannot be read."""
    try:
        with os.scandir(folder) as entries:
            return [entry.name for entry in entries]
    except OSError:
        return []


def read_file(path: Path) -> FileRead:
    """Read one file."""
    named = plate_of(path)
    k = named[1] if named else 1
    try:
        data, more = _bytes_of(path)
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or error
        problem = Problem(printable(path), None, None, f"cannot be read: {why}")
        return FileRead(path=path, k=k, readable=False, problems=(problem,))
    read = scan(path, k, data)
    if more:
        problem = Problem(
            printable(path), None, None, f"longer than {LARGEST >> 20} MB: the rest was not read"
        )
        read = msgspec.structs.replace(read, readable=False, problems=(*read.problems, problem))
    return read


def open_to_read(path: Path) -> BinaryIO:
    """Open a plain file to read it. Raises OSError for anything else; never waits for a writer."""
    flags = (
        os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_CLOEXEC", 0) | getattr(os, "O_BINARY", 0)
    )
    fd = os.open(path, flags)
    if not stat.S_ISREG(os.fstat(fd).st_mode):
        os.close(fd)
        raise OSError("not a file of text")
    return os.fdopen(fd, "rb")


def _bytes_of(path: Path) -> tuple[bytes, bool]:
    with open_to_read(path) as file:
        # Asked for more than there is, the reader makes room for all of it first.
        data = file.read(min(os.fstat(file.fileno()).st_size, LARGEST) + 1)
    return data[:LARGEST], len(data) > LARGEST


def scan(path: Path, k: int, data: bytes) -> FileRead:
    """Return what the bytes of a journal's file hold; `k` is the file's number among its plate's."""
    whole = data.rfind(b"\n") + 1
    tail = data[whole:]
    kept: list[Kept] = []
    problems: list[Problem] = []
    name = printable(path)
    frames = data[:whole].split(b"\n")[:-1]
    events = parse_all(frames)
    if events is not None:
        kept = list(map(Kept, events, frames, range(1, len(frames) + 1)))
    else:
        for number, line in enumerate(frames, 1):
            problems.extend(_take(name, number, line, kept))
    tail_good = False
    if tail:
        before = len(kept)
        wrong = _take(name, len(frames) + 1, tail, kept)
        tail_good = len(kept) > before
        if tail_good:
            problems.extend(wrong)
    first = kept[0].event if kept else None
    continued = first if isinstance(first, ev.Continued) else None
    return FileRead(
        path=path,
        k=k,
        kept=tuple(kept),
        whole=whole,
        line_count=len(frames),
        tail=tail,
        tail_good=tail_good,
        saved=continued.saved if continued else 0,
        home=continued.home if continued else None,
        problems=tuple(problems),
    )


def _take(name: str, number: int, line: bytes, kept: list[Kept]) -> list[Problem]:
    """Add the good events of one line to `kept`; return what is wrong with it."""
    if is_sound(line):
        frames, wrong = [line], []
    else:
        frames = [frame for _, frame in frames_within(line)]
        inside = f"; {len(frames)} good inside it" if frames else ""
        wrong = [Problem(name, number, None, _reason(line) + inside)]
        if frames and b"".join(frames) == line:
            wrong = [Problem(name, number, None, "several lines run together; all are good")]
    for frame in frames:
        try:
            kept.append(Kept(parse(frame), frame, number))
        except LineError as error:
            wrong.append(Problem(name, number, None, f"the sum is right, the event is not: {error}"))
    return wrong


def _reason(line: bytes) -> str:
    try:
        decode(line)
    except LineError as error:
        return str(error)
    return "not a line of a journal"
