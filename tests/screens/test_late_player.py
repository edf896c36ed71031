"""The sound player begins with the first cue, or when it is told to; no cue is lost."""

from __future__ import annotations

from collections.abc import Sequence

from darkroom.bench.cues import Cue
from darkroom.screens.late_player import LatePlayer

CUE = Cue(up=1.0, name="end")


class Heard:
    """A player that notes what it gets."""

    def __init__(self) -> None:
        """Nothing was heard."""
        self.calls: list[object] = []

    def schedule(self, cues: Sequence[Cue], horizon: float) -> None:
        """Note a set."""
        self.calls.append((tuple(cues), horizon))

    def play(self, cue: Cue) -> None:
        """Note a cue."""
        self.calls.append(cue)


def _late() -> tuple[LatePlayer, Heard, list[str]]:
    heard, begun = Heard(), []  # type: ignore[var-annotated]
    return LatePlayer(lambda: heard, lambda: begun.append("begun")), heard, begun


def test_an_empty_set_begins_nothing() -> None:
    """Nothing is due: the player may wait."""
    player, heard, begun = _late()
    player.schedule((), 30.0)
    assert (begun, heard.calls) == ([], [])


def test_a_set_with_a_cue_begins_the_player_and_reaches_it() -> None:
    """A plate that runs has cues: they are with the player at once, and empty sets after them too."""
    player, heard, begun = _late()
    player.schedule((CUE,), 30.0)
    player.schedule((), 30.0)
    assert begun == ["begun"]
    assert heard.calls == [((CUE,), 30.0), ((), 30.0)]


def test_a_cue_of_now_begins_the_player_and_reaches_it() -> None:
    """The answer to a strike right after the first frame is heard."""
    player, heard, begun = _late()
    player.play(CUE)
    assert (begun, heard.calls) == (["begun"], [CUE])


def test_a_player_begins_once() -> None:
    """Told to begin after a cue it is the same player."""
    player, heard, begun = _late()
    assert player.begin() is heard
    player.play(CUE)
    assert player.begin() is heard and begun == ["begun"]
