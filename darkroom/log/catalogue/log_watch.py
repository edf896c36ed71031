"""What changed in the log, found a little at a time, so that an open list costs next to nothing.

Each second the file of hints, the times of the day folders and the files of the plates in sight are looked
at. All other files are looked at in the course of a minute, some folders a second: a line added by hand, a
network disk or a clock that is not right hides a change no longer than that.
"""

from __future__ import annotations

import os
from collections import deque
from collections.abc import Sequence
from pathlib import Path

from darkroom.log.catalogue import disk_state
from darkroom.log.catalogue.disk_state import FileState, key
from darkroom.log.catalogue.keeping_up import KeptCatalogue
from darkroom.log.journal import journal_names
from darkroom.log.journal.journal_names import names_in
from darkroom.log.store import changes, paths

ShownPage = tuple[str, ...]
"""The first files of the plates on a page."""
STEP = 1.0
"""How often `LogWatch.step` is to be called, in seconds."""
ROUND = 57.0
"""Every folder is looked into once in so many seconds."""
LATELY = 4.0
"""A plate that went out of sight counts as in sight for so many seconds: a filter may be looking for a line
that was added to it just now."""
MOST_FOLDERS = 24
"""The times of so many day folders, the newest, are looked at in each step, and of so many of the others."""


class LogWatch:
    """The changes in a log whose catalogue was checked, found by calling `step` each second.

    What is found is read into the catalogue. Nothing here reads a clock.
    """

    def __init__(self, catalogue: KeptCatalogue) -> None:
        """`catalogue` belongs to the calling thread."""
        self.catalogue = catalogue
        self.home = catalogue.home
        self._version = catalogue.version()
        self._hints = self.home / changes.NAME
        self._seen_above: list[object] = []  # the first step reads what was written while the check went on
        self._newest: list[tuple[str | bytes, int]] = []
        """(day folder, when a name in it last changed, as the catalogue has it), with those in sight."""
        self._older: list[tuple[str | bytes, int]] = []
        self._next_older = 0
        self._in_sight: list[tuple[float, ShownPage]] = []
        """(when it was in sight last, the page)."""
        self._files_in_sight: dict[str | bytes, FileState] = {}
        """{file of a plate in sight: the state in which it was read}."""
        self._to_sweep: deque[tuple[str, Path]] = deque()
        """(collection, day folder) that are still to be looked into in this round."""
        self._in_round = 0
        self._owed = 0.0
        """How many folders of this round are due now."""
        self._last_step: float | None = None
        self._spilled = disk_state.spilled_files()
        self._spilled_states = _states(self._spilled)
        self._learn()

    def step(self, now: float, pages: Sequence[ShownPage] = ()) -> int:
        """Look at what is due at `now` (seconds, of any clock that goes on); read what changed.

        `pages` were shown since the last step, the last of them still is. Returns how many plates were read
        or forgotten, at least 1 where another program wrote to the catalogue.
        """
        is_by_others = self.catalogue.version() != self._version
        if self._take_sight(now, pages) or is_by_others:
            self._learn()
        before, self._seen_above = self._seen_above, self._above()
        changed = self._changed_in_sight()
        read = 0
        if is_by_others or changed or before != self._seen_above or self._is_folder_changed():
            read = self.catalogue.read_changes(changed)
            self._learn()
        swept = self._sweep(now)
        if swept:
            self._learn()
        self._version = self.catalogue.version()
        return read + swept or int(is_by_others)

    def _take_sight(self, now: float, pages: Sequence[ShownPage]) -> bool:
        """Take the pages that are shown, and drop those of long ago; return whether there are others now."""
        before = [page for _, page in self._in_sight]
        lately = [(at, page) for at, page in self._in_sight if page not in pages and now - at < LATELY]
        self._in_sight = [*((now, page) for page in pages), *lately]
        return before != [page for _, page in self._in_sight]

    def _learn(self) -> None:
        """Take over what the catalogue knows of the folders and of the plates in sight."""
        folders = sorted(self.catalogue.folder_times().items(), key=_day, reverse=True)
        in_sight = {Path(path) for _, page in self._in_sight for path in page}
        shown = {key(path.parent) for path in in_sight}
        older = folders[MOST_FOLDERS:]
        self._newest = folders[:MOST_FOLDERS] + [folder for folder in older if folder[0] in shown]
        self._older = older
        self._files_in_sight = self.catalogue.states_of(map(key, in_sight))

    # --- each second -----------------------------------------------------------------------------

    def _above(self) -> list[object]:
        """Return the states of all that stands above the day folders: a writer's hint, a new year or day."""
        tops = [self.home / collection for collection in (paths.PLATES, paths.REHEARSALS)]
        years = [os.path.join(top, name) for top in tops for name in sorted(names_in(top))]
        places: list[Path | str] = [self._hints, *tops, *years]
        return [(path, _state(path)) for path in places]

    def _changed_in_sight(self) -> list[str]:
        """Return the files of plates in sight that are not as they were read."""
        return [
            os.fsdecode(path)
            for path, state in self._files_in_sight.items()
            if disk_state.file_state(path) != state
        ]

    def _is_folder_changed(self) -> bool:
        """Whether a name changed in a day folder; of many older ones some are looked at in each step."""
        start = self._next_older
        turn = self._older[start : start + MOST_FOLDERS]
        self._next_older = start + MOST_FOLDERS if start + MOST_FOLDERS < len(self._older) else 0
        for path, changed in (*self._newest, *turn):
            state = _state(path)
            if state is None or state[1] != changed:
                return True
        return False

    # --- in the course of a minute ---------------------------------------------------------------

    def _sweep(self, now: float) -> int:
        """Look into the folders that are due by `now`; return how many plates were read or forgotten.

        After a pause (the machine slept) the round goes on where it was, at its pace.
        """
        passed = 0.0 if self._last_step is None else min(max(0.0, now - self._last_step), 2 * STEP)
        self._last_step = now
        if not self._to_sweep:
            read = self._begin_round()
            if read:
                return read
        self._owed += passed * self._in_round / ROUND
        folders = []
        while self._owed >= 1 and self._to_sweep:
            self._owed -= 1
            folder = disk_state.folder(*self._to_sweep.popleft(), [])
            if folder is not None:
                folders.append(folder)
        if not self._to_sweep:
            self._owed = 0.0
        return self.catalogue.look_into(folders, self._spilled) if folders else 0

    def _begin_round(self) -> int:
        """List the folders anew; return how many plates a folder that came, went or spilled brought about."""
        for collection in (paths.PLATES, paths.REHEARSALS):
            days = journal_names.day_folders(self.home / collection, None, [])
            self._to_sweep.extend((collection, day) for day in days)
        self._in_round = len(self._to_sweep)
        before, self._spilled = self._spilled_states, disk_state.spilled_files()
        self._spilled_states = _states(self._spilled)
        if before != self._spilled_states:
            return self.catalogue.check()
        known = {path for path, _ in (*self._newest, *self._older)}
        if known != {key(day) for _, day in self._to_sweep}:
            return self.catalogue.read_changes()
        return 0


def _day(folder: tuple[str | bytes, int]) -> str:
    return os.path.basename(os.fsdecode(folder[0]))


def _state(path: Path | str | bytes) -> FileState | None:
    try:
        status = os.stat(path)
    except OSError:
        return None
    return status.st_size, status.st_mtime_ns, status.st_ino


def _states(spilled: disk_state.Spilled) -> dict[Path, FileState]:
    return {path: disk_state.file_state(path) for files in spilled.values() for path in files}
