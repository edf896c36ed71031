"""Finding plates among the folders of the log: by day, by id, by number."""

from __future__ import annotations

import re
from datetime import date, timedelta
from pathlib import Path

import msgspec

from darkroom import plain_files
from darkroom.bench import events as ev
from darkroom.errors import AmbiguousPlate, NothingFound, Problem
from darkroom.log.journal import journal_names, read
from darkroom.log.journal.frame import is_sound
from darkroom.log.store import paths

_FirstEvent = ev.PlateStarted | ev.Continued
_READER: msgspec.json.Decoder[_FirstEvent] = msgspec.json.Decoder(_FirstEvent)


MOST_NUMBER = 10**9 - 1
"""Plates are counted on from no higher number: a damaged one would stay for ever."""


class Head(msgspec.Struct, frozen=True):
    """What the first line of a journal says about its plate."""

    plate: str
    number: int
    rehearsal: bool = False
    process: dict[str, object] = {}

    @property
    def process_name(self) -> str:
        """The name of the process."""
        return str(self.process.get("name", ""))


class Survey(msgspec.Struct, frozen=True):
    """The first file of each plate found, oldest folder first, and the folders that could not be read."""

    paths: list[Path]
    problems: list[Problem]


def survey(
    home: Path, days: int | None = None, *, rehearsals: bool = False, today: date | None = None
) -> Survey:
    """Return the plates of the log, those of the last `days` days' folders or all.

    `today` is where the days are counted from; folders of a later date are always looked at. Plates
    that lie in a spill place alone come last.
    """
    first_day = None
    if days is not None:
        first_day = ((today or date.today()) - timedelta(days=min(days, 36500))).isoformat()
    problems: list[Problem] = []
    top_folder = home / (paths.REHEARSALS if rehearsals else paths.PLATES)
    first_paths: list[Path] = []
    for folder in journal_names.day_folders(top_folder, first_day, problems):
        first_paths.extend(first_files(folder, problems))
    known_plates = {
        journal_name.plate for path in first_paths if (journal_name := journal_names.plate_of(path))
    }
    first_paths.extend(spilled_plates(home, known_plates, rehearsals))
    return Survey(first_paths, problems)


def find_plates(
    home: Path, days: int | None = None, *, rehearsals: bool = False, today: date | None = None
) -> list[Path]:
    """Return the first file of each plate; see `survey`."""
    return survey(home, days, rehearsals=rehearsals, today=today).paths


def newest(home: Path, count: int) -> list[Path]:
    """Return the first file of each of the newest plates, the newest first, `count` or fewer.

    Only as many days' folders are looked into as it takes; plates that lie in a spill place alone come first.
    """
    spilled = spilled_plates(home, set(), False)
    newest_paths = [
        path
        for path in reversed(spilled)
        if (journal_name := journal_names.plate_of(path)) and locate(home, journal_name.plate) is None
    ]
    for folder in reversed(list(journal_names.day_folders(home / paths.PLATES, None, []))):
        if len(newest_paths) >= count:
            break
        newest_paths.extend(reversed(first_files(folder, [])))
    return newest_paths[:count]


def first_files(folder: Path, problems: list[Problem]) -> list[Path]:
    """Return the lowest file of each plate of a day's folder, by plate."""
    lowest: dict[str, tuple[int, Path]] = {}
    for path in sorted(journal_names.entries(folder, problems)):
        journal_name = journal_names.plate_of(path)
        if journal_name is not None and (
            journal_name.plate not in lowest or journal_name.k < lowest[journal_name.plate][0]
        ):
            lowest[journal_name.plate] = (journal_name.k, path)
    return [lowest[plate][1] for plate in sorted(lowest)]


def spilled_plates(home: Path, known_plates: set[str], rehearsals: bool) -> list[Path]:
    """Return the lowest file of each plate of this log that lies in a spill place alone."""
    first_paths: dict[str, Path] = {}
    for folder in journal_names.spill_folders():
        for path in sorted(journal_names.entries(folder, [])):
            journal_name = journal_names.plate_of(path)
            if (
                journal_name is None
                or journal_name.plate in known_plates
                or journal_name.plate in first_paths
            ):
                continue
            if locate(home, journal_name.plate, rehearsals=not rehearsals) is not None:
                continue
            start, log_home = _first_lines(path)
            is_rehearsal = start is not None and start.rehearsal
            if is_rehearsal is rehearsals and log_home in (None, paths.printable(home)):
                first_paths[journal_name.plate] = path
    return [first_paths[plate] for plate in sorted(first_paths)]


def _first_lines(path: Path) -> tuple[Head | None, str | None]:
    """Return what a journal's start says, and the log it belongs to when its file says so."""
    start, home = None, None
    try:
        data = plain_files.read_start(path, read.FIRST_LINES)
    except OSError:
        return None, None
    for line in data.split(b"\n", 2)[:2]:
        if not is_sound(line):
            continue
        try:
            event = _READER.decode(line)
        except (msgspec.DecodeError, UnicodeDecodeError, RecursionError):
            continue
        if isinstance(event, ev.Continued):
            home = event.home
        else:
            start = Head(event.plate, event.number, event.rehearsal, dict(event.process))
            break
    return start, home


def head(path: Path) -> Head | None:
    """Return what the first line of a journal says, or None when it cannot be read."""
    return _first_lines(path)[0]


def locate(home: Path, plate_id: str, *, rehearsals: bool = False, with_locked: bool = False) -> Path | None:
    """Return the first file of the plate with that whole id, or None.

    The folder is a local date, the id begins with the UTC date: they are at most a day apart. Where no file
    is seen, `with_locked` returns the path in a folder that may not be entered: it may be there.
    """
    try:
        utc_date = date(int(plate_id[:4]), int(plate_id[4:6]), int(plate_id[6:8]))
        days_near = [utc_date + timedelta(days=days) for days in (0, 1, -1)]
    except (ValueError, OverflowError):
        return None
    if not re.fullmatch(r"[A-Za-z0-9_-]+", plate_id):
        return None
    locked = None
    for day in days_near:
        first_path = paths.plate_path(home, plate_id, day.isoformat(), rehearsals)
        for path in journal_names.files_of(first_path):
            if path.parent != first_path.parent:
                continue
            try:
                path.stat()
            except PermissionError:
                locked = locked or path
            except (OSError, ValueError):
                continue
            else:
                return path
    return locked if with_locked else None


def find(home: Path, word: str, rehearsals: bool = False) -> Path:
    """Return the first file of the plate that `word` names: an id, a unique start of one, or a number.

    Raises AmbiguousPlate with the list when several answer, NothingFound when none does.
    """
    word = word.strip()
    located = None
    if paths.is_plate_id(word):
        located = locate(home, word, rehearsals=rehearsals, with_locked=True)
    if located is not None:
        return located
    plates = [
        (path, journal_name.plate)
        for path in find_plates(home, rehearsals=rehearsals)
        if (journal_name := journal_names.plate_of(path))
    ]
    matches = [path for path, plate in plates if plate == word]
    if not matches and re.fullmatch(r"[0-9]{1,9}", word):
        matches = [
            path for path, _ in plates if (first_line := head(path)) and first_line.number == int(word)
        ]
    if not matches and word:
        matches = [path for path, plate in plates if plate.startswith(word)]
    if not matches:
        kind = "rehearsal" if rehearsals else "plate"
        raise NothingFound(f"no {kind} '{word}' in {paths.printable(home)}")
    if len(matches) > 1:
        raise AmbiguousPlate(f"several plates answer to '{word}':\n" + "\n".join(map(_described, matches)))
    return matches[0]


def _described(path: Path) -> str:
    journal_name, first_line = journal_names.plate_of(path), head(path)
    plate = journal_name.plate if journal_name else path.name
    return (
        f"  {plate}"
        if first_line is None
        else f"  {plate}  number {first_line.number}, {first_line.process_name}"
    )


def next_number(home: Path) -> int:
    """Return 1 + the highest number of the plates in the log."""
    heads = (head(path) for path in find_plates(home))
    numbers = (first_line.number for first_line in heads if first_line)
    return 1 + max((number for number in numbers if 0 < number <= MOST_NUMBER), default=0)
