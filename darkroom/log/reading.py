"""Reading a plate's journal back after anything. Nothing here locks, changes a file, or raises.

What comes back are the good events and a list of problems, each with its file and line.
"""

from __future__ import annotations

import os
import re
import stat
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import BinaryIO

import msgspec

from darkroom.bench import events as ev
from darkroom.bench.plate import standing
from darkroom.errors import LineError, Problem
from darkroom.log import disk, house, lines
from darkroom.log.lines import Line

LARGEST = 64 << 20
"""A journal longer than this is read no further: a plate fills some thousand lines at most."""

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


class PlateLog(msgspec.Struct, frozen=True, kw_only=True):
    """What is known of a plate from its files: events ascending by `n`, and what is wrong.

    `files` are absolute, the first file first; `schema` is the newest found (0 without a start).
    """

    plate: str
    files: tuple[Path, ...]
    events: tuple[Line, ...]
    problems: tuple[Problem, ...]
    schema: int
    local_date: str
    parts: tuple[FileRead, ...]
    frames: dict[int, bytes]

    @property
    def path(self) -> Path:
        """The first file."""
        return self.files[0]

    @property
    def start(self) -> ev.PlateStarted | None:
        """The standing `plate_started`, or None when it is lost."""
        first = next(iter(self.standing), None)
        return first if isinstance(first, ev.PlateStarted) else None

    @property
    def standing(self) -> tuple[Line, ...]:
        """The lines that no standing `undone` names."""
        return tuple(standing(self.events))

    @property
    def ended(self) -> ev.PlateEnded | None:
        """The standing `plate_ended`, or None while the plate is on the bench or the rack."""
        return next((line for line in reversed(self.standing) if isinstance(line, ev.PlateEnded)), None)

    @property
    def racked(self) -> bool:
        """Whether the plate waits on the rack."""
        steps = (ev.Racked, ev.LeadInStarted, ev.StageStarted, ev.StageEnded, ev.PlateEnded)
        last = next((line for line in reversed(self.standing) if isinstance(line, steps)), None)
        return isinstance(last, ev.Racked)

    @property
    def rehearsal(self) -> bool:
        """Whether it is the plate of a rehearsal."""
        return self.start is not None and self.start.rehearsal

    @property
    def last_n(self) -> int:
        """The highest `n`, 0 without lines."""
        return self.events[-1].n if self.events else 0

    @property
    def torn(self) -> bytes:
        """An unfinished last line of the last file: it was never saved."""
        last = self.parts[-1] if self.parts else None
        return b"" if last is None or last.tail_good else last.tail

    @property
    def saved_bytes(self) -> int:
        """How many bytes of the last file are whole lines."""
        return self.parts[-1].whole if self.parts else 0


def plate_of(path: Path) -> tuple[str, int] | None:
    """Return (plate, number of the file, from 1) from a journal's name, or None when it is none."""
    found = _NAME.fullmatch(path.name)
    return (found["plate"], int(found["k"] or 1)) if found else None


def read_plate(path: Path) -> PlateLog:
    """Read the plate whose (first) file is `path`, with every further file of it, wherever it lies."""
    path = Path(os.path.abspath(path))
    named = plate_of(path)
    plate = named[0] if named else path.name
    parts = [read_file(found) for found in files_of(path)]
    return merge(plate, parts)


def files_of(path: Path) -> list[Path]:
    """Return the files of the plate that `path` belongs to: its folder's, then the spilled ones."""
    named = plate_of(path)
    if named is None:
        return [path]
    found: list[tuple[int, int, Path]] = []
    for place, folder in enumerate((path.parent, *spill_folders())):
        if place and folder == path.parent:
            continue
        for name in _names(folder):
            other = plate_of(Path(name))
            if other is not None and other[0] == named[0]:
                found.append((other[1], place, folder / name))
    if not any(place == path for _, _, place in found):
        found.append((named[1], 0, path))
    return [place for _, _, place in sorted(found)]


def spill_folders() -> list[Path]:
    """Return the spill places that are this user's own."""
    return [folder for folder in house.spill_places() if disk.is_own(folder)]


def _names(folder: Path) -> list[str]:
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
    read = _scan(path, k, data)
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
        data = file.read(LARGEST + 1)
    return data[:LARGEST], len(data) > LARGEST


def _scan(path: Path, k: int, data: bytes) -> FileRead:
    whole = data.rfind(b"\n") + 1
    tail = data[whole:]
    kept: list[Kept] = []
    problems: list[Problem] = []
    name = printable(path)
    for number, line in enumerate(data[:whole].split(b"\n")[:-1], 1):
        problems.extend(_take(name, number, line, kept))
    tail_good = False
    if tail:
        before = len(kept)
        wrong = _take(name, data.count(b"\n") + 1, tail, kept)
        tail_good = len(kept) > before
        if tail_good:
            problems.extend(wrong)
    if not data:
        problems.append(Problem(name, None, None, "empty: nothing was saved in it"))
    first = kept[0].event if kept else None
    continued = first if isinstance(first, ev.Continued) else None
    return FileRead(
        path=path, k=k, kept=tuple(kept), whole=whole, line_count=data.count(b"\n"), tail=tail,
        tail_good=tail_good,
        saved=continued.saved if continued else 0, home=continued.home if continued else None,
        problems=tuple(problems),
    )  # fmt: skip


def _take(name: str, number: int, line: bytes, kept: list[Kept]) -> list[Problem]:
    """Add the good events of one line to `kept`; return what is wrong with it."""
    if lines.is_sound(line):
        frames, wrong = [line], []
    else:
        frames = [frame for _, frame in lines.frames_within(line)]
        inside = f"; {len(frames)} good inside it" if frames else ""
        wrong = [Problem(name, number, None, _reason(line) + inside)]
        if frames and b"".join(frames) == line:
            wrong = [Problem(name, number, None, "several lines run together; all are good")]
    for frame in frames:
        try:
            kept.append(Kept(lines.parse(frame), frame, number))
        except LineError as error:
            wrong.append(Problem(name, number, None, f"the sum is right, the event is not: {error}"))
    return wrong


def _reason(line: bytes) -> str:
    try:
        lines.decode(line)
    except LineError as error:
        return str(error)
    return "not a line of a journal"


def merge(plate: str, parts: Sequence[FileRead]) -> PlateLog:
    """Put the files of a plate together: by `n`; where bytes differ the lower file wins."""
    chosen: dict[int, tuple[Kept, FileRead]] = {}
    problems: list[Problem] = []
    for part in parts:
        problems.extend(part.problems)
        problems.extend(_merge_one(plate, part, chosen))
    events = tuple(chosen[n][0].event for n in sorted(chosen))
    problems.extend(_missing(parts, chosen))
    starts = [event for event in events if isinstance(event, ev.PlateStarted)]
    log = PlateLog(
        plate=plate, files=tuple(part.path for part in parts), events=events, problems=(),
        schema=max((start.schema for start in starts), default=0), local_date=_local_date(parts, events),
        parts=tuple(parts), frames={n: kept.frame for n, (kept, _) in chosen.items()},
    )  # fmt: skip
    problems.extend(_unfinished(log))
    return msgspec.structs.replace(log, problems=tuple(problems))


def _merge_one(plate: str, part: FileRead, chosen: dict[int, tuple[Kept, FileRead]]) -> Iterable[Problem]:
    name, last = printable(part.path), 0
    for position, kept in enumerate(part.kept):
        event = kept.event
        if isinstance(event, ev.Continued):
            if event.plate != plate:
                yield Problem(name, kept.line, "plate", f"goes on from another plate, {event.plate}")
            elif event.n != 0 or position != 0:
                yield Problem(name, kept.line, None, "a `continued` that is not the first line")
            continue
        if event.n < 1:
            yield Problem(name, kept.line, "n", f"{event.n} is no number of a line")
            continue
        if isinstance(event, ev.PlateStarted) and event.plate != plate:
            yield Problem(name, kept.line, "plate", f"the start of another plate, {event.plate}")
        if isinstance(event, ev.PlateStarted) is not (event.n == 1):
            yield Problem(name, kept.line, "event", "`plate_started` is line 1, and line 1 alone")
        before = chosen.get(event.n)
        if before is None:
            if event.n < last:
                yield Problem(name, kept.line, "n", f"line {event.n} stands after line {last}")
            chosen[event.n] = (kept, part)
        elif before[0].frame != kept.frame:
            where = f"{printable(before[1].path)}:{before[0].line}"
            yield Problem(name, kept.line, "n", f"another line {event.n} stands in {where}; that one counts")
        last = max(last, event.n)


def _missing(parts: Sequence[FileRead], chosen: Iterable[int]) -> list[Problem]:
    numbers = sorted(chosen)
    missing: list[str] = []
    before = 0
    for n in numbers:
        if n > before + 1:
            missing.append(str(n - 1) if n == before + 2 else f"{before + 1} to {n - 1}")
        before = n
    if not missing or not parts:
        return []
    word = "line" if len(missing) == 1 and " " not in missing[0] else "lines"
    return [Problem(printable(parts[0].path), None, "n", f"{word} {', '.join(missing)} missing")]


def _unfinished(log: PlateLog) -> list[Problem]:
    """An unfinished last line is a problem once no one can be writing it, and nothing follows it."""
    if not log.torn or (log.start is not None and log.ended is None):
        return []
    last = log.parts[-1]
    number = last.line_count + 1
    return [Problem(printable(last.path), number, None, "the last line is unfinished; it was never saved")]


def _local_date(parts: Sequence[FileRead], events: Sequence[Line]) -> str:
    for part in parts:
        if re.fullmatch(r"\d{4}-\d{2}-\d{2}", part.path.parent.name):
            return part.path.parent.name
    return events[0].at[:10] if events else ""


def printable(path: Path) -> str:
    """Return a path as text that can be printed, whatever bytes its name has."""
    return os.fsencode(path).decode("utf-8", "backslashreplace")
