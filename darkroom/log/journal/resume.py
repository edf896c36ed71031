"""Which plates come back to the bench when the tool starts, and how long each was left alone."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Literal

import msgspec

from darkroom.bench import events as ev
from darkroom.bench.fold import apply
from darkroom.bench.intents import CameBack
from darkroom.bench.standing import standing
from darkroom.bench.state import STEPS, PlateState
from darkroom.errors import Problem
from darkroom.log.journal.find import locate, survey
from darkroom.log.journal.journal_names import FolderCache, plate_of
from darkroom.log.journal.merge import PlateLog, read_plate
from darkroom.log.journal.surely_away import surely_away
from darkroom.log.store.bench_files import BenchBook

LOST_BOOK_DAYS = 30
"""So many days of folders are looked through when `bench.json` is lost."""


class Returning(msgspec.Struct, frozen=True):
    """The plates that come back, and (plate, why) for those that should and cannot.

    `unread` are the folders that could not be looked into: a plate may be there.
    """

    plates: list[PlateLog]
    left_out: list[tuple[PlateLog, str]]
    unread: list[Problem]


def returning(home: Path, bench_id: str, today: date | None = None) -> Returning:
    """Look for the plates that have no standing end, carry this bench's id and are no rehearsal.

    `bench.json` names plates however old they are; plates begun since it was written are found in
    the folders of the days since. Without it the last 30 days' folders are looked through; what is
    `surely_away` is not read in full. A plate is left out whose journal cannot be read or gone on with; of
    two journals of one plate, the one that `locate` finds counts.
    """
    local_today = today or datetime.now().date()
    book = BenchBook(home)
    book_content = book.load()
    named_plates = [str(plate) for plate in _list(book_content.get("plates"))]
    days = LOST_BOOK_DAYS
    if book_content and book.problem is None:
        days = max(0, (local_today - _written(book.path, local_today)).days) + 1
    found = survey(home, days, today=local_today)
    paths = dict.fromkeys(found.paths)
    seen = {name.plate for path in found.paths if (name := plate_of(path))}
    for plate in named_plates:
        path = locate(home, plate, with_locked=plate not in seen)
        if path is not None:
            paths[path] = None
    plates: dict[str, PlateLog] = {}
    left_out: list[tuple[PlateLog, str]] = []
    folder_cache = FolderCache()
    for path in paths:
        if surely_away(path, bench_id, folder_cache):
            continue
        log = read_plate(path, folder_cache)
        start = log.start
        if log.ended is not None or (start is not None and (start.bench != bench_id or start.rehearsal)):
            continue
        why = _why_left_out(log)
        if why is None and log.plate in plates:
            counts = locate(home, log.plate)
            first, second = sorted((plates[log.plate], log), key=lambda either: either.path != counts)
            plates[log.plate] = first
            left_out.append((second, f"another journal of it, in {first.local_date}, counts"))
        elif why is None:
            plates[log.plate] = log
        elif start is not None or log.plate in named_plates or _holds_something(log):
            left_out.append((log, why))
    return Returning(sorted(plates.values(), key=lambda log: log.plate), left_out, found.problems)


def _why_left_out(log: PlateLog) -> str | None:
    """Return why a plate does not come back that is not finished, or None when it does."""
    if not any(file.readable for file in log.journal_files):
        return next((problem.what for problem in log.problems), "it cannot be read")
    if log.start is None:
        return "its first line is lost"
    if log.start.plate != log.plate:
        return f"its first line is that of another plate, {log.start.plate}"
    if log.schema > ev.SCHEMA:
        return "it is from a newer darkroom: it can be read, not gone on with"
    if log.local_date:
        try:
            date.fromisoformat(log.local_date)
        except ValueError:
            return f"its folder is that of no day: {log.local_date}"
    return None


def _holds_something(log: PlateLog) -> bool:
    """Return whether anything was ever saved in the plate's files, as far as they can be read."""
    return any(file.whole_bytes or not file.readable for file in log.journal_files)


def why_not_gone_on_with(state: PlateState) -> str | None:
    """Return why the bench cannot go on with a plate that was folded, or None when it can."""
    stages = {stage.name for stage in state.process.stages}
    steps = [line for line in standing(state.lines) if isinstance(line, STEPS)]
    if any(not isinstance(step, ev.PlateEnded) and step.stage not in stages for step in steps):
        return "it went through a stage its process does not have"
    if any(step.up is None for step in steps):
        return "a step of it has no time on the boot clock"
    return None


def why_not_taken_back(log: PlateLog) -> str | None:
    """Return why a plate cannot go from the rack to the bench, by its journal as it is now, or None."""
    if log.schema > ev.SCHEMA:
        return "it is from a newer darkroom: it can be read, not gone on with"
    if log.start is None:
        return "the first line of its journal is lost"
    if log.ended is not None:
        return "it is finished"
    return None if log.racked else "it is not on the rack any more"


def on_clock_of_this_start(state: PlateState, back: CameBack, up_now: float) -> PlateState:
    """Return a racked plate of another start of the machine with its instants on this one's boot clock.

    Nothing is written: the line that says so goes with the plate when it is taken from the rack.
    """
    resumed = ev.Resumed(n=state.last_n + 1, at="", up=up_now, gap=back.gap, by=back.by, boot=back.boot)
    return apply(state, resumed)


def _list(value: object) -> list[object]:
    return value if isinstance(value, list) else []


def _written(path: Path, today: date) -> date:
    """Return the local date on which the book was written, never one after `today`."""
    try:
        return min(today, datetime.fromtimestamp(path.stat().st_mtime).date())
    except (OSError, OverflowError, ValueError):
        return today - timedelta(days=LOST_BOOK_DAYS)


def gap(log: PlateLog, boot_id: str, up_now: float, wall_now: float) -> tuple[float, Literal["up", "wall"]]:
    """Return how long ago the plate's last bench line was, in seconds, and by which clock.

    The same start of the machine: by the boot clock (`up`). Another: by the wall clock (`wall`, seconds
    since the epoch), 0.0 when that stands behind the last line: the true gap is then at least that.
    """
    boot, last_event = None, None
    for event in log.events:
        if isinstance(event, (ev.PlateStarted, ev.Resumed)):
            boot = event.boot
        if event.up is not None:
            last_event = event
    if last_event is None or last_event.up is None:
        return 0.0, "wall"
    if boot == boot_id:
        return max(0.0, up_now - last_event.up), "up"
    try:
        at = datetime.fromisoformat(last_event.at)
    except ValueError:
        return 0.0, "wall"
    if at.tzinfo is None:
        at = at.replace(tzinfo=UTC)
    return max(0.0, wall_now - at.timestamp()), "wall"
