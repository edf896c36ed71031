"""Another bottle for plates that have not come to it yet. Pure.

A plate's first line says which bottles it takes. A bottle that is chosen later, at noon or when the plate
leaves the rack, waits in the bench (`Bench.changed_bottles`) until the stage that uses it begins: that
stage's line says it. Until then nothing was used, and the journal says nothing.
"""

from __future__ import annotations

from msgspec.structs import replace

from darkroom.bench import events as ev
from darkroom.bench.all_plates import NEW, Bench, with_start
from darkroom.bench.bottles import bottle_at
from darkroom.bench.bottles_at_hand import BottleAtHand, roles_before_rack, serving
from darkroom.bench.intents import Decision
from darkroom.bench.state import PlateState
from darkroom.process.uses import bottle_role


def with_at_hand(bench: Bench, bottles: tuple[BottleAtHand, ...]) -> Bench:
    """Return the bench with these bottles at hand; the plate that has not begun loses those that are gone."""
    bench = replace(bench, bottles=bottles)
    state = bench.plates.get(NEW)
    ids = {} if state is None else state.start.bottle_ids or {}
    there = {bottle.id for bottle in bottles}
    gone = {role for role, bottle_id in ids.items() if bottle_id not in there}
    if state is None or not gone:
        return bench
    names = state.start.bottles or {}
    start = replace(
        state.start,
        bottles={role: name for role, name in names.items() if role not in gone} or None,
        bottle_ids={role: bottle_id for role, bottle_id in ids.items() if role not in gone} or None,
    )
    return with_start(bench, start)


def is_to_come(state: PlateState, role: str) -> bool:
    """Return whether a stage that uses a bottle of this role is still to begin."""
    if state.phase == "ended":
        return False
    first = state.index + 1 if state.phase == "running" else state.index
    stages = state.process.stages
    return any(bottle_role(state.process, stage) == role for stage in stages[first:])


def with_bottle(bench: Bench, role: str, bottle: BottleAtHand, plate: str | None = None) -> Bench:
    """Return the bench with another bottle for every plate whose stage of that role is still to begin.

    Racked plates are left as they are: what they take is chosen when they leave the rack. With `plate` it is
    that plate alone, racked or not.
    """
    meant = [state for state in bench.plates.values() if not state.racked] if plate is None else []
    if plate is not None and plate in bench.plates:
        meant = [bench.plates[plate]]
    changed = dict(bench.changed_bottles)
    for state in meant:
        if not is_to_come(state, role):
            continue
        if state.plate == NEW:
            if role in roles_before_rack(state.process):
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


def offered(bench: Bench, role: str) -> tuple[BottleAtHand, ...]:
    """Return the bottles at hand for a role."""
    return serving(bench.bottles, role)
