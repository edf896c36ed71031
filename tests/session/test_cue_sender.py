"""What the cue sender makes of what the bench says: names of recordings, and something for what has none."""

from __future__ import annotations

from collections.abc import Sequence

from darkroom.bench.cues import Cue
from darkroom.session.speech import SpokenSet
from darkroom.session.voice import CueSender
from tests.kit.clocks import HandClock


class Heard:
    """A player that keeps the cues it is given."""

    def __init__(self) -> None:
        self.cues: list[Cue] = []

    def schedule(self, cues: Sequence[Cue], horizon: float) -> None:
        """Take the set."""
        self.cues = list(cues)

    def play(self, cue: Cue) -> None:
        """Take a cue."""
        self.cues.append(cue)


def sent(cue: Cue) -> tuple[str, ...]:
    """Return what a player is given to say of a cue."""
    clock = HandClock()
    sender, player = CueSender(clock, clock, 1.0), Heard()
    sender.player, sender.spoken = player, SpokenSet({"plate", "lift", "sensitise", "line", "change", "of"})
    sender.play(cue)
    sender.schedule([cue])
    (given,) = player.cues
    assert given.instead == () and given.name == cue.name
    return given.say


def test_words_go_out_as_recordings() -> None:
    """Each word that has a recording is named by it."""
    assert sent(Cue(up=1.0, name="end", plate=2, say=("plate 2", "lift"))) == ("plate", "2", "lift")
    assert sent(Cue(up=1.0, name="repeat", plate=2, say=("plate 2", "change", "3 of 8"))) == (
        "plate", "2", "change", "3", "of", "8",
    )  # fmt: skip


def test_a_verb_without_a_recording_gives_way_to_the_stage() -> None:
    """The stage's name is said where the verb cannot be; where neither can, the plate's number alone."""
    verb = Cue(up=1.0, name="end", plate=2, say=("plate 2", "fish out"), instead=("sensitise",))
    assert sent(verb) == ("plate", "2", "sensitise")
    stage = Cue(up=1.0, name="end", plate=2, say=("plate 2", "fish out"), instead=("silver",))
    assert sent(stage) == ("plate", "2")


def test_nothing_that_is_to_be_said_is_silent() -> None:
    """A sentence without recordings becomes what is given instead, else the number of its plate."""
    assert sent(Cue(up=1.0, name="say", say=("Jug and pear",), instead=("line 3",))) == ("line", "3")
    assert sent(Cue(up=1.0, name="refused", plate=2, say=("no way",))) == ("plate", "2")
    assert sent(Cue(up=1.0, name="pip", plate=2)) == ()
