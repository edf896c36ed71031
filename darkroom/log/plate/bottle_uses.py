"""Which bottles a plate used: plates count themselves, nobody enters anything twice.

A plate used a bottle once the stage that uses it has a standing start, or was told to have been done; a
start that was taken back does not count. Rehearsals never count, abandoned plates do.
"""

from __future__ import annotations

from datetime import UTC, datetime

from darkroom.bench import bottles
from darkroom.bench import events as ev
from darkroom.bench.state import Done, PlateState
from darkroom.log.journal.merge import PlateLog
from darkroom.process.text.plate_sizes import area
from darkroom.process.uses import roles
from darkroom.solutions.joining import PlateUse


def bottle_uses(log: PlateLog, state: PlateState | None) -> tuple[PlateUse, ...]:
    """Return what a plate used of the bottles that it names, in the order of its stages. Raises nothing.

    `state` is the fold of its lines, None where they have none: then nothing is told. A stage whose bottle
    nobody named is left out.
    """
    if state is None or state.start.rehearsal:
        return ()
    start = state.start
    if not (start.bottles or start.bottle_ids or state.bottle_changes):
        return ()
    times = _starts(log)
    known = roles(state.process)
    found = []
    for index, stage in enumerate(state.process.stages):
        role = known.get(stage.name)
        done = next((one for one in state.done if one.stage == stage.name), None)
        if role is None or not _was_begun(state, index, done, times):
            continue
        bottle = bottles.bottle_at(state, role, index)
        instant = _instant(times.get(stage.name) or start.at)
        if bottle is None or instant is None:
            continue
        found.append(
            PlateUse(
                plate=log.plate,
                number=start.number,
                role=role,
                stage=stage.name,
                instant=instant,
                bottle=bottle.id,
                name=bottle.name,
                seconds=None if done is None else round(done.seconds, 3),
                cleared=None if done is None or done.cleared is None else round(done.cleared, 3),
                size=start.size,
                area=area(start.size) if start.size else None,
                celsius=_celsius(state, stage.at, done.started if done else state.since),
            )
        )
    return tuple(found)


def _starts(log: PlateLog) -> dict[str, str]:
    """Return {stage: wall time of its first standing start, else of the telling that it was done}."""
    starts: dict[str, str] = {}
    told: dict[str, str] = {}
    for line in log.standing:
        if isinstance(line, ev.StageStarted):
            starts.setdefault(line.stage, line.at)
        elif isinstance(line, ev.StageEnded) and line.how != "skipped":
            told.setdefault(line.stage, line.at)
    return told | starts


def _was_begun(state: PlateState, index: int, done: Done | None, times: dict[str, str]) -> bool:
    if done is not None:
        return done.how != "skipped" or done.stage in times
    return index == state.index and (state.phase == "running" or state.process.stages[index].name in times)


def _celsius(state: PlateState, source: str | None, instant: float) -> float | None:
    """Return the temperature that counted for a stage, read or typed; an assumed one is none."""
    found: tuple[float, str] | None = None
    for at, celsius, origin in state.temperatures.get(source or "", ()):
        if found is not None and at > instant:
            break
        found = (celsius, origin)
    return None if found is None or found[1] == "assumed" else found[0]


def _instant(at: str) -> float | None:
    try:
        time = datetime.fromisoformat(at)
        return (time if time.tzinfo else time.replace(tzinfo=UTC)).timestamp()
    except (ValueError, OverflowError):
        return None
