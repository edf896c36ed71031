"""The cautions of the stages, said once each while the tool runs, and of plates beside each other. Pure.

One is said after another, each in a gap between the calls. A caution counts as said when the voice has said
it to its end; one that found no gap, or was lost with the voice, is due again while it is shown and briefly
after, so that a quick hand hears the last of them too. What is dangerous between two plates is said first,
and again each time that it comes about.
"""

from __future__ import annotations

from typing import NamedTuple

from darkroom.bench.all_plates import Bench
from darkroom.bench.cues import Cue, is_busy
from darkroom.bench.hazards import clashes
from darkroom.bench.state import PlateState
from darkroom.bench.view import cautions

LOST_AFTER = 45.0
"""A caution that the voice has told nothing of for so long is lost, in seconds of the hand."""

SHOWN_BEFORE = 20.0
"""A caution that is shown no more is still said for so long, in seconds of the hand."""


class _OnItsWay(NamedTuple):
    text: str
    since: float


class SpokenCautions:
    """Which cautions were said. While a plate is in a lead-in, exposed or developed, none is."""

    def __init__(self) -> None:
        self._said: set[str] = set()
        self._shown: dict[str, float] = {}
        self._between: frozenset[str] = frozenset()
        self._on_its_way: _OnItsWay | None = None

    def due(self, bench: Bench, now: float) -> Cue | None:
        """Return the cue that says the large plate's next caution, or None; it is then on its way."""
        sent, state = self._on_its_way, bench.shown
        if state is None:
            return None
        between = clashes(bench)
        over = self._between.difference(between)
        self._between, self._said = frozenset(between), self._said - over
        due = (*between, *_of(state))
        kept = {text: at for text, at in self._shown.items() if text not in over and text not in due}
        self._shown = {text: now for text in due if text not in self._said} | kept
        if any(map(is_busy, bench.on_bench)):
            return None
        if sent is not None and now - sent.since < LOST_AFTER * state.pace:
            return None
        self._shown = {text: at for text, at in self._shown.items() if now - at <= SHOWN_BEFORE * state.pace}
        text = next(iter(self._shown), None)
        if text is None:
            return None
        self._on_its_way = _OnItsWay(text, now)
        instead = (f"caution {state.stage.name}", "caution")
        return Cue(up=now, name="caution", say=(text,), instead=instead)

    def ended(self, *, said: bool) -> None:
        """Take note that the caution on its way was said to its end, or was not."""
        if said and self._on_its_way is not None:
            self._said.add(self._on_its_way.text)
            self._shown.pop(self._on_its_way.text, None)
        self._on_its_way = None


def _of(state: PlateState) -> tuple[str, ...]:
    """Return the cautions on the screen, and those of the stage that runs."""
    own = state.stage.cautions if state.phase == "running" else ()
    return tuple(dict.fromkeys((*own, *cautions(state))))
