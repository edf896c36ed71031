"""The bottles that the form of a plate names: which of the book they are, and which are still there. Pure.

A bottle is chosen once and kept for the plates after it, today and on other days; one that is not at hand any
more is dropped.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from darkroom.bench.bottles_at_hand import ROLE_NAMES, BottleAtHand, only_one, roles_before_rack, serving
from darkroom.process.model import Process
from darkroom.session.plate_form import PlateForm

FIELD = "bottle "
"""A field's id is this and the role of the bottle; the collodion's field has its own, see `field_of`."""
COLLODION = "collodion"


def field_of(role: str) -> str:
    """Return the id of the field that holds the name of the bottle of a role."""
    return COLLODION if role == COLLODION else FIELD + role


def role_of(field: str) -> str | None:
    """Return the role of the bottle that a field of `field_of` names; None for another field."""
    if field == COLLODION:
        return COLLODION
    return field.removeprefix(FIELD) if field.startswith(FIELD) else None


def named(form: PlateForm, role: str) -> str:
    """Return the name that stands in the form for a role, "" without one."""
    return form.collodion if role == COLLODION else form.bottles.get(role, "")


def name_bottles(
    form: PlateForm,
    names: Mapping[str, str],
    bottles: Sequence[BottleAtHand],
    known: PlateForm,
    process: Process | None,
) -> None:
    """Put into the form the bottles that {role: name} means, those that have no row as they are in `known`.

    It is for a plate of this process, None while that cannot be read.

    A name means the bottle at hand that has it; while the book is not read, the one that it meant in
    `known`. One that means neither, such as a collodion that was typed, is no bottle of the book.
    """
    form.bottles, form.bottle_ids = dict(known.bottles), dict(known.bottle_ids)
    form.no_bottles = list(known.no_bottles)
    for role, name in names.items():
        before = known.bottle_ids.get(role) if known.bottles.get(role) == name else None
        found = next((bottle.id for bottle in serving(bottles, role, process) if bottle.name == name), before)
        if name and found is not None:
            form.bottles[role], form.bottle_ids[role] = name, found
        else:
            form.bottles.pop(role, None)
            form.bottle_ids.pop(role, None)


def keep_chosen(form: PlateForm, last: PlateForm) -> None:
    """Put the bottles that were chosen last into a form that names none, such as one of the command line."""
    form.bottles, form.bottle_ids, form.no_bottles = last.bottles, last.bottle_ids, last.no_bottles
    if not form.collodion and COLLODION in last.bottle_ids:
        form.collodion = last.bottles.get(COLLODION, "")


def choose(form: PlateForm, role: str, bottle: BottleAtHand) -> None:
    """Put a bottle of the book into the form."""
    form.bottles = {**form.bottles, role: bottle.name}
    form.bottle_ids = {**form.bottle_ids, role: bottle.id}
    form.no_bottles = [each for each in form.no_bottles if each != role]
    if role == COLLODION:
        form.collodion = bottle.name


def keep_at_hand(form: PlateForm, bottles: Sequence[BottleAtHand]) -> list[str]:
    """Drop the bottles that are gone from the form, take new names; return the roles that changed."""
    changed = []
    for role, bottle_id in list(form.bottle_ids.items()):
        found = next((bottle for bottle in serving(bottles, role, None) if bottle.id == bottle_id), None)
        name = form.bottles.get(role, "")
        if found is not None and found.name == name:
            continue
        changed.append(role)
        if found is not None:
            if role == COLLODION and form.collodion == name:
                form.collodion = found.name
            form.bottles = {**form.bottles, role: found.name}
            continue
        _drop(form, role)
    return changed


def settle(form: PlateForm, bottles: Sequence[BottleAtHand], process: Process) -> None:
    """Put into the form what a plate of this process takes of the bottles at hand.

    A bottle that does not fit the process is dropped; the only one in use for a role is taken where nothing
    was chosen, and the hand did not choose none.
    """
    for role in roles_before_rack(process):
        chosen = next((bottle for bottle in bottles if bottle.id == form.bottle_ids.get(role)), None)
        if chosen is not None and not chosen.fits(role, process):
            _drop(form, role)
        only = only_one(bottles, role, process)
        if only is not None and not named(form, role) and role not in form.no_bottles:
            choose(form, role, only)


def not_chosen(
    names: Mapping[str, str], bottles: Sequence[BottleAtHand], process: Process
) -> tuple[str, ...]:
    """Return the roles that have a bottle at hand and none in {role: name}, before the rack."""
    return tuple(
        role for role in roles_before_rack(process) if not names.get(role) and serving(bottles, role, process)
    )


def not_counted(roles: Sequence[str]) -> str:
    """Return what is said of roles for which no bottle is chosen, "" without one."""
    if not roles:
        return ""
    bottles = " or ".join(f"{ROLE_NAMES[role]} bottle" for role in roles)
    return f"no {bottles} is chosen: {'it is' if len(roles) == 1 else 'they are'} not counted"


def _drop(form: PlateForm, role: str) -> None:
    """Take the bottle of a role out of the form."""
    if role == COLLODION and form.collodion == form.bottles.get(role):
        form.collodion = ""
    form.bottles = {key: text for key, text in form.bottles.items() if key != role}
    form.bottle_ids = {key: text for key, text in form.bottle_ids.items() if key != role}
