"""What `darkroom ready` looks at, each as a list of checks. Nothing here prints or exits."""

from __future__ import annotations

import os
import shutil
import sys
import time
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from darkroom import surroundings

if TYPE_CHECKING:
    from darkroom.devices.thermometers.sensor import Binding
    from darkroom.screens.red.terminal import Capabilities
    from darkroom.settings.settings import Settings

State = Literal["works", "advice", "fails"]
LEAST_SIZE = (80, 24)
SLOW = 1.0
"""A plate whose event waits longer than this is marked not saved, in seconds."""
FEW_BYTES = 100_000_000
TOO_FEW_BYTES = 1_000_000
SENSOR_PATIENCE = 4.0
"""A sensor that has not answered by then does not answer, in seconds."""


@dataclass(frozen=True)
class Check:
    """One thing looked at: what, how it is, what was seen, and what to do about it.

    Only what the bench cannot do without `fails`; anything else that is missing is `advice`.
    """

    about: str
    state: State
    says: str
    do: str = ""


def missing(about: str, says: str, without: str, todo: str = "") -> Check:
    """Return the check of something that does not work, and what the bench does without it."""
    return Check(about, "advice", f"{says}; without it: {without}", todo)


# --- terminal ---------------------------------------------------------------------------------


def terminal(environment: dict[str, str] | None = None, size: tuple[int, int] | None = None) -> list[Check]:
    """Check the terminal by its environment; `size` is (columns, rows), queried when not given."""
    from darkroom.screens.red.terminal import capabilities

    env = dict(os.environ) if environment is None else environment
    capable = capabilities(env)
    checks = [_colours(env.get("TERM", ""), capable), _letters(capable)]
    size = size or _asked_size()
    if size is None:
        text = "no terminal is connected here: nothing to judge"
        return [Check("terminal", "advice", text, "run it in the terminal that will stand in the darkroom")]
    columns, rows = size
    if columns < LEAST_SIZE[0] or rows < LEAST_SIZE[1]:
        todo = (
            f"make the window larger or its letters smaller: {LEAST_SIZE[0]} columns and {LEAST_SIZE[1]} rows"
        )
        checks.append(Check("terminal", "advice", f"{columns} columns, {rows} rows: the time is small", todo))
    else:
        checks.append(Check("terminal", "works", f"{columns} columns, {rows} rows"))
    return checks


def _asked_size() -> tuple[int, int] | None:
    for fd in (1, 0, 2):
        with suppress(OSError):
            if os.isatty(fd):
                return tuple(os.get_terminal_size(fd))  # type: ignore[return-value]
    return None


def _colours(term: str, can: Capabilities) -> Check:
    if sys.platform != "win32" and term in ("", "dumb", "unknown"):
        says = f"a terminal that cannot be drawn on (TERM={term or 'not set'})"
        return Check(
            "colours", "fails", says, "open darkroom in a terminal program, or set TERM to what it is"
        )
    if can.depth == 24:
        return Check("colours", "works", "24-bit colour: every red there is")
    if can.depth == 8:
        return Check("colours", "works", "256 colours: six pure reds")
    says = "16 colours: the terminal's own red may hold green and blue"
    todo = "make its palette's red pure (255, 0, 0), or put red film over the screen"
    return Check("colours", "advice", says, todo)


def _letters(can: Capabilities) -> Check:
    if can.blocks == "half":
        says = (
            "half blocks: the large lettering is fine; the log's temperature traces are Braille dots "
            "(⠒⠤⣀): in a font without them they are drawn without, the figures beside them stay"
        )
        return Check("letters", "works", says)
    says = "no half blocks and no Braille dots in this terminal or locale"
    without = "the large lettering is coarser, bars and temperature traces of the log are ASCII"
    return missing("letters", says, without, "use a terminal that knows Unicode, and a UTF-8 locale")


# --- clock ------------------------------------------------------------------------------------


def clock() -> list[Check]:
    """Check that the clocks of the machine can be read, go on, and have a time zone that can be written."""
    from darkroom.devices.clock import Clock

    todo = "set the computer's clock and its time zone (TZ)"
    try:
        clocks = Clock()
        before = clocks.up()
        time.sleep(0.01)
        passed = clocks.up() - before
        now = clocks.stamp(clocks.wall())
    except (OSError, ValueError, OverflowError) as error:
        return [Check("clock", "fails", f"the time cannot be told: {error}", todo)]
    if surroundings.remarks:
        return [Check("clock", "advice", surroundings.remarks[0], todo)]
    if passed <= 0:
        return [Check("clock", "fails", "the clock that goes on through sleep stands still", todo)]
    return [Check("clock", "works", f"{now[:19].replace('T', ' ')} {now[23:]}; it goes on through sleep")]


def sleep() -> list[Check]:
    """Take the lock that keeps the machine awake while a plate is on the bench, and let it go."""
    from darkroom.devices import awake

    way, why = awake.trial()
    asleep = "a machine that falls asleep calls nothing until it wakes; then every time is right again"
    todo = "turn automatic sleep off for the session"
    if way is None:
        return [missing("sleep", f"no lock keeps this machine awake: {why}", asleep, todo)]
    says = f"while a plate is on the bench darkroom prevents {way.prevents}"
    if way.prevents_all:
        return [Check("sleep", "works", says)]
    return [Check("sleep", "advice", f"{says}: {asleep}", "leave the lid open, and " + todo)]


# --- disk -------------------------------------------------------------------------------------


def disk(home: Path, spills: Sequence[Path]) -> list[Check]:
    """Write to the folder of the log and to the places a journal goes on in; each write is a real one."""
    from darkroom.log.store.durable import make_folders

    try:
        make_folders(home)
        seconds = durable_write_seconds(home)
    except OSError as error:
        says = f"{home} cannot be written: {error.strerror or error}"
        todo = "make room or give yourself the right to write there, or set DARKROOM_HOME to another folder"
        checks = [Check("disk", "fails", says, todo)]
    else:
        checks = [_speed(home, seconds), _room(home)]
    return checks + [_spill(place) for place in spills]


def durable_write_seconds(folder: Path, times: int = 3) -> float:
    """Write, make durable, read back and remove a file of 4 kB; return the slowest in seconds.

    Raises OSError when any of it fails, or other bytes come back.
    """
    from darkroom.log.store.durable import sync, sync_folder

    slowest = 0.0
    data = os.urandom(4096)
    path = folder / f".ready-{os.getpid()}"
    for _ in range(times):
        begun = time.perf_counter()
        fd = os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR | getattr(os, "O_BINARY", 0), 0o600)
        try:
            if os.write(fd, data) != len(data):
                raise OSError("only a part was written: the disk is full")
            sync(fd)
            sync_folder(folder)
            slowest = max(slowest, time.perf_counter() - begun)
            os.lseek(fd, 0, os.SEEK_SET)
            if os.read(fd, len(data)) != data:
                raise OSError("what was read back is not what was written")
        finally:
            os.close(fd)
            path.unlink()
    return slowest


def _speed(home: Path, seconds: float) -> Check:
    says = f"{home}: written and safe on the disk within {seconds * 1000:.1f} ms"
    if seconds < SLOW:
        return Check("disk", "works", says)
    return Check("disk", "advice", says, "a slow disk: plates will be marked 'not saved' now and then")


def _room(home: Path) -> Check:
    free = shutil.disk_usage(home).free
    says = f"{free / 1e6:,.0f} MB free"
    if free >= FEW_BYTES:
        return Check("disk", "works", says)
    return Check(
        "disk", "advice" if free >= TOO_FEW_BYTES else "fails", says, "make room: a plate takes about 0.1 MB"
    )


def _spill(place: Path) -> Check:
    """Check a spill place; one that does not exist yet is checked by the folder it will be made in."""
    folder = place
    while not os.path.isdir(folder) and folder != folder.parent:
        folder = folder.parent
    try:
        durable_write_seconds(folder, times=1)
    except OSError as error:
        says = f"{place} cannot be written ({error.strerror or error}): one place less when the disk fails"
        return Check("spill", "advice", says, "give yourself the right to write there")
    return Check("spill", "works", f"{place}: can be written when the disk of the log fails")


# --- sound and sensors ------------------------------------------------------------------------


def sound(loaded_settings: Settings | None) -> list[Check]:
    """Play a test tone, unless the settings want no sound."""
    if loaded_settings is not None and loaded_settings.sound.driver in ("bell", "none"):
        warnings = loaded_settings.sound.for_player().warnings()
        return [Check("sound", "advice", text, "take `driver` out of the settings") for text in warnings]
    try:
        from darkroom.commands.sound import check
    except ImportError as error:
        return [Check("sound", "advice", f"cannot be looked at: {error}")]
    without = "the terminal's bell calls, and the screen"
    return [
        Check(finding.what, "works", finding.detail, finding.what_to_do)
        if finding.ok
        else missing(finding.what, finding.detail, without, finding.what_to_do)
        for finding in check()
    ] + [
        Check("sound", "advice", text)
        for text in (loaded_settings.sound.for_player().warnings() if loaded_settings else [])
    ]


def bound_sensors(bindings: Sequence[Binding], root: Path) -> list[Check]:
    """Read every sensor of the settings once, the way the bench does."""
    from darkroom.devices.clock import Clock
    from darkroom.devices.thermometers.polling import Thermometers
    from darkroom.devices.thermometers.sensor_state import SensorReading

    if not bindings:
        return []
    watching = Thermometers(bindings, lambda _: None, Clock(), root=root)
    watching.start()
    watching.wait_polls(1, SENSOR_PATIENCE)
    latest = watching.latest()
    watching.stop(0.2)
    checks = []
    for binding in bindings:
        state = latest.get(binding.source)
        about = f"thermometer {binding.source}" if not binding.humid else "hygrometer"
        if isinstance(state, SensorReading):
            unit = "%" if binding.humid else "°C"
            checks.append(Check(about, "works", f"{binding.called}: {state.value:.1f} {unit}"))
        else:
            why = state.why if state is not None else "no answer"
            todo = "look at its cable, or mend its lines in the settings; what this machine has stands below"
            without = f"the {'humidity' if binding.humid else binding.source} is typed, or assumed"
            checks.append(missing(about, f"{binding.called}: {why}", without, todo))
    return checks
