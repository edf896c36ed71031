"""One device of the sound library, whose blocks a `Stream` fills."""

from __future__ import annotations

import sys
import threading
from array import array
from collections.abc import Callable, Generator, Sequence
from typing import Any

from darkroom.devices.sound import lean_import
from darkroom.devices.sound.cue_names import RATE
from darkroom.devices.sound.sample_clock import Stream
from darkroom.devices.sound.scheduler import Scheduler

Clock = Callable[[], float]

BACKENDS = {
    "linux": ("PULSEAUDIO", "ALSA"),
    "darwin": ("COREAUDIO",),
    "win32": ("WASAPI", "DSOUND", "WINMM"),
}
"""The null backend is never among them: it would take every cue and make no sound."""


class DriverError(Exception):
    """This driver cannot play here; the text says why."""


class OpenStream:
    """A device that asks for block after block once it is started; it plays nothing until it is `live`."""

    def __init__(
        self,
        scheduler: Scheduler,
        clock: Clock,
        failed: Callable[[str], None],
        buffer: float,
        backends: Sequence[str] | None = None,
        *,
        start: bool = True,
    ) -> None:
        """Open a device with this buffer, in seconds, on the first backend that answers.

        `failed` hears what goes wrong in a block, which is then silent.

        Raises DriverError.
        """
        try:
            miniaudio = lean_import.miniaudio()
        except Exception as error:  # a broken wheel may raise anything: the next driver is tried
            raise DriverError(f"miniaudio is not installed ({error})") from error
        self.stream = Stream(scheduler)
        self._clock, self._failed = clock, failed
        self._error: Any = miniaudio.MiniaudioError
        why = ""
        for name in backends or BACKENDS.get(sys.platform, ("SNDIO", "AUDIO4", "OSS", "PULSEAUDIO")):
            try:
                self._device: Any = miniaudio.PlaybackDevice(
                    output_format=miniaudio.SampleFormat.SIGNED16,
                    nchannels=1,
                    sample_rate=RATE,
                    buffersize_msec=max(1, round(buffer * 1000)),
                    backends=[getattr(miniaudio.Backend, name)],
                    app_name="darkroom",
                )
                if start:
                    self.start()
            except miniaudio.MiniaudioError as error:
                why = str(error.args[0]) if error.args else "no reason given"
                continue
            except DriverError as error:
                why = str(error)
                continue
            self.backend: str = name
            return
        raise DriverError(f"no sound server or card answers ({why})")

    def start(self) -> None:
        """Let it ask for blocks. Raises DriverError."""
        blocks = self._blocks()
        next(blocks)
        try:
            self._device.start(blocks)
        except self._error as error:
            raise DriverError(str(error.args[0]) if error.args else "no reason given") from error

    def _blocks(self) -> Generator[bytes | array[int], int, None]:
        frames = yield b""
        while True:
            try:
                made = self.stream.block(frames, self._clock())
            except Exception as error:  # raised into the device it would end the stream unsaid
                self._failed(f"{type(error).__name__}: {error}")
                made = bytes(2 * frames)
            frames = yield made

    def close(self) -> None:
        """Close the device in a thread of its own: closing a frozen server's stream never returns."""
        self.stream.live = False
        device, self._device = self._device, None
        if device is not None:
            threading.Thread(target=device.close, name="close", daemon=True).start()
