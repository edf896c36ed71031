"""The open stream: one device that asks for block after block. Opens, or raises DriverError.

A driver takes nothing from the scheduler before `take` and nothing after `close`, so that two never
do at once.

While nothing sounds and nothing is due for long, the stream rests: another one with a larger buffer, which
asks for blocks less often, keeps the output awake. One like the first is opened for whatever is to be played
now, which takes no longer than an open stream's queue, and in good time before what is due. Only a server
is given two streams at once; a card may have but one.
"""

from __future__ import annotations

import math
import threading

from darkroom.devices.sound.open_stream import Clock, DriverError, OpenStream
from darkroom.devices.sound.scheduler import Scheduler

__all__ = ["Clock", "DriverError", "StreamDriver"]

SILENT_FOR = 0.5
"""A stream that has asked for no block for so long is dead: a dead sound server raises nothing."""
WAKING = 2.0
"""A stream may take so long until its third block: a sleeping output has to wake, in seconds."""
RESTING_BUFFER = 0.2
"""The buffer of the stream that keeps the output awake, in seconds; it asks for a quarter at a time."""
QUIET_FOR = 5.0
"""The stream rests when nothing has sounded for so long, in seconds, …"""
NOTHING_BEFORE = 10.0
"""… and nothing is due for so long."""
AHEAD = 3.0
"""It is started anew so long before what is due, in seconds: by then it has settled."""
LOOK = 1.0
"""A stream that rests looks at the clock this often, in seconds: the machine may have slept."""
SERVERS = ("PULSEAUDIO",)
"""The backends that are sound servers."""


class StreamDriver:
    """miniaudio: one open stream, cues placed on its sample clock."""

    name = "miniaudio"
    resting = False
    """Whether another stream keeps the output awake; then this driver's own is not live."""
    _may_rest = _dead = False

    def __init__(self, scheduler: Scheduler, clock: Clock, buffer: float) -> None:
        """Open a stream with this buffer, in seconds. Raises DriverError."""
        self.scheduler, self.buffer, self._clock = scheduler, buffer, clock
        self.fault: str | None = None
        self._open = self._stream(buffer)
        self.stream = self._open.stream
        self.detail: str | None = self._open.backend.lower()
        self.opened = clock()
        self._rest_after = self.opened + QUIET_FOR
        self._may_rest = self._open.backend in SERVERS
        self._wake = threading.Event()
        self._turn = threading.Lock()
        self._closed = False
        self._waiting_since = math.inf

    def _failed(self, why: str) -> None:
        """Note what went wrong in a stream: it goes on, and the watchdog tells it."""
        self.fault = why

    def _stream(self, buffer: float, backends: list[str] | None = None, *, start: bool = True) -> OpenStream:
        return OpenStream(self.scheduler, self._clock, self._failed, buffer, backends, start=start)

    def take(self) -> None:
        """Play what the scheduler plays from now on."""
        self.stream.live = True

    def kick(self) -> None:
        """The stream looks at its mail with every block; one that rests is woken to look."""
        self._wake.set()

    def alive(self, now: float) -> bool:
        """Return False when the device has asked for nothing for too long."""
        if self._dead or now - self._waiting_since > WAKING:
            return False
        stream = self.stream
        patience = SILENT_FOR if stream.blocks > 2 else WAKING
        return now - max(stream.last_block, self.opened) < patience

    def close(self) -> None:
        """Take nothing more from the scheduler."""
        with self._turn:
            self._closed = True
            self._open.close()
        self._wake.set()

    # --- resting ---------------------------------------------------------------------------

    def rest(self, now: float) -> None:
        """Let the stream rest when it is time for that; returns at once."""
        if not self._may_rest or self.resting or self._closed:
            return
        quiet = self.stream.idle and now > max(self._rest_after, self.stream.sounds_until + QUIET_FOR)
        if quiet and self.scheduler.due() > now + NOTHING_BEFORE:
            self.resting = True
            threading.Thread(target=self._rest, name="resting", daemon=True).start()

    def _rest(self) -> None:
        """Rest until something is due soon. A stream that cannot rest goes on as it was."""
        backend = [self._open.backend]
        try:
            keeping = self._stream(RESTING_BUFFER, backend)
        except DriverError:
            self._may_rest = self.resting = False
            return
        with self._turn:
            if self._closed or not self.stream.leave(self._clock() + NOTHING_BEFORE):
                self._rest_after = self._clock() + QUIET_FOR
                self.resting = False
                keeping.close()
                return
            self.opened = self._clock()
            left, self._open, self.stream = self._open, keeping, keeping.stream
        left.close()
        self._wait_until_due()
        if not self._closed:
            self._return(backend)
        keeping.close()

    def _wait_until_due(self) -> None:
        """Wait until something is due soon. The scheduler's mail is read here: no stream reads it."""
        while not self._closed:
            self._wake.clear()
            now = self._clock()
            soon = self.scheduler.look_ahead(now) - AHEAD
            if soon <= now:
                return
            self._wake.wait(min(LOOK, soon - now))

    def _return(self, backend: list[str]) -> None:
        """Open a stream like the first, and play from there on."""
        self._waiting_since = self._clock()
        try:
            further = self._stream(self.buffer, backend, start=False)
            with self._turn:
                further.stream.live = not self._closed
            further.start()
        except Exception as error:  # whatever a foreign library raises: the watchdog takes the next driver
            self.fault, self._dead = str(error) or type(error).__name__, True
            return
        with self._turn:
            self.opened = self._clock()
            self._rest_after = self.opened + QUIET_FOR
            self._open, self.stream = further, further.stream
            self._waiting_since, self.resting = math.inf, False
            if self._closed:
                further.close()
