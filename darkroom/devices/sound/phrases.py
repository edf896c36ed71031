"""What has the voice, or waits for it: a sound, and the words of a call that are still to be said."""

from __future__ import annotations

from array import array
from collections import deque
from dataclasses import dataclass

from darkroom.devices.sound.cue_names import CAUTION, RATE
from darkroom.devices.sound.messages import Call


@dataclass
class Playing:
    """The sound that has the voice: a cue, or one word of a phrase."""

    call: Call
    samples: array[int]
    begin: float
    """When it began; later when the output was kept waiting: then all that is left of it is heard later."""
    word_of: Phrase | None = None

    @property
    def end(self) -> float:
        """When it will have ended. An output that lags behind the clock may still play it after that."""
        return self.begin + len(self.samples) / RATE


@dataclass(eq=False)
class Phrase:
    """The words of a call that are still to be said."""

    call: Call
    words: deque[array[int]]
    since: float
    latest: float
    answer: bool
    asked: bool
    """Said because it was asked for now: a menu's line, what is told. The next such ends it."""
    counted: bool = False
    begun: bool = False

    @property
    def wished(self) -> bool:
        """True for what a hand asked for: an answer to it, or what it wants said."""
        return self.answer or self.asked

    @property
    def order(self) -> tuple[bool, bool, bool, int]:
        """Which of two phrases is said first: the smaller. A caution comes last, also a begun one."""
        return self.call.name == CAUTION, not self.begun, not self.counted, -self.call.rank
