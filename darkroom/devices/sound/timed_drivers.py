"""The drivers that start each sound when it is due: a lesser library, a system player, the bell."""

from __future__ import annotations

import contextlib
import shutil
import subprocess
import tempfile
import threading
from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from typing import Any

from darkroom.devices.sound.cue_names import RATE
from darkroom.devices.sound.make_cues import write
from darkroom.devices.sound.phrases import Playing
from darkroom.devices.sound.scheduler import Scheduler
from darkroom.devices.sound.stream_driver import Clock, DriverError

_PULSE = ("--raw", f"--rate={RATE}", "--channels=1", "--format=s16le", "--latency-msec=20")
PLAYERS = (
    ("paplay", _PULSE),
    ("pw-cat", ("--playback", "--raw", f"--rate={RATE}", "--channels=1", "--format=s16", "-")),
    ("aplay", ("-q", "-t", "raw", "-r", str(RATE), "-c", "1", "-f", "S16_LE", "-")),
    ("play", ("-q", "-t", "raw", "-r", str(RATE), "-c", "1", "-b", "16", "-e", "signed", "-")),
    ("afplay", ()),
)
"""System players and what they need to take raw samples on their standard input; afplay takes a file."""


class TimedDriver:
    """Starts each sound when it is due, `lead` seconds early for what starting takes."""

    name = "timed"
    lead = 0.0

    def __init__(self, scheduler: Scheduler, clock: Clock) -> None:
        """Try the driver. Raises DriverError."""
        self.scheduler, self._clock = scheduler, clock
        self.fault: str | None = None
        self.detail: str | None = None
        self._wake = threading.Event()
        self._closing = self._dead = False
        self._thread = threading.Thread(target=self._run, name=self.name, daemon=True)
        self.probe()

    def probe(self) -> None:
        """Raise DriverError when this driver cannot play here."""

    def begin(self, playing: Playing) -> None:
        """Start a sound. Raises whatever stops it."""
        raise NotImplementedError

    def stop(self) -> None:
        """Stop the sound that was started last, if it still sounds."""

    def take(self) -> None:
        """Play what the scheduler plays from now on."""
        self._thread.start()

    def kick(self) -> None:
        """A sound has been scheduled or cancelled."""
        self._wake.set()

    def alive(self, now: float) -> bool:
        """Return False after a sound could not be started."""
        return not self._dead

    def close(self) -> None:
        """Take nothing more from the scheduler."""
        self._closing = True
        self._wake.set()
        if self._thread.is_alive():
            self._thread.join(0.5)

    def _run(self) -> None:
        sounding: Playing | None = None
        scheduler = self.scheduler
        while not (self._closing or self._dead):
            self._wake.clear()
            instant = self._clock() + self.lead
            if sounding is not None and scheduler.playing is sounding and instant >= sounding.end:
                scheduler.finish()
                sounding = None
            scheduler.advance(instant)
            if scheduler.playing is not sounding:
                if sounding is not None:
                    self.stop()
                sounding = scheduler.playing
                self._start(sounding)
            due = min(scheduler.due(), sounding.end if sounding is not None else instant + 1.0)
            self._wake.wait(min(1.0, max(0.0, due - self.lead - self._clock())))
        self.stop()

    def _start(self, playing: Playing | None) -> None:
        if playing is None:
            return
        try:
            self.begin(playing)
        except Exception as error:  # whatever a foreign library raises: the next driver takes over
            self.fault, self._dead = str(error) or type(error).__name__, True


class SimpleDriver(TimedDriver):
    """simpleaudio, an extra: a buffer handed over when it is due."""

    name = "simpleaudio"
    lead = 0.003

    def probe(self) -> None:
        """Play a moment of silence."""
        try:
            self._library: Any = import_module("simpleaudio")
        except Exception as error:  # a broken build may raise anything: the next driver is tried
            raise DriverError(f"simpleaudio is not installed ({error})") from error
        self._object: Any = None
        try:
            self._library.play_buffer(bytes(2 * 441), 1, 2, RATE)
        except Exception as error:  # its own error class is private
            raise DriverError(f"simpleaudio: {error}") from error

    def begin(self, playing: Playing) -> None:
        """Hand the whole sound over."""
        self._object = self._library.play_buffer(playing.samples.tobytes(), 1, 2, RATE)

    def stop(self) -> None:
        """Stop the sound that was started last."""
        if self._object is not None:
            self._object.stop()


class SystemDriver(TimedDriver):
    """A player of the system, started for each sound."""

    name = "system"
    lead = 0.008
    TRIAL = 3.0

    def probe(self) -> None:
        """Find a player that plays a moment of silence."""
        self._process: subprocess.Popen[bytes] | None = None
        reasons = []
        for name, options in PLAYERS:
            path = shutil.which(name)
            if path is None:
                continue
            self._command, self.detail = [path, *options], name
            try:
                process = self._spawn(bytes(2 * 882))
                status = process.wait(self.TRIAL)
            except (OSError, subprocess.TimeoutExpired) as error:
                reasons.append(f"{name}: {error}")
                continue
            if status == 0:
                return
            reasons.append(f"{name} fails")
        raise DriverError("; ".join(reasons) or "no system player found")

    def begin(self, playing: Playing) -> None:
        """Start the player and give it the sound. Raises DriverError when it failed the last time."""
        last = self._process
        if last is not None and last.poll() not in (None, 0, -15):
            raise DriverError(f"{self.detail} fails")
        self._process = self._spawn(playing.samples.tobytes())

    def stop(self) -> None:
        """Stop the player if it still plays."""
        if self._process is not None and self._process.poll() is None:
            self._process.terminate()

    def _spawn(self, sound: bytes) -> subprocess.Popen[bytes]:
        if self.detail == "afplay":
            return _from_file(self._command, sound)
        process = subprocess.Popen(
            self._command, stdin=subprocess.PIPE, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        threading.Thread(target=_feed, args=(process, sound), name="feed", daemon=True).start()
        return process


def _feed(process: subprocess.Popen[bytes], sound: bytes) -> None:
    assert process.stdin is not None
    with contextlib.suppress(BrokenPipeError):  # it was stopped, or died: its status is looked at later
        process.stdin.write(sound)
    with contextlib.suppress(BrokenPipeError):
        process.stdin.close()
    process.wait()


def _from_file(command: list[str], sound: bytes) -> subprocess.Popen[bytes]:
    """Start a player on a file that goes when it has been played."""
    from array import array

    folder = tempfile.TemporaryDirectory(prefix="darkroom-sound-")
    path = Path(folder.name) / "sound.wav"
    write(path, array("h", sound))
    process = subprocess.Popen(
        [*command, str(path)],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )

    def tidy() -> None:
        process.wait()
        folder.cleanup()

    threading.Thread(target=tidy, name="tidy", daemon=True).start()
    return process


class BellDriver(TimedDriver):
    """No sound of our own: the tool is told to ring the terminal's bell."""

    name = "bell"

    def __init__(self, scheduler: Scheduler, clock: Clock, ring: Callable[[dict[str, Any]], None]) -> None:
        """`ring(cue)` is called for every cue."""
        self._ring = ring
        super().__init__(scheduler, clock)

    def begin(self, playing: Playing) -> None:
        """Ask for the bell, once for a cue and never for a word."""
        if playing.word_of is None:
            self._ring(playing.call.as_plain())


class NoDriver(TimedDriver):
    """Silence: cues come and go as if they sounded."""

    name = "none"

    def begin(self, playing: Playing) -> None:
        """Play nothing."""
