"""kill -9 during exports and while the catalogue is filled: exports are whole or absent, the list right."""

from __future__ import annotations

import os
import random
import subprocess
import tempfile
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from darkroom.log.export.registry import FORMATS, Format
from tests.kit import season
from tests.measure.attack.attempts import Attempts, tool

PLATES = 200
SEED = 9


def attack(short: bool) -> Attempts:
    """Kill each export and `log reindex` at random moments of the time that they take."""
    attempts = Attempts()
    wanted = 2 if short else 40
    with _log() as log:
        for form in FORMATS.values():
            _exports(log, form, wanted, attempts)
        exports, writing = log.kills, log.kills_in_writing
        replaced = sum(form.one_folder is not None for form in FORMATS.values())
        listed = log.listed()
        log.run("reindex")
        while log.kills_wanted(exports + 2 * wanted):
            log.killed("reindex")
            attempts.expect(log.listed() == listed, "log list differs after a kill of log reindex")
        attempts.expect(log.kills == wanted * (len(FORMATS) + replaced + 2), f"only {log.kills} kills hit")
        attempts.expect(short or writing >= len(FORMATS), f"only {writing} kills while a file was written")
        attempts.figures["kills"] = f"{log.kills}, {writing} while a file was written"
    return attempts


def _exports(log: _Log, form: Format, wanted: int, attempts: Attempts) -> None:
    """Kill exports of a format until so many kills have hit; one more leaves no hidden file of them.

    A folder is also killed so often while it replaces one that is there: that one is whole at any moment.
    """
    suffix = "" if form.one_plate else form.suffix
    words = ("export", form.name, "--all", "--to")
    whole_name = f"{form.name}-whole{suffix}"
    log.run(*words, whole_name)
    whole = log.content(whole_name)
    attempts.expect(bool(whole), f"{form.name}: nothing was written without a kill")
    until, tried = log.kills + wanted, 0
    while log.kills_wanted(until):
        tried += 1
        to = f"{form.name}-{tried}{suffix}"
        (log.folder / to).mkdir() if form.one_plate else None
        log.killed(*words, to)
        written = log.content(to)
        if form.one_plate:
            torn = [file for file, data in written.items() if whole.get(file) != data]
            attempts.expect(not torn, f"{form.name}: {torn[:3]} are not whole")
            log.run(*words, to, "--force")
            attempts.expect(log.content(to) == whole, f"{form.name}: {to} is not whole after one more export")
        else:
            attempts.expect(written in ({}, whole), f"{form.name}: {to} is torn")
    until = log.kills + wanted
    while form.one_folder and log.kills_wanted(until):
        log.killed(*words, whole_name, "--force")
        attempts.expect(log.content(whole_name) == whole, f"{form.name}: {whole_name} is torn or gone")
    log.run(*words, whole_name, "--force")
    attempts.expect(log.content(whole_name) == whole, f"{form.name}: an export after kills differs")
    attempts.expect(not log.left(), f"{form.name}: hidden files are left: {log.left()[:3]}")


class _Log:
    """A log of `PLATES` plates in a folder of its own."""

    def __init__(self, folder: Path) -> None:
        self.folder, home = folder, folder / "home"
        home.mkdir(mode=0o700)
        season.write(home, PLATES, seed=SEED, days=40)
        self.kills = self.kills_in_writing = self._tried = 0
        self._took, self._status = 0.0, 0
        self._rng = random.Random(SEED)
        self.env = {**os.environ, "DARKROOM_HOME": str(home), "XDG_STATE_HOME": str(folder / "state")}

    def kills_wanted(self, count: int) -> bool:
        """Return whether so many kills have not hit yet; a kill that comes too late hits nothing."""
        self._tried += 1
        return self.kills < count and self._tried < 5 * count

    def run(self, *words: str) -> None:
        """Run a `log` command to its end. Raises RuntimeError when it fails."""
        self._run(words, None)
        if self._status:
            raise RuntimeError(f"log {' '.join(words)} has exit status {self._status}")

    def killed(self, *words: str) -> None:
        """Run a command like the last one, and kill it at a moment of the time that the last one took.

        Most of that time is its start; half of the kills come in its last tenth.
        """
        left = set(self.left())
        earliest = self._rng.choice((0.1, 0.5, 0.9, 0.9))
        if self._run(words, self._rng.uniform(earliest, 1.0) * self._took):
            self.kills += 1
            self.kills_in_writing += bool(set(self.left()) - left)

    def _run(self, words: Sequence[str], killed_after: float | None) -> bool:
        """Run a command; return whether it was killed after so many seconds. How long it took is noted."""
        start = time.monotonic()
        quiet = subprocess.DEVNULL
        with subprocess.Popen(
            [*tool(), "log", *words], env=self.env, cwd=self.folder, stdout=quiet, stderr=quiet
        ) as process:
            try:
                process.wait(killed_after)
            except subprocess.TimeoutExpired:
                process.kill()
        self._status = process.returncode
        if process.returncode >= 0:
            self._took = time.monotonic() - start
        return process.returncode < 0

    def listed(self) -> bytes:
        """Return what `log list --json` prints."""
        done = subprocess.run(
            [*tool(), "log", "list", "--json"],
            env=self.env,
            cwd=self.folder,
            capture_output=True,
            check=False,
        )
        return done.stdout + done.stderr

    def left(self) -> list[Path]:
        """Return the hidden files that exports left in the folders that were exported to."""
        return sorted(self.folder.rglob(".export-*"))

    def content(self, to: str) -> dict[str, bytes]:
        """Return the bytes of an export by the names of its files, hidden ones left out.

        A file that is the whole export has no name: its own is another each time.
        """
        path = self.folder / to
        files = [file for file in path.rglob("*") if file.is_file()] if path.is_dir() else [path]
        return {
            "" if file == path else str(file.relative_to(path)): file.read_bytes()
            for file in files
            if file.exists() and file.name[0] != "."
        }


@contextmanager
def _log() -> Iterator[_Log]:
    with tempfile.TemporaryDirectory() as folder:
        yield _Log(Path(folder))
