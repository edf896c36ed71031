"""kill -9 during exports and while the catalogue is filled: exports are whole or absent, the list right."""

from __future__ import annotations

import os
import random
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from darkroom.log.export.registry import FORMATS
from tests.kit import season
from tests.measure.attack.attempts import Attempts, tool

PLATES = 200
SEED = 9


def attack(short: bool) -> Attempts:
    """Kill each export and `log reindex` at random moments of the time that they take."""
    attempts = Attempts()
    rng = random.Random(SEED)
    kills = 2 if short else 40
    with _log() as log:
        for name, form in FORMATS.items():
            suffix = "" if form.one_plate else form.suffix
            words = ("export", name, "--all", "--to")
            took = log.run(*words, f"whole{suffix}")
            whole = log.content(f"whole{suffix}")
            attempts.expect(bool(whole), f"{name}: nothing was written without a kill")
            for kill in range(kills):
                to = f"{name}-{kill}{suffix}"
                (log.folder / to).mkdir() if form.one_plate else None
                log.run(*words, to, killed_after=rng.uniform(0.1, 1.05) * took)
                written = log.content(to)
                if form.one_plate:
                    torn = [file for file, data in written.items() if whole.get(file) != data]
                    attempts.expect(not torn, f"{name}: {torn[:3]} are not whole")
                else:
                    attempts.expect(written in ({}, {to: whole[f"whole{suffix}"]}), f"{name}: {to} is torn")
        listed = log.listed()
        took = log.run("reindex")
        for _ in range(kills * 2):
            log.run("reindex", killed_after=rng.uniform(0.1, 1.05) * took)
            attempts.expect(log.listed() == listed, "log list differs after a kill of log reindex")
    attempts.figures["kills"] = str(kills * (len(FORMATS) + 2))
    return attempts


class _Log:
    """A log of `PLATES` plates in a folder of its own."""

    def __init__(self, folder: Path) -> None:
        self.folder, home = folder, folder / "home"
        home.mkdir(mode=0o700)
        season.write(home, PLATES, seed=SEED, days=40)
        self.env = {**os.environ, "DARKROOM_HOME": str(home), "XDG_STATE_HOME": str(folder / "state")}

    def run(self, *words: str, killed_after: float | None = None) -> float:
        """Run a `log` command to its end, or for so many seconds; return how long it ran."""
        start = time.monotonic()
        quiet = subprocess.DEVNULL
        with subprocess.Popen(
            [*tool(), "log", *words], env=self.env, cwd=self.folder, stdout=quiet, stderr=quiet
        ) as process:
            try:
                process.wait(killed_after)
            except subprocess.TimeoutExpired:
                process.kill()
        return time.monotonic() - start

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

    def content(self, to: str) -> dict[str, bytes]:
        """Return the bytes of an export by the names of its files, hidden ones left out."""
        path = self.folder / to
        files = path.iterdir() if path.is_dir() else [path]
        return {file.name: file.read_bytes() for file in files if file.exists() and file.name[0] != "."}


@contextmanager
def _log() -> Iterator[_Log]:
    with tempfile.TemporaryDirectory() as folder:
        yield _Log(Path(folder))
