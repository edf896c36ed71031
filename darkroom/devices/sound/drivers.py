"""The ways of making a sound, best first. Each opens, or raises DriverError with the reason.

An open driver takes everything from the desk by itself, until it is closed.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import threading
import time
from array import array
from collections.abc import Callable, Generator
from importlib import import_module
from typing import Any

from darkroom.devices.sound.desk import Desk, Playing
from darkroom.devices.sound.names import RATE
from darkroom.devices.sound.stream import Stream

Clock = Callable[[], float]

SILENT_FOR = 0.5
"""A stream that has asked for no block for so long is dead: a dead sound server raises nothing."""
BACKENDS = {
    "linux": ("PULSEAUDIO", "ALSA"),
    "darwin": ("COREAUDIO",),
    "win32": ("WASAPI", "DSOUND", "WINMM"),
}
"""The null backend is never among them: it would take every cue and make no sound."""
PLAYERS = (
    ("paplay", ("--raw", f"--rate={RATE}", "--channels=1", "--format=s16le", "--latency-msec=20")),
    ("pacat", ("--raw", f"--rate={RATE}", "--channels=1", "--format=s16le", "--latency-msec=20")),
    ("aplay", ("-q", "-t", "raw", "-r", str(RATE), "-c", "1", "-f", "S16_LE", "-")),
    ("pw-cat", ("--playback", "--raw", f"--rate={RATE}", "--channels=1", "--format=s16", "-")),
    ("play", ("-q", "-t", "raw", "-r", str(RATE), "-c", "1", "-b", "16", "-e", "signed", "-")),
)
"""System players that take raw samples on their standard input."""


class DriverError(Exception):
    """This driver cannot play here; the text says why."""


class StreamDriver:
    """miniaudio: one open stream, cues placed on its sample clock."""

    name = "miniaudio"

    def __init__(self, desk: Desk, clock: Clock, buffer: float = 0.03) -> None:
        """Open a stream with this buffer, in seconds. Raises DriverError."""
        try:
            miniaudio: Any = import_module("miniaudio")
        except Exception as error:  # a broken wheel may raise anything: the next driver is tried
            raise DriverError(f"miniaudio is not installed ({error})") from error
        self.buffer = buffer
        self.stream = Stream(desk)
        self._clock = clock
        self.fault: str | None = None
        names = BACKENDS.get(sys.platform, ("SNDIO", "AUDIO4", "OSS", "PULSEAUDIO"))
        last: Exception | None = None
        self._device: Any = None
        for name in names:
            try:
                device = miniaudio.PlaybackDevice(
                    output_format=miniaudio.SampleFormat.SIGNED16,
                    nchannels=1,
                    sample_rate=RATE,
                    buffersize_msec=max(1, round(buffer * 1000)),
                    backends=[getattr(miniaudio.Backend, name)],
                    app_name="darkroom",
                )
                blocks = self._blocks()
                next(blocks)
                device.start(blocks)
            except miniaudio.MiniaudioError as error:
                last = error
                continue
            self._device, self.backend = device, name
            self.opened = clock()
            return
        raise DriverError(f"no sound server or card answers ({last})")

    def _blocks(self) -> Generator[bytes | array[int], int, None]:
        frames = yield b""
        while True:
            try:
                made = self.stream.block(frames, self._clock())
            except Exception as error:  # raised into the device it would end the stream unsaid
                self.fault = f"{type(error).__name__}: {error}"
                made = bytes(2 * frames)
            frames = yield made

    def kick(self) -> None:
        """The stream looks at its mail with every block."""

    def alive(self, now: float) -> bool:
        """Return False when the device has asked for nothing for too long."""
        return now - max(self.stream.last_block, self.opened) < SILENT_FOR

    def close(self) -> None:
        """Close the device in a thread of its own: closing a frozen server's stream never returns."""
        device, self._device = self._device, None
        threading.Thread(target=device.close, name="close", daemon=True).start()


class TimedDriver:
    """Starts each sound when it is due, `lead` seconds early for what starting takes."""

    name = "timed"
    lead = 0.0
    buffer = 0.0

    def __init__(self, desk: Desk, clock: Clock) -> None:
        """Try the driver and begin to take from the desk. Raises DriverError."""
        self.desk, self._clock = desk, clock
        self.fault: str | None = None
        self._wake = threading.Event()
        self._closing = False
        self._dead = False
        self.probe()
        self._thread = threading.Thread(target=self._run, name=self.name, daemon=True)
        self._thread.start()

    def probe(self) -> None:
        """Raise DriverError when this driver cannot play here."""

    def begin(self, playing: Playing) -> None:
        """Start a sound. Raises DriverError when it cannot be."""
        raise NotImplementedError

    def stop(self) -> None:
        """Stop the sound that was started last, if it still sounds."""

    def kick(self) -> None:
        """There is mail at the desk."""
        self._wake.set()

    def alive(self, now: float) -> bool:
        """Return False after a sound could not be started."""
        return not self._dead

    def close(self) -> None:
        """Stop, without waiting."""
        self._closing = True
        self._wake.set()

    def _run(self) -> None:
        sounding: Playing | None = None
        desk = self.desk
        while not self._closing:
            self._wake.clear()
            instant = self._clock() + self.lead
            if desk.playing is not None and desk.playing is sounding and instant >= desk.playing.end:
                desk.finish()
            desk.advance(instant)
            if desk.playing is not sounding:
                if sounding is not None:
                    self.stop()
                sounding = desk.playing
                if sounding is not None:
                    sounding.begin = instant
                    self._start(sounding)
            due = min(desk.due(), sounding.end if sounding is not None else instant + 1.0)
            self._wake.wait(min(1.0, max(0.0, due - self.lead - self._clock())))
        self.stop()

    def _start(self, playing: Playing) -> None:
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
        self._object = self._library.play_buffer(playing.samples, 1, 2, RATE)

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
            self._command = [path, *options]
            try:
                done = subprocess.run(
                    self._command, input=bytes(2 * 882), timeout=self.TRIAL, check=False,
                    stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
                )  # fmt: skip
            except (OSError, subprocess.TimeoutExpired) as error:
                reasons.append(f"{name}: {error}")
                continue
            if done.returncode == 0:
                self.player = name
                return
            reasons.append(f"{name} fails")
        raise DriverError("; ".join(reasons) or "no system player found")

    def begin(self, playing: Playing) -> None:
        """Start the player and give it the sound."""
        last = self._process
        if last is not None and last.poll() not in (None, 0, -15):
            raise DriverError(f"{self._command[0]} fails")
        self._process = subprocess.Popen(
            self._command, stdin=subprocess.PIPE, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        threading.Thread(
            target=_feed, args=(self._process, playing.samples.tobytes()), name="feed", daemon=True
        ).start()

    def stop(self) -> None:
        """Stop the player if it still plays."""
        if self._process is not None and self._process.poll() is None:
            self._process.terminate()


def _feed(process: subprocess.Popen[bytes], sound: bytes) -> None:
    try:
        process.communicate(sound)
    except (BrokenPipeError, ValueError):
        return  # it was stopped, or died: its exit status is looked at before the next sound


class BellDriver(TimedDriver):
    """No sound of our own: the tool is told to ring the terminal's bell."""

    name = "bell"

    def __init__(self, desk: Desk, clock: Clock, ring: Callable[[dict[str, Any]], None]) -> None:
        """`ring(cue)` is called for every cue."""
        self._ring = ring
        super().__init__(desk, clock)

    def begin(self, playing: Playing) -> None:
        """Ask for the bell, once for a cue and never for a word."""
        if playing.word_of is None:
            self._ring(playing.call.told())


class NoDriver(TimedDriver):
    """Silence: cues come and go as if they sounded."""

    name = "none"

    def begin(self, playing: Playing) -> None:
        """Play nothing."""


def wait_until(test: Callable[[], bool], seconds: float) -> bool:
    """Return True as soon as `test` does, False after so many seconds."""
    give_up = time.monotonic() + seconds
    while not test():
        if time.monotonic() > give_up:
            return False
        threading.Event().wait(0.005)
    return True
