"""What has the voice, or waits for it: a sound, and the words of a call that are still to be said."""

from __future__ import annotations

from array import array
from collections import deque

from darkroom.devices.sound.cue_names import CAUTION, RATE
from darkroom.devices.sound.messages import Call

BETWEEN_PIPS = 0.85
"""The longest word that fits between two pips, in seconds: "safelight only" does not."""


class Playing:
    """The sound that has the voice: a cue, or one word of a phrase.

    `begin` is when it began; later when the output was kept waiting: all that is left is then later too.
    """

    __slots__ = ("begin", "call", "samples", "word_of")

    def __init__(self, call: Call, samples: array[int], begin: float, word_of: Phrase | None = None) -> None:
        """`samples` are of `call`'s sound, or of a word of the phrase `word_of`."""
        self.call, self.samples, self.begin, self.word_of = call, samples, begin, word_of

    @property
    def goes_before_pips(self) -> bool:
        """True for a word in which no pip sounds and no second is counted."""
        return self.word_of is not None and self.word_of.goes_before_pips(self.samples)

    @property
    def end(self) -> float:
        """When it will have ended. An output that lags behind the clock may still play it after that."""
        return self.begin + len(self.samples) / RATE


class Phrase:
    """The words of a call that are still to be said."""

    __slots__ = ("answer", "asked", "begun", "call", "counted", "latest", "since", "words")

    def __init__(
        self,
        call: Call,
        words: deque[array[int]],
        since: float,
        latest: float,
        answer: bool,
        asked: bool,
        counted: bool = False,
    ) -> None:
        """`asked`: said as it was asked for now, a menu's line or what is told; the next such ends it."""
        self.call, self.words, self.since, self.latest = call, words, since, latest
        self.answer, self.asked, self.counted = answer, asked, counted
        self.begun = False

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
