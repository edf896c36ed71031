"""What the tool answers, on the screen and by voice: what came of an intent, refusals, tell, menu lines."""

from __future__ import annotations

from collections.abc import Callable

import msgspec

from darkroom.bench import cues
from darkroom.bench import intents as want
from darkroom.bench.all_plates import Bench, with_large
from darkroom.bench.cues import Cue
from darkroom.bench.intents import Decision, Intent
from darkroom.session.feedback import SILENT_ON_SCREEN, leaves_open, spoken
from darkroom.session.protocols import Voice
from darkroom.session.spoken_cautions import SpokenCautions
from darkroom.session.telling import tell

UNASKED = (want.Zero, want.ClockDid, want.ReadTemperature, want.ReadHumidity, want.CameBack)
"""What no hand asked for is not answered."""


class Answer(msgspec.Struct, frozen=True):
    """What the bench said last: `good` for a step taken, else a refusal.

    `written` is false for a step that the large letters show anyway.
    """

    text: str
    good: bool
    up: float
    written: bool = True


class Answers:
    """Gives every answer twice: `last` for the screen, and to the voice."""

    def __init__(self, voice: Voice, now: Callable[[], float], changed: Callable[[], None]) -> None:
        """`changed` is called when there is something new to show."""
        self.last: Answer | None = None
        self._voice, self._now, self._changed = voice, now, changed
        self._cautions = SpokenCautions()

    def refuse(self, why: str, plate: int | None = None, *, aloud: bool = True) -> None:
        """Say that nothing was done, and why; without `aloud` the voice gives the sound alone."""
        instead = (cues.plate_words(plate),) if plate else ()
        say = (why,) if aloud else ()
        self._set(why, False)
        self._voice.play(Cue(up=self._now(), name="refused", plate=plate or None, say=say, instead=instead))

    def tell(self, bench: Bench) -> None:
        """Say of the large plate what it is, how long it has, and what to do; nothing changes."""
        now = self._now()
        text, say = tell(bench, now)
        self._set(text, True)
        self.speak(*say)

    def say(self, text: str) -> None:
        """Say and show what no intent answers: what nobody asked for, or a reading that was set."""
        self._set(text, True)
        self.speak(text)

    def show(self, text: str) -> None:
        """Show what no intent answers, in place of what was said last; the voice says nothing."""
        self._set(text, True)

    def say_large(self, number: int) -> None:
        """Say that another plate is large now, though nobody asked for it."""
        self.say(f"plate {number} now")

    def speak(self, *texts: str, instead: str = "") -> None:
        """Let the voice say this now, in place of what it was asked to say before.

        `instead` is said for a text that has a word without a recording.
        """
        alternatives = (instead,) if instead else ()
        self._voice.play(Cue(up=self._now(), name="say", say=texts, instead=alternatives))

    def answer(self, before: Bench, after: Bench, intent: Intent, decision: Decision) -> None:
        """Answer an intent that was decided: the bench before it, and after it."""
        now, state = self._now(), with_large(after, decision.meant_for).shown
        if isinstance(intent, UNASKED):
            return
        if decision.refusal is not None:
            self.refuse(decision.refusal, state.number if state is not None else None)
            return
        if state is None:
            return
        text, say = spoken(intent, state, decision, now)
        self._set(text, True, isinstance(intent, SILENT_ON_SCREEN) or leaves_open(decision))
        self._voice.play(Cue(up=now, name="accepted", plate=state.number, say=say))
        light_change = cues.light_cue(before, after, now)
        if light_change is not None:
            self._voice.play(light_change)

    def caution_ended(self, *, said: bool) -> None:
        """Take note that the caution on its way was said to its end, or was not."""
        self._cautions.ended(said=said)

    def say_cautions(self, bench: Bench) -> None:
        """Say the next caution that is shown now and was not said yet."""
        cue = self._cautions.due(bench, self._now())
        if cue is not None:
            self._voice.play(cue)

    def _set(self, text: str, good: bool, written: bool = True) -> None:
        self.last = Answer(text, good, self._now(), written)
        self._changed()
