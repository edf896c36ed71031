"""What fields of a form offer of the photographer's kit: left and right go through its names.

A name that is not of the kit is typed as before, and stays among what is offered.
"""

from __future__ import annotations

from collections.abc import Sequence

from darkroom.errors import QuantityError
from darkroom.exposure.kit import Kit, Lens
from darkroom.process.scene import LIGHT_KINDS
from darkroom.screens.widgets.form import Field

OFFERED = "Left and right go through those of your kit; or type."
"""The hint of a field that offers names of the kit."""
FIELDS = ("lens", "aperture", "light", "camera", "place", "size")
"""The fields of a plate's form that hold a name of the kit."""


def kit_names(field: str, kit: Kit, lens: str) -> tuple[str, ...]:
    """Return the names that a field offers: of the kit, for a light also the plain kinds.

    `lens` is the name that stands in the field of the lens: the stops are those of that one.
    """
    of_lens = kit.lens(lens)
    things: dict[str, Sequence[str]] = {
        "lens": [each.name for each in kit.lenses],
        "aperture": [] if of_lens is None else [stop.name for stop in of_lens.stops],
        "light": [each.name for each in kit.lights],
        "camera": [each.name for each in kit.cameras],
        "place": [each.name for each in kit.places],
        "size": [each.name for each in kit.plates],
    }
    own = things.get(field, ())
    return (*own, *(kind for kind in LIGHT_KINDS if kind not in own)) if field == "light" else tuple(own)


def offer_kit(fields: Sequence[Field], kit: Kit, named: Sequence[str] = FIELDS) -> None:
    """Make the names of the kit the options of the fields in `named`, with what was typed there."""
    values = {field.id: field.value for field in fields}
    for field in fields:
        if field.id in named:
            _offer(field, kit_names(field.id, kit, values.get("lens", "")))
        if field.id == "aperture" and field.options:
            field.hint = _stop_read(kit.lens(values.get("lens", "")), field.value) or OFFERED


def _stop_read(lens: Lens | None, name: str) -> str:
    """Return "no. 2 is f/8.08." for a stop of the lens, "" for another word."""
    if lens is None or lens.stop(name) is None:
        return ""
    from darkroom.exposure.factors import f_number_at  # not before the first frame

    try:
        number = f_number_at(lens, name)
    except QuantityError:
        return ""
    return "" if number is None else f"{name.strip()} is f/{number:.3g}. {OFFERED}"


def _offer(field: Field, names: tuple[str, ...]) -> None:
    if not names:
        field.options = ()
        return
    offered = ("", *names)
    if tuple(field.options[: len(offered)]) != offered or field.value not in field.options:
        typed = () if field.value in offered else (field.value,)
        field.options = (*offered, *typed)
        if names != LIGHT_KINDS:
            field.hint = OFFERED
