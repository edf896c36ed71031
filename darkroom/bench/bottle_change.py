"""Another bottle for plates that have not come to it yet. Pure.

A plate's first line says which bottles it takes. A bottle that is chosen later, at noon or when the plate
leaves the rack, waits in the bench (`Bench.changed_bottles`) until the stage that uses it begins: that
stage's line says it. Until then nothing was used, and the journal says nothing.
"""

from __future__ import annotations

from collections.abc import Collection

from msgspec.structs import replace

from darkroom.bench import events as ev
from darkroom.bench.all_plates import NEW, Bench, with_start
from darkroom.bench.bottles import bottle_at
from darkroom.bench.bottles_at_hand import BottleAtHand, only_one, roles_before_rack
from darkroom.bench.intents import Decision
from darkroom.bench.state import PlateState
from darkroom.process.uses import bottle_role


def with_at_hand(bench: Bench, bottles: tuple[BottleAtHand, ...], none: Collection[str] = ()) -> Bench:
    """Return the bench with these bottles at hand.

    The plate that has not begun loses those that are gone or do not fit, and takes the only one of a role for
    which nothing was chosen; `none` are the roles for which the hand chose none.
    """
    bench = replace(bench, bottles=bottles)
    state = bench.plates.get(NEW)
    if state is None:
        return bench
    ids, names = dict(state.start.bottle_ids or {}), dict(state.start.bottles or {})
    for role, bottle_id in list(ids.items()):
        found = at_hand(bench, bottle_id)
        if found is None or not found.fits(role, state.process):
            del ids[role]
            names.pop(role, None)
    for role in roles_before_rack(state.process):
        only = only_one(bottles, role, state.process)
        if only is not None and role not in ids and role not in names and role not in none:
            ids[role], names[role] = only.id, only.name
    return with_start(bench, replace(state.start, bottles=names or None, bottle_ids=ids or None))


def is_to_come(state: PlateState, role: str) -> bool:
    """Return whether a stage that uses a bottle of this role is still to begin."""
    if state.phase == "ended":
        return False
    first = state.index + 1 if state.phase == "running" else state.index
    stages = state.process.stages
    return any(bottle_role(state.process, stage) == role for stage in stages[first:])


def takes(state: PlateState, role: str, bottle: BottleAtHand) -> bool:
    """Return whether a plate would take this bottle when it is changed for one now."""
    if state.plate == NEW and role not in roles_before_rack(state.process):
        return False
    return is_to_come(state, role) and bottle.fits(role, state.process)


def with_bottle(bench: Bench, role: str, bottle: BottleAtHand, plate: str | None = None) -> Bench:
    """Return the bench with another bottle for every plate whose stage of that role is still to begin.

    Racked plates are left as they are: what they take is chosen when they leave the rack. With `plate` it is
    that plate alone, racked or not. A plate of a process that the bottle does not fit keeps its own.
    """
    meant = [state for state in bench.plates.values() if not state.racked] if plate is None else []
    if plate is not None and plate in bench.plates:
        meant = [bench.plates[plate]]
    changed = dict(bench.changed_bottles)
    for state in meant:
        if not takes(state, role, bottle):
            continue
        if state.plate == NEW:
            bench = with_start(bench, _with_choice(state.start, role, bottle))
            continue
        changed[state.plate] = {**changed.get(state.plate, {}), role: bottle.id}
    return replace(bench, changed_bottles=changed)


def without_choice(bench: Bench, role: str, plate: str) -> Bench:
    """Return the bench with no bottle of this role waiting for a plate: it takes one that is in no book."""
    waiting = bench.changed_bottles.get(plate, {})
    kept = {other: bottle_id for other, bottle_id in waiting.items() if other != role}
    return replace(bench, changed_bottles={**bench.changed_bottles, plate: kept})


def _with_choice(start: ev.PlateStarted, role: str, bottle: BottleAtHand) -> ev.PlateStarted:
    return replace(
        start,
        bottles={**(start.bottles or {}), role: bottle.name},
        bottle_ids={**(start.bottle_ids or {}), role: bottle.id},
    )


def chosen_for(bench: Bench, plate: str, role: str) -> str | None:
    """Return the id of the bottle of this role that a plate on the bench takes, or took; None: not said."""
    state = bench.plates[plate]
    waiting = bench.changed_bottles.get(plate, {}).get(role)
    if waiting is not None and is_to_come(state, role):
        return waiting
    known = bottle_at(state, role)
    return None if known is None else known.id


def with_changed_bottles(bench: Bench, decision: Decision) -> Decision:
    """Return the decision with the changed bottle in the line of each stage that begins and uses it."""
    if not bench.changed_bottles or not decision.events:
        return decision
    events = tuple(
        (plate, tuple(_with_ids(bench, plate, line) for line in lines)) for plate, lines in decision.events
    )
    return replace(decision, events=events)


def _with_ids(bench: Bench, plate: str, line: ev.AnyEvent) -> ev.AnyEvent:
    changed = bench.changed_bottles.get(plate)
    state = bench.plates.get(plate)
    if not changed or state is None or not isinstance(line, ev.StageStarted):
        return line
    role = bottle_role(state.process, state.process.stage(line.stage))
    if role is None or role not in changed:
        return line
    known = bottle_at(state, role)
    if known is not None and known.id == changed[role]:
        return line
    found = at_hand(bench, changed[role])
    names = None if found is None else {role: found.name}
    return replace(line, bottle_ids={role: changed[role]}, bottles=names)


def at_hand(bench: Bench, bottle_id: str | None) -> BottleAtHand | None:
    """Return the bottle of this id where it is at hand."""
    return next((bottle for bottle in bench.bottles if bottle.id == bottle_id), None)
