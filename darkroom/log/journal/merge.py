"""Reading a plate's journal back after anything: its files put together. Nothing here raises."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Sequence
from functools import cached_property
from pathlib import Path

import msgspec

from darkroom.bench import events as ev
from darkroom.bench.standing import standing
from darkroom.errors import Problem
from darkroom.log.journal.frame import Line
from darkroom.log.journal.read import FileRead, Kept, Listing, files_of, plate_of, read_file
from darkroom.log.store.paths import printable


class PlateLog(msgspec.Struct, frozen=True, kw_only=True, dict=True):
    """What is known of a plate from its files: events ascending by `n`, and what is wrong.

    `files` are absolute, the first file first; `schema` is the newest found (0 without a start). What is
    worked out from the events is worked out once.
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


def read_plate(path: Path, listing: Listing | None = None) -> PlateLog:
    """Read the plate whose (first) file is `path`, with every further file of it, wherever it lies.

    A `listing` spares looking into the folders anew for each of many plates.
    """
    path = Path(os.path.abspath(path))
    named = plate_of(path)
    plate = named[0] if named else path.name
    parts = [read_file(found) for found in files_of(path, listing)]
    return merge(plate, parts)


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
        plate=plate,
        files=tuple(part.path for part in parts),
        events=events,
        problems=(),
        schema=max((start.schema for start in starts), default=0),
        local_date=_local_date(parts, events),
        parts=tuple(parts),
        frames={n: kept.frame for n, (kept, _) in chosen.items()},
    )
    problems.extend(_unfinished(log))
    return msgspec.structs.replace(log, problems=tuple(problems))


def _merge_one(plate: str, part: FileRead, chosen: dict[int, tuple[Kept, FileRead]]) -> Iterable[Problem]:
    if not chosen and _in_order(plate, part.kept):
        chosen.update((n, (kept, part)) for n, kept in enumerate(part.kept, 1))
        return
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


def _in_order(plate: str, kept: Sequence[Kept]) -> bool:
    """Whether the lines are 1, 2, 3 … of this plate, with its start first: most files, nothing to settle."""
    events = [one.event for one in kept]
    first = events[0] if events else None
    if not isinstance(first, ev.PlateStarted) or first.plate != plate:
        return False
    if [event.n for event in events] != list(range(1, len(events) + 1)):
        return False
    return not any(isinstance(event, (ev.PlateStarted, ev.Continued)) for event in events[1:])


def _missing(parts: Sequence[FileRead], chosen: Iterable[int]) -> list[Problem]:
    numbers = sorted(chosen)
    if not numbers or numbers[-1] == len(numbers):
        return []
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
    """An unfinished last line is a problem once no one can be writing it, and no further file follows."""
    last = log.parts[-1]
    if last.readable and not last.whole and not last.tail:
        return [Problem(printable(last.path), None, None, "empty: nothing was saved in it")]
    if not log.torn or (log.start is not None and log.ended is None):
        return []
    number = last.line_count + 1
    return [Problem(printable(last.path), number, None, "the last line is unfinished; it was never saved")]


def _local_date(parts: Sequence[FileRead], events: Sequence[Line]) -> str:
    for part in parts:
        if re.fullmatch(r"\d{4}-\d{2}-\d{2}", part.path.parent.name):
            return part.path.parent.name
    return events[0].at[:10] if events else ""
