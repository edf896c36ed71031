"""A photographer in the dark: three pedals, and what is heard; neither the screen nor a journal is read."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping, Sequence

from darkroom.resources import sounds_dir
from tests.kit.cues_heard import KEY, SKIPPED, HeardSound, sounds, word_stem
from tests.kit.photographer import APART
from tests.kit.sound_recording import Capture, Ear, wait_for

PEDALS: Mapping[str, bytes] = {"go": b"\x1b[57376u", "tell": b"\x1b[57377u", "undo": b"\x1b[57378u"}
"""What a terminal sends for F13, F14 and F15."""
WORKED = 1.0
"""Seconds in which a hand has done what a stage without a clock asks for, after the voice named the stage."""
LONGEST = 40.0
"""Seconds after which what has not been heard will not be heard."""


def every_word() -> list[str]:
    """Return the words of every shipped recording: the ear knows the whole spoken set."""
    return sorted(path.stem.replace("-", " ") for path in (sounds_dir() / "voice").glob("*.wav"))


class HandByEar:
    """Presses pedals and listens. Each phrase is listened for after the one that was heard before it."""

    def __init__(self, send: Callable[[bytes], object], capture: Capture) -> None:
        """Listen from the next silence on. `send` is all that the hand has of the terminal."""
        self.send, self.capture = send, capture
        self.ear = Ear(capture, sounds(every_word()))
        self.last = 0.0

    def press(self, pedal: str) -> None:
        """Press a pedal, a strike of its own. What is said from now on is listened for, nothing before."""
        time.sleep(max(0.0, self.last + APART - time.monotonic()))
        self.ear.begin = self.capture.recorded()
        self.send(PEDALS[pedal])
        self.last = time.monotonic()

    def hear(self, *words: str) -> None:
        """Wait until these recordings were heard whole, one right after the other."""
        self.hear_each(words)

    def hear_each(self, *phrases: Sequence[str]) -> None:
        """Wait until each of these phrases was heard whole, in any order."""
        stems = [[word_stem(word) for word in phrase] for phrase in phrases]
        assert {stem for phrase in stems for stem in phrase} <= set(self.ear.known), phrases

        def heard() -> bool:
            said = self._said()
            ends = [_end(said, phrase) for phrase in stems]
            if None in ends:
                return False
            self.ear.begin += max(end for end in ends if end is not None)
            return True

        if not wait_for(heard, LONGEST, 0.1):
            since = [("/".join(one.names), round(one.share, 2)) for one in self.ear.heard()]
            raise AssertionError(f"never heard: {phrases}; since then: {since}")

    def go(self, *answer: str) -> None:
        """Press go, and hear what answers it."""
        self.press("go")
        self.hear(*answer)

    def work(self) -> None:
        """Do with the hands what a stage that ends by eye asks for."""
        time.sleep(WORKED)

    def _said(self) -> list[HeardSound]:
        """Return every recording of the voice that was heard whole; one cut off is said again whole."""
        return [one for one in self.ear.heard() if one.whole and one.names[0].startswith("voice/")]


def _end(said: Sequence[HeardSound], phrase: Sequence[str]) -> int | None:
    """Return the frame behind the beginning of a phrase's last word, or None where it was not said.

    A whole sound has several names only where recordings are the same: the stage "stop" is said as "water".
    """
    names = [one.names for one in said]
    for place in range(len(said) - len(phrase) + 1):
        if all(word in names[place + n] for n, word in enumerate(phrase)):
            return said[place + len(phrase) - 1].at + SKIPPED + KEY
    return None
