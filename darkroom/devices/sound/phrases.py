"""What has the voice, or waits for it: a sound, and the words of a call that are still to be said."""

from __future__ import annotations

from array import array
from collections import deque
from dataclasses import dataclass

from darkroom.devices.sound.cue_names import CAUTION, RATE
from darkroom.devices.sound.messages import Call

BETWEEN_PIPS = 0.85
"""The longest word that fits between two pips, in seconds: "safelight only" does not."""


@dataclass
class Playing:
    """The sound that has the voice: a cue, or one word of a phrase."""

    call: Call
    samples: array[int]
    begin: float
    """When it began; later when the output was kept waiting: then all that is left of it is heard later."""
    word_of: Phrase | None = None

    @property
    def goes_before_pips(self) -> bool:
        """True for a word in which no pip sounds and no second is counted."""
        return self.word_of is not None and self.word_of.goes_before_pips(self.samples)

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

    def goes_before_pips(self, word: array[int]) -> bool:
        """True for a word of what a hand asked for, and for one that no gap between pips holds."""
        too_long = self.call.name != CAUTION and len(word) > BETWEEN_PIPS * RATE
        return self.answer or self.asked or too_long

    @property
    def order(self) -> tuple[bool, bool, bool, bool, int]:
        """Which of two phrases is said first: the smaller. A caution comes last, also a begun one.

        An answer comes before the words of a call, whose sound was heard at its instant.
        """
        return self.call.name == CAUTION, not self.begun, not self.counted, not self.answer, -self.call.rank
