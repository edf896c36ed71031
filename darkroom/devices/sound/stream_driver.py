"""The open stream: one device that asks for block after block. Opens, or raises DriverError.

A driver takes nothing from the scheduler before `take` and nothing after `close`, so that two never
do at once.
"""

from __future__ import annotations

import sys
import threading
from array import array
from collections.abc import Callable, Generator
from typing import Any

from darkroom.devices.sound import lean_import
from darkroom.devices.sound.cue_names import RATE
from darkroom.devices.sound.sample_clock import Stream
from darkroom.devices.sound.scheduler import Scheduler

Clock = Callable[[], float]

SILENT_FOR = 0.5
"""A stream that has asked for no block for so long is dead: a dead sound server raises nothing."""
WAKING = 2.0
"""A stream may take so long until its third block: a sleeping output has to wake, in seconds."""
BACKENDS = {
    "linux": ("PULSEAUDIO", "ALSA"),
    "darwin": ("COREAUDIO",),
    "win32": ("WASAPI", "DSOUND", "WINMM"),
}
"""The null backend is never among them: it would take every cue and make no sound."""


class DriverError(Exception):
    """This driver cannot play here; the text says why."""


class StreamDriver:
    """miniaudio: one open stream, cues placed on its sample clock."""

    name = "miniaudio"

    def __init__(self, scheduler: Scheduler, clock: Clock, buffer: float) -> None:
        """Open a stream with this buffer, in seconds. Raises DriverError."""
        try:
            miniaudio = lean_import.miniaudio()
        except Exception as error:  # a broken wheel may raise anything: the next driver is tried
            raise DriverError(f"miniaudio is not installed ({error})") from error
        self.stream = Stream(scheduler)
        self._clock = clock
        self.fault: str | None = None
        self._device: Any = None
        self.opened = clock()
        why = ""
        for name in BACKENDS.get(sys.platform, ("SNDIO", "AUDIO4", "OSS", "PULSEAUDIO")):
            blocks = self._blocks()
            next(blocks)
            try:
                device = miniaudio.PlaybackDevice(
                    output_format=miniaudio.SampleFormat.SIGNED16,
                    nchannels=1,
                    sample_rate=RATE,
                    buffersize_msec=max(1, round(buffer * 1000)),
                    backends=[getattr(miniaudio.Backend, name)],
                    app_name="darkroom",
                )
                device.start(blocks)
            except miniaudio.MiniaudioError as error:
                why = str(error.args[0]) if error.args else "no reason given"
                continue
            self._device, self.detail = device, name.lower()
            self.opened = clock()
            return
        raise DriverError(f"no sound server or card answers ({why})")

    def _blocks(self) -> Generator[bytes | array[int], int, None]:
        frames = yield b""
        while True:
            try:
                made = self.stream.block(frames, self._clock())
            except Exception as error:  # raised into the device it would end the stream unsaid
                self.fault = f"{type(error).__name__}: {error}"
                made = bytes(2 * frames)
            frames = yield made

    def take(self) -> None:
        """Play what the scheduler plays from now on."""
        self.stream.live = True

    def kick(self) -> None:
        """The stream looks at its mail with every block."""

    def alive(self, now: float) -> bool:
        """Return False when the device has asked for nothing for too long."""
        patience = SILENT_FOR if self.stream.blocks > 2 else WAKING
        return now - max(self.stream.last_block, self.opened) < patience

    def close(self) -> None:
        """Close the device in a thread of its own: closing a frozen server's stream never returns."""
        self.stream.live = False
        device, self._device = self._device, None
        threading.Thread(target=device.close, name="close", daemon=True).start()
