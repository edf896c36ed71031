"""`darkroom sound`: list the cues, play them, and check that something can be heard."""

from __future__ import annotations

import threading
import time
from pathlib import Path
from typing import Any, NamedTuple

import click

from darkroom.commands.groups import CommandGroup
from darkroom.commands.output import NOT_RED, print_json
from darkroom.devices.sound.client import Sound
from darkroom.devices.sound.cue_names import CUES, RATE, URGENCIES, cue_file
from darkroom.devices.sound.sound_files import Library
from darkroom.devices.sound.sound_settings import SoundSettings
from darkroom.errors import WrongUse, nearest

MEANINGS = {
    "accepted": "a press was taken",
    "refused": "a press was refused",
    "pip": "a second of a lead-in, or one of the last five",
    "start": "a stage starts: uncap, pour",
    "end": "the time is up",
    "overrun": "the time is up and nobody came",
    "step": "the next step of an exposure",
    "wet_warning": "the plate stays wet for two minutes, or thirty seconds",
    "back_now": "come back now or it dries",
    "past_wet": "the plate is past wet",
    "safelight": "safelight only",
    "room_light": "room light is safe",
    "not_saved": "the plate is not saved",
    "saved_again": "it is saved again",
}
"""What each cue means."""


class Finding(NamedTuple):
    """The result of one check: of what, whether it works, what was seen, what to do when it does not."""

    what: str
    ok: bool
    detail: str
    what_to_do: str


@click.group(cls=CommandGroup, help=f"The cues: what they tell, and how they sound.\n\n{NOT_RED}")
def sound() -> None:
    """Gather the commands about sound."""


@sound.command(
    "list",
    help="List the cues: what each tells, how long it is, which file it is taken from.\n\n"
    f"Example: darkroom sound list --json\n\n{NOT_RED}",
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.option("--folder", type=click.Path(exists=True, file_okay=False), help="A set of your own.")
def list_(as_json: bool, folder: str | None) -> None:
    """List the cues."""
    problems: list[str] = []
    library = Library(folder, report=problems.append)
    rows = [_row(library, name, urgency) for name, urgency in _all_cues()]
    if as_json:
        print_json(rows)
    else:
        width = max(len(row["cue"]) for row in rows)
        for row in rows:
            length = "none" if row["seconds"] is None else f"{row['seconds']:.2f} s"
            click.echo(f"{row['cue']:{width}}  {length:>6}  {row['tells']}")
    for problem in problems:
        click.echo(problem, err=True)


def _all_cues() -> list[tuple[str, int]]:
    return [(name, urgency) for name in CUES for urgency in (URGENCIES if name == "overrun" else (0,))]


def _row(library: Library, name: str, urgency: int) -> dict[str, Any]:
    samples = library.cue(name, urgency)
    path = library.find(cue_file(name, urgency))
    return {
        "cue": cue_file(name, urgency).replace("-", "_"),
        "tells": MEANINGS[name] + (f" (urgency {urgency})" if urgency else ""),
        "seconds": None if samples is None else round(len(samples) / RATE, 3),
        "file": None if path is None else str(path),
    }


@sound.command(
    help="Play a cue, with words after it if you like.\n\nCUE is a name of `darkroom sound list`. "
    "Exit status 1 when nothing here can make a sound.\n\n"
    f"Example: darkroom sound play end --say 2 --say drain\n\n{NOT_RED}"
)
@click.argument("cue")
@click.option("--say", multiple=True, metavar="WORD", help="A word of the spoken set; may be given again.")
@click.option("--volume", type=click.FloatRange(0, 1), default=1.0, show_default=True, help="0 to 1.")
@click.option("--driver", help="Insist on one of: miniaudio, simpleaudio, system.")
@click.option("--folder", type=click.Path(exists=True, file_okay=False), help="A set of your own.")
def play(
    cue: str,
    say: tuple[str, ...],
    volume: float,
    driver: str | None,
    folder: str | None,
) -> None:
    """Play a cue."""
    name, urgency = _find(cue)
    settings = SoundSettings(folder=folder, volume=volume, driver=driver)
    player = _TestPlayer()
    library = Library(folder, report=lambda text: click.echo(text, err=True))
    parts = [*([] if name == "say" else [library.cue(name, urgency)]), *library.words(say)]
    seconds = sum(len(part) for part in parts if part is not None) / RATE
    driver_used = player.play(settings, {"up": 0.0, "name": name, "say": say, "urgency": urgency}, seconds)
    if driver_used is None:
        click.echo(f"nothing here can make a sound: {player.why or 'no driver answers'}", err=True)
        raise click.exceptions.Exit(1)
    click.echo(f"played by {driver_used}", err=True)


def _find(word: str) -> tuple[str, int]:
    """Return the cue and its urgency. Raises WrongUse with the nearest name."""
    plain = word.lower().replace("-", "_").replace(" ", "_")
    if plain in (*CUES, "say"):
        return plain, 1 if plain == "overrun" else 0
    named = {cue_file(name, urgency).replace("-", "_"): (name, urgency) for name, urgency in _all_cues()}
    if plain in named:
        return named[plain]
    near = nearest(plain, [*named, *CUES])
    hint = f" (did you mean '{near}'?)" if near else "; see darkroom sound list"
    raise WrongUse(f"there is no cue '{word}'{hint}")


class _TestPlayer:
    """Plays one sound through a player of its own and remembers what it reported."""

    OPENING = 8.0

    def __init__(self) -> None:
        self.why = ""
        self._driver: str | None = None
        self._told = threading.Event()

    def _report(self, kind: str, what: dict[str, Any]) -> None:
        if kind == "driver":
            self._driver, self.why = what["driver"], str(what.get("why") or "")
            self._told.set()
        elif kind == "died":
            self.why = "the player died"
        elif kind == "problem":
            click.echo(what["text"], err=True)

    def play(self, settings: SoundSettings, cue: dict[str, Any], seconds: float) -> str | None:
        """Return the driver that played it, or None when only the bell or nothing was left."""
        player = Sound(self._report, settings=settings)
        player.start()
        try:
            self._told.wait(self.OPENING)
            if self._driver in (None, "bell", "none"):
                return None
            time.sleep(0.15)
            player.play({**cue, "up": player.clock()})
            time.sleep(seconds + 0.4)
            return self._driver if self._driver not in ("bell", "none") else None
        finally:
            player.close()


def check() -> list[Finding]:
    """Look at what makes sound here, and play a test tone. Takes a second or two."""
    findings = [_shipped()]
    player = _TestPlayer()
    driver = player.play(SoundSettings(), {"name": "pip"}, 0.2)
    why = f": {player.why}" if player.why else ""
    if driver is None:
        findings.append(
            Finding(
                "sound",
                False,
                f"no driver can play{why}",
                "start the sound server, plug in a speaker, or install paplay or aplay; the screen and the "
                "terminal bell still call",
            )
        )
        return findings
    least = "the screen still calls" if driver == "miniaudio" else "cues are placed less exactly"
    detail = f"a test tone was played by {driver}{why if driver != 'miniaudio' else ''}"
    findings.append(Finding("sound", True, detail, f"no tone heard? turn the volume up; without it {least}"))
    return findings


def _shipped() -> Finding:
    problems: list[str] = []
    library = Library(report=problems.append)
    for name, urgency in _all_cues():
        library.cue(name, urgency)
    where = str(Path(library.folders[-1]))
    if problems:
        return Finding("sound files", False, problems[0], "install darkroom again: its sounds are not whole")
    return Finding("sound files", True, f"{len(_all_cues())} cues in {where}", "")
