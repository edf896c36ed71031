"""The rows of the home form that choose bottles of the book: one a role for which there are any.

A row comes with the book, which is read in a thread, or at once where a bottle was chosen before.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from darkroom.bench.bottles_at_hand import ROLE_NAMES, BottleAtHand, only_one, roles_before_rack, serving
from darkroom.process.model import Process
from darkroom.screens.bottles_at_hand import BottlesAtHand
from darkroom.screens.scene_fields import scene_field
from darkroom.screens.widgets.form import Field
from darkroom.session.bottle_choice import COLLODION, FIELD, field_of, name_bottles, named, role_of
from darkroom.session.plate_form import PlateForm

COLUMN = 16
"""So many fields of a column show at once on a screen of 24 rows."""
NOT_CHOSEN = "not chosen"
CHOSEN_OR_TYPED = "Left and right: a bottle of the book. Another is typed: C-4 2026-05-02."


def labelled(role: str) -> str:
    """Return the label of a role's row."""
    return f"{ROLE_NAMES[role]} bottle"


class BottleRows:
    """The rows of one form, and the bottles that were chosen before it was opened."""

    def __init__(self, form: PlateForm) -> None:
        """`form` holds what was chosen before."""
        self._taken: dict[str, str] = {}
        """{role: id of the only bottle that its row took}: a row that is empty after that was emptied."""
        self.remember(form)

    def remember(self, form: PlateForm) -> None:
        """Take what is chosen now."""
        self._before = PlateForm(
            bottles=form.bottles,
            bottle_ids=form.bottle_ids,
            no_bottles=form.no_bottles,
            collodion=form.collodion,
        )

    def note_hand(self, fields: Sequence[Field], name: str, form: PlateForm) -> None:
        """Note in `form`, which is remembered, whether the hand chose none in the row of this id."""
        role = role_of(name)
        field = next((field for field in fields if field.id == name), None)
        if role is None or field is None:
            return
        chose_none = not field.value and any(field.options)
        others = [each for each in form.no_bottles if each != role]
        form.no_bottles = [*others, role] if chose_none else others
        self._before.no_bottles = form.no_bottles

    def place(
        self, left: list[Field], right: list[Field], process: Process | None, known: BottlesAtHand
    ) -> None:
        """Put a row for each role below the columns, which are changed, and offer the bottles at hand in it.

        Until the process is read every bottle that was chosen before has its row.
        """
        bottles, form = known.known.at_hand, self._before
        is_known = known.is_read and known.known.is_there
        chosen = {} if is_known else form.bottle_ids
        rows = {field.id: field for field in (*left, *right) if field.id.startswith(FIELD)}
        left[:] = [field for field in left if field.id not in rows]
        right[:] = [field for field in right if field.id not in rows]
        for role in _roles(process, bottles, chosen):
            field = rows.get(field_of(role)) or Field(
                field_of(role),
                labelled(role),
                value=named(form, role),
                closed=True,
            )
            (left if len(left) < max(COLUMN, len(right) + 1) else right).append(field)
        for field in (*left, *right):
            filled = role_of(field.id)
            if filled is not None:
                fitting = serving(bottles, filled, process)
                if is_known:
                    self._drop_gone(field, filled, fitting, serving(bottles, filled, None))
                if is_known and process is not None:
                    self._take_only(field, filled, bottles, process)
                offer(field, filled, fitting)
                bottle = next((each for each in fitting if each.name == field.value), None)
                if bottle is not None and not bottle.ripening:
                    field.hint = f"{bottle.name}: {known.told(bottle)}"

    def _drop_gone(
        self, field: Field, role: str, fitting: Sequence[BottleAtHand], there: Sequence[BottleAtHand]
    ) -> None:
        """Empty a row whose bottle is not at hand any more, or does not fit the process.

        One that is called otherwise has its name. `there` are those at hand that fit or not.
        """
        chosen = self._before.bottles.get(role)
        if not field.value or any(each.name == field.value for each in fitting):
            return
        if field.value == chosen:
            bottle_id = self._before.bottle_ids.get(role)
            field.value = next((each.name for each in fitting if each.id == bottle_id), "")
        elif any(each.name == field.value for each in there):
            field.value = ""
        if not field.value:
            self._taken.pop(role, None)

    def _take_only(self, field: Field, role: str, bottles: Sequence[BottleAtHand], process: Process) -> None:
        """Fill a row for which nothing was chosen with the only bottle in use that fits."""
        if field.value or role in self._before.no_bottles or role not in roles_before_rack(process):
            return
        only = only_one(bottles, role, process)
        if only is not None and self._taken.get(role) != only.id:
            field.value, self._taken[role] = only.name, only.id

    def name(
        self,
        form: PlateForm,
        values: Mapping[str, str],
        bottles: Sequence[BottleAtHand],
        process: Process | None,
    ) -> None:
        """Put the bottles that {field id: text} names into the form of a plate of this process."""
        names = {role: text for field, text in values.items() if (role := role_of(field)) is not None}
        name_bottles(form, names, bottles, self._before, process)


def _roles(process: Process | None, bottles: Sequence[BottleAtHand], chosen: Mapping[str, str]) -> list[str]:
    """Return the roles that have a row of their own: those with a bottle at hand, or one that was chosen."""
    if process is None:
        return [role for role in ROLE_NAMES if role in chosen and role not in (COLLODION, "varnish")]
    return [
        role
        for role in roles_before_rack(process)
        if role != COLLODION and (role in chosen or serving(bottles, role, process))
    ]


def offer(field: Field, role: str, fitting: Sequence[BottleAtHand]) -> None:
    """Offer the bottles of a role in its row: left and right choose one."""
    names = tuple(bottle.name for bottle in fitting)
    ripening = {bottle.name for bottle in fitting if bottle.ripening}
    other = (field.value,) if field.value and field.value not in names else ()
    field.empty = f"{NOT_CHOSEN} ({len(names)})" if len(names) > 1 else NOT_CHOSEN
    field.assumed = field.empty if names else ""
    field.show = lambda name: f"{name}, ripening" if name in ripening else name
    if role == COLLODION:
        field.options = (*names, *(other or ("",))) if names else ()
        field.hint = CHOSEN_OR_TYPED if names else scene_field(COLLODION).hint
    else:
        field.options = ("", *other, *names)
        field.hint = f"Left and right: the {ROLE_NAMES[role]} that plates take from now on. F12: all bottles."
    if field.value in ripening:
        field.hint = f"{field.value} ripens: it is not ready. Left and right choose another."
