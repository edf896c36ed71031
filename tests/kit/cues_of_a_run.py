"""Which cues a run's journals say were due."""

from __future__ import annotations

from pathlib import Path

from darkroom.bench import clocks, events, exposure
from darkroom.bench.fold import apply, begin
from darkroom.log.journal.find import find_plates
from darkroom.log.journal.merge import read_plate
from tests.kit.cues_heard import Due

NAMES = frozenset({"accepted", "pip", "start", "step", "end"})
"""The cues that `due` returns; those of the light and of a plate that waits are in no one journal."""


def due(home: Path) -> list[Due]:
    """Return each answer to a strike and each pip, start, step and end that the journals tell of."""
    cues: set[Due] = set()
    for path in find_plates(home):
        lines = [line for line in read_plate(path).events if line.up is not None]
        assert isinstance(lines[0], events.PlateStarted)
        state = begin(lines[0], lines[0].up or 0.0)
        cues.add((lines[0].up or 0.0, "accepted"))
        for line in lines[1:]:
            zero, up = clocks.zero(state), line.up or 0.0
            by_hand = isinstance(line, events.StageEnded) and line.how == "strike"
            if by_hand or isinstance(line, events.LeadInStarted | events.Cleared):
                cues.add((up, "accepted"))
            if isinstance(line, events.StageEnded) and zero is not None and up >= zero - 0.001:
                cues.add((zero, "end"))
            if isinstance(line, events.LeadInStarted):
                # the pip of the strike's own instant is past when the strike is understood
                cues |= {(up + line.seconds - second, "pip") for second in range(1, int(line.seconds))}
            if isinstance(line, events.StageStarted) and state.phase == "lead_in" and zero is not None:
                cues.add((zero, "start"))
            state = apply(state, line)
            if isinstance(line, events.StageStarted) and state.stage.ends == "exposure":
                cues |= {(at, "step") for at in exposure.step_instants(state.plan, state.since)}
    return sorted(cues)
