"""Finding plates among the folders of the log: by day, by id, by number."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from datetime import date, datetime, timedelta
from pathlib import Path

import msgspec

from darkroom.bench import events as ev
from darkroom.errors import AmbiguousPlate, NothingFound, Problem
from darkroom.log.journal import read
from darkroom.log.journal.frame import is_sound
from darkroom.log.store import paths

_YEAR, _DAY = re.compile(r"\d{4}"), re.compile(r"\d{4}-\d{2}-\d{2}")
_HEAD = 1 << 18
"""The first lines of a journal are looked for in so many bytes: a process file has no more."""


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
    """The first file of each plate found, oldest folder first, and the folders that hid something."""

    paths: list[Path]
    problems: list[Problem]


def survey(
    where: Path, days: int | None = None, *, rehearsals: bool = False, today: date | None = None
) -> Survey:
    """Return the plates of the log, those of the last `days` days' folders or all.

    `today` is where the days are counted from; folders of a later date are always looked at. Plates
    that lie in a spill place alone come last.
    """
    since = None
    if days is not None:
        since = ((today or date.today()) - timedelta(days=min(days, 36500))).isoformat()
    problems: list[Problem] = []
    root = where / (paths.REHEARSALS if rehearsals else paths.PLATES)
    firsts: list[Path] = []
    for folder in day_folders(root, since, problems):
        firsts.extend(first_files(folder, problems))
    known = {named[0] for path in firsts if (named := read.plate_of(path))}
    firsts.extend(spilled_plates(where, known, rehearsals))
    return Survey(firsts, problems)


def find_plates(
    where: Path, days: int | None = None, *, rehearsals: bool = False, today: date | None = None
) -> list[Path]:
    """Return the first file of each plate; see `survey`."""
    return survey(where, days, rehearsals=rehearsals, today=today).paths


def newest(where: Path, count: int) -> list[Path]:
    """Return the first file of each of the newest plates, the newest first, `count` or fewer.

    Only as many days' folders are looked into as it takes; plates that lie in a spill place alone come first.
    """
    spilled = spilled_plates(where, set(), False)
    found = [
        path
        for path in reversed(spilled)
        if (named := read.plate_of(path)) and locate(where, named[0]) is None
    ]
    for folder in reversed(list(day_folders(where / paths.PLATES, None, []))):
        if len(found) >= count:
            break
        found.extend(reversed(first_files(folder, [])))
    return found[:count]


def first_files(folder: Path, problems: list[Problem]) -> list[Path]:
    """Return the lowest file of each plate of a day's folder, by plate."""
    lowest: dict[str, tuple[int, Path]] = {}
    for path in sorted(_entries(folder, problems)):
        named = read.plate_of(path)
        if named is not None and (named[0] not in lowest or named[1] < lowest[named[0]][0]):
            lowest[named[0]] = (named[1], path)
    return [lowest[plate][1] for plate in sorted(lowest)]


def _entries(folder: Path, problems: list[Problem]) -> list[Path]:
    try:
        with os.scandir(folder) as entries:
            return [folder / entry.name for entry in entries if not entry.name.startswith(".")]
    except FileNotFoundError:
        return []
    except OSError as error:
        problems.append(Problem(paths.printable(folder), None, None, f"cannot be read: {error.strerror}"))
        return []


def day_folders(root: Path, since: str | None, problems: list[Problem]) -> Iterator[Path]:
    """Yield the folders of days under `root`, oldest first, from the day `since` (YYYY-MM-DD) on."""
    for year in sorted(_entries(root, problems)):
        if not _YEAR.fullmatch(year.name) or (since is not None and year.name < since[:4]):
            continue
        for day in sorted(_entries(year, problems)):
            if _DAY.fullmatch(day.name) and (since is None or day.name >= since):
                yield day


def spilled_plates(where: Path, known: set[str], rehearsals: bool) -> list[Path]:
    """Return the lowest file of each plate of this log that lies in a spill place alone."""
    found: dict[str, Path] = {}
    for folder in read.spill_folders():
        for path in sorted(_entries(folder, [])):
            named = read.plate_of(path)
            if named is None or named[0] in known or named[0] in found:
                continue
            if locate(where, named[0], rehearsals=not rehearsals) is not None:
                continue
            started, home = _first_lines(path)
            if (started is not None and started.rehearsal) is rehearsals and home in (None, str(where)):
                found[named[0]] = path
    return [found[plate] for plate in sorted(found)]


def _first_lines(path: Path) -> tuple[Head | None, str | None]:
    """Return what a journal's start says, and the log it belongs to when its file says so."""
    started, home = None, None
    try:
        with read.open_to_read(path) as file:
            data = file.read(_HEAD)
    except OSError:
        return None, None
    for frame in data.split(b"\n", 2)[:2]:
        if not is_sound(frame):
            continue
        try:
            event = msgspec.json.decode(frame, type=ev.PlateStarted | ev.Continued)
        except (msgspec.DecodeError, UnicodeDecodeError, RecursionError):
            continue
        if isinstance(event, ev.Continued):
            home = event.home
        else:
            started = Head(event.plate, event.number, event.rehearsal, dict(event.process))
            break
    return started, home


def head(path: Path) -> Head | None:
    """Return what the first line of a journal says, or None when it is not to be had there."""
    return _first_lines(path)[0]


def locate(where: Path, plate_id: str, *, rehearsals: bool = False) -> Path | None:
    """Return the first file of the plate with that whole id, or None.

    The folder is a local date, the id begins with the UTC date: they are at most a day apart.
    """
    try:
        utc = datetime.strptime(plate_id[:8], "%Y%m%d").date()
        near = [utc + timedelta(days=days) for days in (0, 1, -1)]
    except (ValueError, OverflowError):
        return None
    if not re.fullmatch(r"[A-Za-z0-9_-]+", plate_id):
        return None
    for day in near:
        first = paths.plate_path(where, plate_id, day.isoformat(), rehearsals)
        found = [path for path in read.files_of(first) if path.parent == first.parent and path.exists()]
        if found:
            return found[0]
    return None


def find(where: Path, word: str, rehearsals: bool = False) -> Path:
    """Return the first file of the plate that `word` names: an id, a unique start of one, or a number.

    Raises AmbiguousPlate with the list when several answer, NothingFound when none does.
    """
    word = word.strip()
    at_once = locate(where, word, rehearsals=rehearsals) if paths.is_plate_id(word) else None
    if at_once is not None:
        return at_once
    named = [
        (path, found[0])
        for path in find_plates(where, rehearsals=rehearsals)
        if (found := read.plate_of(path))
    ]
    matches = [path for path, plate in named if plate == word]
    if not matches and re.fullmatch(r"[0-9]{1,9}", word):
        matches = [path for path, _ in named if (said := head(path)) and said.number == int(word)]
    if not matches and word:
        matches = [path for path, plate in named if plate.startswith(word)]
    if not matches:
        kind = "rehearsal" if rehearsals else "plate"
        raise NothingFound(f"no {kind} '{word}' in {paths.printable(where)}")
    if len(matches) > 1:
        raise AmbiguousPlate(f"several plates answer to '{word}':\n" + "\n".join(map(_told, matches)))
    return matches[0]


def _told(path: Path) -> str:
    named, said = read.plate_of(path), head(path)
    plate = named[0] if named else path.name
    return f"  {plate}" if said is None else f"  {plate}  number {said.number}, {said.process_name}"


def next_number(where: Path) -> int:
    """Return 1 + the highest number of the plates in the log."""
    return 1 + max((said.number for path in find_plates(where) if (said := head(path))), default=0)
