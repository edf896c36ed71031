"""Which bottles a plate takes: those it began with, and those that were chosen since. Pure."""

from __future__ import annotations

import msgspec

from darkroom.bench import events as ev
from darkroom.bench.state import BottleChange, PlateState


class Bottle(msgspec.Struct, frozen=True, kw_only=True):
    """A bottle as a journal names it: by its id, by its name, or by both."""

    id: str | None = None
    name: str | None = None


def with_change(state: PlateState, index: int, line: ev.StageStarted) -> tuple[BottleChange, ...]:
    """Return the changes of a plate's bottles, with that of the stage at `index` which begins."""
    if not line.bottle_ids and not line.bottles:
        return state.bottle_changes
    return (*state.bottle_changes, BottleChange(index, line.bottle_ids or {}, line.bottles or {}))


def bottle_at(state: PlateState, role: str, index: int | None = None) -> Bottle | None:
    """Return the bottle in a role at the stage at `index`, or as it stands last; None where none is named."""
    return bottles_at(state, index).get(role)


def bottles_at(state: PlateState, index: int | None = None) -> dict[str, Bottle]:
    """Return {role: bottle} at the stage at `index` of the process, or as they stand last.

    A change holds for its own stage and those after it. A bottle that was changed without its name has
    none, for the old name is another bottle's.
    """
    found = named(state.start.bottle_ids, state.start.bottles)
    for change in state.bottle_changes:
        if index is None or change.index <= index:
            found |= named(change.ids, change.names)
    return found


def named(ids: dict[str, str] | None, names: dict[str, str] | None) -> dict[str, Bottle]:
    """Return {role: bottle} of two members of a line; what is empty names none."""
    by_role = {_role(role): Bottle(name=name.strip()) for role, name in (names or {}).items() if name.strip()}
    for role, bottle_id in (ids or {}).items():
        known = by_role.get(_role(role), Bottle())
        if bottle_id.strip():
            by_role[_role(role)] = Bottle(id=bottle_id.strip(), name=known.name)
    return by_role


def _role(word: str) -> str:
    return word.strip().casefold()
