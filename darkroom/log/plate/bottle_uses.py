"""Which bottles a plate used: plates count themselves, nobody enters anything twice.

A plate used a bottle once the stage that uses it has a standing start, or was told to have been done; a
start that was taken back does not count. Rehearsals never count, abandoned plates do.
"""

from __future__ import annotations

from darkroom.bench import bottles
from darkroom.bench import events as ev
from darkroom.bench.standing import instants
from darkroom.bench.state import Done, PlateState
from darkroom.log.journal.merge import PlateLog
from darkroom.process.text.instants import instant_of
from darkroom.process.text.plate_sizes import area
from darkroom.process.uses import places
from darkroom.solutions.plate_use import PlateUse


def bottle_uses(log: PlateLog, state: PlateState | None) -> tuple[PlateUse, ...]:
    """Return what a plate used of the bottles that it names, in the order of its stages. Raises nothing.

    `state` is the fold of its lines, None where they have none: then nothing is told. A stage whose bottle
    nobody named is left out. The instants are on the wall clock with which the plate began.
    """
    if state is None or state.start.rehearsal:
        return ()
    start = state.start
    if not (start.bottles or start.bottle_ids or state.bottle_changes):
        return ()
    first = instant_of(start.at)
    if first is None or start.up is None:
        return ()
    begun = _begun(log, state)
    to_wall = first - (instants(log.standing).get(start.n, start.up) if state.estimated else start.up)
    taken = None if state.bottle_changes else bottles.bottles_at(state)
    size = area(start.size) if start.size else None
    found = []
    for index, role in places(state.process):
        stage = state.process.stages[index]
        bottle = (taken if taken is not None else bottles.bottles_at(state, index)).get(role)
        if bottle is None or stage.name not in begun:
            continue
        started, done = begun[stage.name]
        found.append(
            PlateUse(
                plate=log.plate,
                number=start.number,
                role=role,
                stage=stage.name,
                instant=round(started + to_wall, 3),
                bottle=bottle.id,
                name=bottle.name,
                seconds=None if done is None else round(done.seconds, 3),
                cleared=None if done is None or done.cleared is None else round(done.cleared, 3),
                size=start.size,
                area=size,
                celsius=_celsius(state, stage.at, started),
            )
        )
    return tuple(found)


def _begun(log: PlateLog, state: PlateState) -> dict[str, tuple[float, Done | None]]:
    """Return {stage: (its start, how it was left or None)} of the stages that began.

    Only where the state leaves it open, of a stage left out and of the one in which a plate was abandoned,
    the lines are asked for a start.
    """
    begun: dict[str, tuple[float, Done | None]] = {
        done.stage: (done.started, done) for done in state.done if done.how != "skipped"
    }
    skipped = len(begun) < len(state.done)
    last = state.stage.name
    if state.phase == "running":
        begun.setdefault(last, (state.since, None))
    if skipped or (state.phase == "ended" and last not in begun):
        started = {line.stage for line in log.standing if isinstance(line, ev.StageStarted)}
        left = [done for done in state.done if done.how == "skipped" and done.stage in started]
        begun |= {done.stage: (done.started, done) for done in left}
        if last in started:
            begun.setdefault(last, (state.since, None))
    return begun


def _celsius(state: PlateState, source: str | None, instant: float) -> float | None:
    """Return the temperature that counted for a stage, read or typed; an assumed one is none."""
    found: tuple[float, str] | None = None
    for at, celsius, origin in state.temperatures.get(source or "", ()):
        if found is not None and at > instant:
            break
        found = (celsius, origin)
    return None if found is None or found[1] == "assumed" else found[0]
