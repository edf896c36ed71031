"""The cautions of the stages, said once each while the tool runs. Pure."""

from __future__ import annotations

from darkroom.bench.all_plates import Bench
from darkroom.bench.cues import Cue, is_busy
from darkroom.bench.state import PlateState
from darkroom.bench.view import cautions


class SpokenCautions:
    """Which cautions were said. While a plate is in a lead-in, exposed or developed, none is."""

    def __init__(self) -> None:
        self._said: set[str] = set()

    def due(self, bench: Bench, now: float) -> Cue | None:
        """Return the cue that says the large plate's cautions not said yet, or None."""
        state = bench.shown
        if state is None or any(map(is_busy, bench.on_bench)):
            return None
        due = tuple(text for text in _of(state) if text not in self._said)
        if not due:
            return None
        self._said.update(due)
        instead = (f"caution {state.stage.name}", "caution")
        return Cue(up=now, name="say", say=due, instead=instead)


def _of(state: PlateState) -> tuple[str, ...]:
    """Return the cautions on the screen, and those of the stage that runs."""
    own = state.stage.cautions if state.phase == "running" else ()
    return tuple(dict.fromkeys((*own, *cautions(state))))
