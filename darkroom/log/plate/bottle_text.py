"""The bottles of a plate in words: those that it takes, also where they were chosen after it began."""

from __future__ import annotations

from darkroom.bench import bottles
from darkroom.bench import events as ev
from darkroom.bench.bottles import Bottle
from darkroom.bench.state import PlateState
from darkroom.log.plate.record import PlateRecord
from darkroom.process.uses import places, role_text


def taken(state: PlateState | None, start: ev.PlateStarted | None) -> dict[str, Bottle]:
    """Return {role: bottle} of a plate, each as it stands at the stage that uses it. Raises nothing.

    `state` is None where its lines fold to none, `start` where its first line is lost. What is no role of
    the process is kept.
    """
    if state is None:
        return bottles.named(start.bottle_ids, start.bottles) if start else {}
    if not state.bottle_changes:
        return bottles.bottles_at(state)
    found = bottles.bottles_at(state)
    at_stage: dict[str, Bottle] = {}
    for index, role in places(state.process):
        bottle = bottles.bottle_at(state, role, index)
        if bottle is not None:
            at_stage.setdefault(role, bottle)
    return found | at_stage


def names(record: PlateRecord) -> dict[str, str]:
    """Return {role: name}, the id where a bottle has no name in the journal."""
    return {
        role: bottle.name or bottle.id or "" for role, bottle in taken(record.state, record.log.start).items()
    }


def ids(record: PlateRecord) -> dict[str, str]:
    """Return {role: id} of the bottles whose id is known."""
    return {role: bottle.id for role, bottle in taken(record.state, record.log.start).items() if bottle.id}


def names_text(record: PlateRecord) -> str:
    """Return the bottles as `collodion C-4, second fixer F-2`."""
    return ", ".join(f"{role_text(role)} {name}" for role, name in names(record).items())


def ids_text(record: PlateRecord) -> str:
    """Return the ids of the bottles in the same form."""
    return ", ".join(f"{role_text(role)} {bottle}" for role, bottle in ids(record).items())
