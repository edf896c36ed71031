"""Places the scheduler's sounds on the sample clock of an audio stream. No device, no clock of its own.

When a block is asked for says little: servers change their pattern by tens of milliseconds while
the sound goes on evenly. What holds is the queue: the first frame is heard when it is first asked
for, and frame f at that instant + f / rate, for as long as the queue never runs dry. It has run dry
when a block is asked for later than its first frame was due: from there the count begins anew
(tried on a null sink: within 1.5 ms at every buffer from 10 to 120 ms). A device's clock drifts
against ours; that is followed slowly, once the requests leave the band they began in.
"""

from __future__ import annotations

import math
import threading
from array import array

from darkroom.devices.sound.cue_names import RATE
from darkroom.devices.sound.phrases import Playing
from darkroom.devices.sound.scheduler import Scheduler

LOOK = 1.0
"""The least of the requests is taken over so long, in seconds."""
LEARN = 10.0
"""So long the band of a stream's requests is learnt, in seconds."""
DRIFT = 0.0003
"""The most that a sound card's clock is believed to drift; cards keep within 0.0002 (from memory)."""
LOST = 0.002
"""A request this much later than its first frame was due counts as an underrun, in seconds."""
SLEPT = 1.0
"""A request later than this follows a sleep of the machine, not an underrun, in seconds."""
SETTLING = 2.0
"""A stream may stumble for so long after it is opened without being called unsteady, in seconds."""
FADE = 256
"""Frames over which a sound that is cut off fades, so that nothing clicks."""


class QueueClock:
    """Tells when a frame will be heard, from the instants at which blocks are asked for."""

    def __init__(self) -> None:
        """Begin with nothing asked for yet."""
        self.frames = 0
        self.underruns = 0
        self.began: float | None = None
        self._base = -math.inf
        self._learn_until = 0.0
        self._band = (math.inf, -math.inf)
        self._least = math.inf
        self._look_at = 0.0

    def next_heard(self, now: float) -> float:
        """Return when the first frame of the block that is asked for now will be heard."""
        zero = now - self.frames / RATE
        if zero > self._base:
            self._restart(zero, now)
        self._least = min(self._least, zero)
        if now >= self._look_at:
            self._follow(now)
        return self._base + self.frames / RATE

    def _restart(self, zero: float, now: float) -> None:
        """The queue is empty: what is given now is heard now."""
        if self.began is None:
            self.began = now
        elif LOST < zero - self._base < SLEPT and now - self.began > SETTLING:
            self.underruns += 1
        self._base = zero
        self._learn_until, self._band = now + LEARN, (math.inf, -math.inf)
        self._least, self._look_at = math.inf, now + LOOK

    def _follow(self, now: float) -> None:
        low, high = self._band
        least = self._least
        self._least, self._look_at = math.inf, now + LOOK
        if now < self._learn_until:
            self._band = min(low, least), max(high, least)
            return
        most = DRIFT * LOOK
        moved = min(least - high, most) if least > high else max(least - low, -most) if least < low else 0.0
        self._base += moved
        self._band = low + moved, high + moved


class Stream:
    """Fills one device's blocks with what the scheduler plays."""

    def __init__(self, scheduler: Scheduler) -> None:
        """Take everything from this scheduler while `live`; only one output may."""
        self.scheduler = scheduler
        self.clock = QueueClock()
        self.live = False
        self._turn = threading.Lock()
        self.blocks = 0
        self.last_block = -math.inf
        self.sounds_until = -math.inf
        self._silence: dict[int, bytes] = {}
        self._sounding: Playing | None = None
        self._at = 0
        self._tail: array[int] = array("h")

    @property
    def idle(self) -> bool:
        """True when nothing sounds."""
        return self._sounding is None and not self._tail

    def leave(self, until: float) -> bool:
        """Take nothing more from the scheduler if nothing sounds and nothing is due before `until`.

        Return whether it was left: from then on another may take from it.
        """
        with self._turn:
            if not self.idle or self.scheduler.playing is not None or self.scheduler.due() <= until:
                return False
            self.live = False
            return True

    def block(self, frames: int, now: float) -> bytes | array[int]:
        """Return the next `frames` frames, asked for at `now`."""
        with self._turn:
            return self._block(frames, now)

    def _block(self, frames: int, now: float) -> bytes | array[int]:
        self.last_block = now
        self.blocks += 1
        heard = self.clock.next_heard(now)
        self.clock.frames += frames
        scheduler = self.scheduler
        if not self.live or (
            self.idle and scheduler.playing is None and scheduler.due() > heard + frames / RATE
        ):
            return self._silent(frames)
        made = array("h", self._silent(frames))
        if self._sounding is not None:
            self._sounding.begin = heard - self._at / RATE
        at, sounded = 0, False
        while at < frames:
            instant = heard + at / RATE
            if scheduler.due() <= instant + 0.5 / RATE:
                scheduler.advance(instant)
            self._follow()
            sounded = sounded or not self.idle
            due = min(max(scheduler.due() - heard, 0.0), frames / RATE)
            at = self._fill(made, at, min(frames, max(at + 1, math.ceil(due * RATE))))
        if sounded:
            self.sounds_until = heard + frames / RATE
        return made

    def _silent(self, frames: int) -> bytes:
        silence = self._silence.get(frames)
        if silence is None:
            silence = self._silence[frames] = bytes(2 * frames)
        return silence

    def _follow(self) -> None:
        """Let the sound that was cut off fade, and begin the one that the scheduler plays now."""
        playing = self.scheduler.playing
        if playing is self._sounding:
            return
        if self._sounding is not None:
            rest = self._sounding.samples[self._at : self._at + FADE]
            self._tail = array("h", (int(value * (FADE - i) / FADE) for i, value in enumerate(rest)))
        self._sounding, self._at = playing, 0

    def _fill(self, made: array[int], at: int, upto: int) -> int:
        """Write what sounds into frames `at` to `upto`; return where it stopped: a sound may end sooner."""
        sounding = self._sounding
        if sounding is not None:
            upto = min(upto, at + len(sounding.samples) - self._at)
            part = sounding.samples[self._at : self._at + upto - at]
            made[at:upto] = part
            self._at += len(part)
            if self._at >= len(sounding.samples):
                self._sounding = None
                self.scheduler.finish()
        if self._tail:
            length = min(upto - at, len(self._tail))
            for index in range(length):
                mixed = made[at + index] + self._tail[index]
                made[at + index] = max(-32768, min(32767, mixed))
            self._tail = self._tail[length:]
        return upto
