"""A log with everything in it: each of its files can be swapped for an odd one, and the rest must work."""

from __future__ import annotations

import os
import shutil
import signal
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from darkroom.resources import profiles_dir
from tests.kit import odd_files
from tests.kit.bounded_run import Run, run
from tests.kit.exports import FIRST
from tests.kit.photographer import Photographer, shortened
from tests.kit.plates import forgotten, judged, put, unvarnished
from tests.kit.terminal import Terminal

OTHER_DAY = "2026-03-05"
SETTINGS = """\
sound: {folder: sounds, driver: none}
thermometers:
  - {source: room, kind: file, path: room.txt, stale: never}
key_map: mine
"""


@dataclass(frozen=True)
class Place:
    """A file of the log or of the state folder, and the commands that read it."""

    path: str
    commands: tuple[tuple[str, ...], ...]
    keeps_plates: bool = True
    """Whether the tool opens with the plate that was on the bench, whatever the file is."""


_LISTS = (("log", "list"), ("log", "check"), ("log", "trends"))
PLACES = {
    "bench.json": Place("home/bench.json", (("log", "list"),)),
    "bench.lock": Place("home/bench.lock", (("log", "note", "12", "seen"),)),
    "bench-id": Place("state/darkroom/bench-id", (("day",),), ),
    "keys.yaml": Place("home/keys.yaml", (("ready",),)),
    "settings.yaml": Place("home/settings.yaml", (("ready",), ("sound", "list"))),
    "kit.yaml": Place(
        "home/kit.yaml", (("ready",), ("exposure", "from-plate", FIRST, "--ev", "11", "--light", "studio"))
    ),
    "key map": Place("home/profiles/keymaps/mine.yaml", (("ready",),)),
    "profile": Place(
        "home/profiles/own.yaml",
        (("process", "list"), ("process", "check", "own"), ("process", "times", "own"), ("bench", "own")),
    ),
    "recipe": Place(
        "home/profiles/solutions/own.yaml",
        (("mix", "own"), ("mix",), ("mix", "--check", "own"), ("mix", "own", "--make", "2L", "--json"),
         ("ready",)),
    ),
    "day sheet": Place("home/profiles/day/day.yaml", (("day",), ("ready",))),
    "words": Place("home/profiles/words/marks.yaml", (("ready",),)),
    "day": Place("home/days/{day}", (("day",), ("day", "--note", "x"), ("log", "check"))),
    "bottle": Place(
        "{bottle}",
        (("bottle", "list"), ("bottle", "show", "F-1"), ("bottle", "note", "B-1", "x"), ("log", "check"),
         ("bottle", "list", "--json")),
    ),
    "bottle folder": Place(
        "{bottle_folder}", (("bottle", "list"), ("bottle", "opened", "B-1"), ("log", "check"))
    ),
    "book of bottles": Place(
        "home/bottles", (("bottle", "list"), ("bottle", "new", "bath", "B-2"), ("log", "check"))
    ),
    "changed": Place("home/changed", (("log", "list"), ("log", "note", "12", "seen"))),
    "catalogue": Place("home/catalogue.sqlite", (*_LISTS, ("log", "reindex"))),
    "journal": Place(
        "home/plates/2026/2026-03-01/" + FIRST + ".jsonl",
        (*_LISTS, ("log", "show", FIRST), ("log", "compare", FIRST, "1"), ("log", "note", FIRST, "x"),
         ("log", "export", "jsonl", FIRST, "--to", "out.jsonl", "--force")),
    ),
    "further journal": Place(
        "home/plates/2026/2026-03-01/" + FIRST + ".2.jsonl", (*_LISTS, ("log", "show", FIRST))
    ),
    "spilled journal": Place(
        "state/darkroom/spill/" + FIRST + ".3.jsonl", (*_LISTS, ("log", "move", FIRST, "drain", "--by=-8min"))
    ),
    "thermometer": Place("home/room.txt", (("ready",),)),
    "sound": Place("home/sounds/end.wav", (("sound", "list"), ("sound", "play", "end"), ("ready",))),
    "picture": Place("picture.jpg", (("log", "rate", "1", "--picture", "picture.jpg"),)),
    "argument": Place("argument.yaml", (("process", "check", "argument.yaml"), ("bench", "./argument.yaml"))),
    "crash.txt": Place("home/crash.txt", (("log", "list"),)),
}  # fmt: skip
"""{name: place}, paths counted from the folder of the whole."""


def environment(folder: Path) -> dict[str, str]:
    """Return the environment of a tool that has its log, its state and all else in one folder."""
    return {
        "PATH": os.environ.get("PATH", ""),
        "LANG": "C.UTF-8",
        "HOME": str(folder / "user"),
        "DARKROOM_HOME": str(folder / "home"),
        "XDG_STATE_HOME": str(folder / "state"),
        "TMPDIR": str(folder / "tmp"),
        "PYTHONDONTWRITEBYTECODE": "1",
    }


class OddHome:
    """A log of two finished plates and one on the bench, with settings, keys, sheets and words of its own."""

    def __init__(self, folder: Path, tool: Sequence[str] = (sys.executable, "-m", "darkroom")) -> None:
        """Fill `folder`, and put a plate on the bench with `tool` in a terminal."""
        self.folder, self.tool = folder, list(tool)
        self.home, self.kept = folder / "home", folder / "kept"
        self._bottle: Path | None = None
        self.env = environment(folder)
        for name in ("home", "state", "tmp", "user", "home/sounds"):
            (folder / name).mkdir(mode=0o700)
        put(self.home, forgotten())
        put(self.home, judged(unvarnished(OTHER_DAY, "Jug and pear")))
        self._own_files()
        hand = Photographer(self.home, **{**self.env, "PYTHONUTF8": "1"})
        hand.program = self.tool
        with hand.terminal:
            hand.open("bench", str(shortened(folder)))
            hand.strike("sensitise")
            hand.terminal.kill(signal.SIGKILL)
            hand.terminal.wait()
        self.command("log", "list")
        self.command("day", "--note", "cold")
        self.command("bottle", "new", "bath", "B-1", "--recipe", "silver-bath")
        self.command("bottle", "new", "fixer", "F-1")

    def _own_files(self) -> None:
        profiles = self.home / "profiles"
        for name in ("day", "words", "keymaps"):
            shutil.copytree(profiles_dir() / name, profiles / name)
        shutil.copy(profiles / "keymaps" / "one-pedal.yaml", profiles / "keymaps" / "mine.yaml")
        shutil.copy(profiles_dir() / "clear-glass.yaml", profiles / "own.yaml")
        (profiles / "solutions").mkdir()
        shutil.copy(profiles_dir() / "solutions" / "hypo.yaml", profiles / "solutions" / "own.yaml")
        (self.home / "keys.yaml").write_text("undo: backspace\n")
        (self.home / "settings.yaml").write_text(SETTINGS)
        (self.home / "kit.yaml").write_text("lights: [{name: studio, kind: led, usual_ev: 7}]\n")
        (self.home / "room.txt").write_text("20.5\n")

    def path(self, place: Place) -> Path:
        """Return where the file of a place lies."""
        days = sorted((self.home / "days").glob("*.jsonl"))
        if "bottle" in place.path and self._bottle is None:
            self._bottle = sorted((self.home / "bottles").glob("*/*.jsonl"))[0].relative_to(self.folder)
        bottle = self._bottle or Path("none")
        day = days[0].name if days else "none"
        return self.folder / place.path.format(day=day, bottle=bottle, bottle_folder=bottle.parent)

    def command(self, *words: str, seconds: float = 20.0) -> Run:
        """Run a command of the tool, within bounds."""
        return run([*self.tool, *words], self.env, seconds, cwd=self.folder)

    @contextmanager
    def swapped(self, kind: str, *places: Place) -> Iterator[None]:
        """Have odd files of one kind in these places, and what was there again afterwards."""
        paths = [self.path(place) for place in places]
        self.kept.mkdir()
        for number, path in enumerate(paths):
            if os.path.lexists(path):
                os.rename(path, self.kept / str(number))
            odd_files.put(kind, path)
        try:
            yield
        finally:
            for number, path in enumerate(paths):
                odd_files.remove(path)
                odd_files.remove(path.with_name(path.name + ".loop"))
                if os.path.lexists(kept := self.kept / str(number)):
                    os.rename(kept, path)
            self.kept.rmdir()

    def plate_comes_back(self) -> str | None:
        """Open the tool in a terminal; return why its plate is not on the bench, or None when it is."""
        return self.comes_back(self.tool, self.env, self.folder)

    @staticmethod
    def comes_back(tool: Sequence[str], env: dict[str, str], folder: Path) -> str | None:
        """Open a tool in a terminal; return why no plate is at its sensitising, or None when one is."""
        with Terminal(120, 40, env=env) as terminal:
            terminal.spawn(tool, cwd=str(folder))
            try:
                terminal.wait_for(lambda screen: "sensitise" in screen)
            except (AssertionError, TimeoutError):
                last = " / ".join(line.strip() for line in terminal.screen().splitlines() if line.strip())
                return f"its plate did not come back: {last[:300]}"
            finally:
                terminal.kill(signal.SIGKILL)
        return None
