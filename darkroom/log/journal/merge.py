"""Reading a plate's journal: its files merged into one list of events. Nothing here raises."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Sequence
from functools import cached_property
from pathlib import Path

import msgspec

from darkroom.bench import events as ev
from darkroom.bench.standing import Line, standing
from darkroom.errors import Problem
from darkroom.log.journal.journal_names import FolderCache, files_of, plate_of
from darkroom.log.journal.read import GoodLine, JournalFile, read_file
from darkroom.log.store.paths import printable


class PlateLog(msgspec.Struct, frozen=True, kw_only=True, dict=True):
    """What is known of a plate from its files: events ascending by `n`, and what is wrong.

    `files` are absolute, the first file first; `schema` is the newest in the lines (0 without a start).
    Properties derived from the events are computed once.
    """

    plate: str
    files: tuple[Path, ...]
    events: tuple[Line, ...]
    problems: tuple[Problem, ...]
    schema: int
    local_date: str
    journal_files: tuple[JournalFile, ...]
    frames: dict[int, bytes]

    @property
    def path(self) -> Path:
        """The first file."""
        return self.files[0]

    @cached_property
    def start(self) -> ev.PlateStarted | None:
        """The standing `plate_started`, or None when it is lost."""
        first = next(iter(self.standing), None)
        return first if isinstance(first, ev.PlateStarted) else None

    @cached_property
    def standing(self) -> tuple[Line, ...]:
        """The lines that no standing `undone` names."""
        return tuple(standing(self.events))

    @cached_property
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
    def file_to_append_to(self) -> JournalFile:
        """The last file in the plate's own folder, or the last of all: who adds a line holds its lock."""
        own_folder = self.path.parent
        in_own_folder = [file for file in self.journal_files if file.path.parent == own_folder]
        return (in_own_folder or list(self.journal_files))[-1]

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
        last_file = self.journal_files[-1] if self.journal_files else None
        return b"" if last_file is None or last_file.tail_good else last_file.tail


def read_plate(path: Path, folder_cache: FolderCache | None = None) -> PlateLog:
    """Read the plate whose (first) file is `path`, with every further file of it, wherever it lies.

    A `folder_cache` saves reading the same folders again for each of many plates.
    """
    path = Path(os.path.abspath(path))
    journal_name = plate_of(path)
    plate = journal_name.plate if journal_name else path.name
    journal_files = [read_file(file_path) for file_path in files_of(path, folder_cache)]
    return merge(plate, journal_files)


def merge(plate: str, journal_files: Sequence[JournalFile]) -> PlateLog:
    """Put the files of a plate together: by `n`; where bytes differ the lower file wins."""
    chosen: dict[int, tuple[GoodLine, JournalFile]] = {}
    problems: list[Problem] = []
    for journal_file in journal_files:
        problems.extend(journal_file.problems)
        problems.extend(_merge_file(plate, journal_file, chosen))
    events = tuple(chosen[n][0].event for n in sorted(chosen))
    problems.extend(_missing(journal_files, chosen))
    starts = [event for event in events if isinstance(event, ev.PlateStarted)]
    log = PlateLog(
        plate=plate,
        files=tuple(journal_file.path for journal_file in journal_files),
        events=events,
        problems=(),
        schema=max((start.schema for start in starts), default=0),
        local_date=_local_date(journal_files, events),
        journal_files=tuple(journal_files),
        frames={n: kept.frame for n, (kept, _) in chosen.items()},
    )
    problems.extend(_unfinished(log))
    return msgspec.structs.replace(log, problems=tuple(problems))


def _merge_file(
    plate: str, journal_file: JournalFile, chosen: dict[int, tuple[GoodLine, JournalFile]]
) -> Iterable[Problem]:
    if not chosen and _in_order(plate, journal_file.good_lines):
        chosen.update(
            (n, (good_line, journal_file)) for n, good_line in enumerate(journal_file.good_lines, 1)
        )
        return
    name, last = printable(journal_file.path), 0
    for position, good_line in enumerate(journal_file.good_lines):
        event = good_line.event
        if isinstance(event, ev.Continued):
            if event.plate != plate:
                yield Problem(name, good_line.line, "plate", f"goes on from another plate, {event.plate}")
            elif event.n != 0 or position != 0:
                yield Problem(name, good_line.line, None, "a `continued` that is not the first line")
            continue
        if event.n < 1:
            yield Problem(name, good_line.line, "n", f"{event.n} is no number of a line")
            continue
        if isinstance(event, ev.PlateStarted) and event.plate != plate:
            yield Problem(name, good_line.line, "plate", f"the start of another plate, {event.plate}")
        if isinstance(event, ev.PlateStarted) is not (event.n == 1):
            yield Problem(name, good_line.line, "event", "`plate_started` is line 1, and line 1 alone")
        earlier = chosen.get(event.n)
        if earlier is None:
            if event.n < last:
                yield Problem(name, good_line.line, "n", f"line {event.n} stands after line {last}")
            chosen[event.n] = (good_line, journal_file)
        elif earlier[0].frame != good_line.frame:
            where = f"{printable(earlier[1].path)}:{earlier[0].line}"
            yield Problem(
                name, good_line.line, "n", f"another line {event.n} stands in {where}; that one counts"
            )
        last = max(last, event.n)


def _in_order(plate: str, good_lines: Sequence[GoodLine]) -> bool:
    """Whether the lines are 1, 2, 3 … of this plate, with its start first. True of most files."""
    events = [good_line.event for good_line in good_lines]
    first = events[0] if events else None
    if not isinstance(first, ev.PlateStarted) or first.plate != plate:
        return False
    if [event.n for event in events] != list(range(1, len(events) + 1)):
        return False
    return not any(isinstance(event, (ev.PlateStarted, ev.Continued)) for event in events[1:])


def _missing(journal_files: Sequence[JournalFile], present: Iterable[int]) -> list[Problem]:
    numbers = sorted(present)
    if not numbers or numbers[-1] == len(numbers):
        return []
    gaps: list[str] = []
    previous = 0
    for n in numbers:
        if n > previous + 1:
            gaps.append(str(n - 1) if n == previous + 2 else f"{previous + 1} to {n - 1}")
        previous = n
    if not gaps or not journal_files:
        return []
    word = "line" if len(gaps) == 1 and " " not in gaps[0] else "lines"
    return [Problem(printable(journal_files[0].path), None, "n", f"{word} {', '.join(gaps)} missing")]


def _unfinished(log: PlateLog) -> list[Problem]:
    """An unfinished last line is a problem once no one can be writing it, and no further file follows."""
    last_file = log.journal_files[-1]
    if last_file.readable and not last_file.whole_bytes and not last_file.tail:
        return [Problem(printable(last_file.path), None, None, "empty: nothing was saved in it")]
    if not log.torn or (log.start is not None and log.ended is None):
        return []
    number = last_file.line_count + 1
    return [
        Problem(printable(last_file.path), number, None, "the last line is unfinished; it was never saved")
    ]


def _local_date(journal_files: Sequence[JournalFile], events: Sequence[Line]) -> str:
    for journal_file in journal_files:
        if re.fullmatch(r"\d{4}-\d{2}-\d{2}", journal_file.path.parent.name):
            return journal_file.path.parent.name
    return events[0].at[:10] if events else ""


def lines_elsewhere(log: PlateLog, own_folder: Path) -> dict[int, bytes]:
    """Return {n: frame} of the lines that are saved outside the plate's own folder alone.

    Lines of a file beyond the `saved` of the next file do not count: they may not be on the disk.
    """
    at_home: set[bytes] = set()
    for journal_file, next_file in zip(log.journal_files, [*log.journal_files[1:], None], strict=True):
        if journal_file.path.parent == own_folder:
            at_home |= {
                good_line.frame
                for good_line in journal_file.good_lines
                if next_file is None or good_line.event.n <= next_file.saved
            }
    return {n: frame for n, frame in log.frames.items() if frame not in at_home}
