"""Names typed for a plate that are nearly known ones, and places that are none: said, never refused."""

from __future__ import annotations

from collections.abc import Iterable

from darkroom.exposure.judged import Conditions
from darkroom.exposure.kit import Kit, name_key
from darkroom.exposure.near_names import known_names, near_name
from darkroom.session.plate_form import PlateForm


def name_remarks(
    form: PlateForm, kit: Kit, plates: Iterable[Conditions] = (), under_hand: str = ""
) -> dict[str, str]:
    """Return {field: remark} for names of the form that the kit, and these plates, have nearly or not at all.

    In the field `under_hand` the beginning of a known name is one that is still being typed.
    """
    known = known_names(kit, plates)
    known["camera"] = [each.name for each in kit.cameras]
    known["place"] = [each.name for each in kit.places]
    lens = kit.lens(form.lens)
    known["aperture"] = [] if lens is None else [stop.name for stop in lens.stops]
    remarks: dict[str, str] = {}
    for field in ("light", "lens", "aperture", "place", "collodion", "camera"):
        typed = str(getattr(form, field)).strip()
        if not typed or (field == under_hand and _begins(typed, known[field])):
            continue
        near = near_name(typed, known[field])
        hint = "" if near is None else f": did you mean '{near}'?"
        if field == "place" and kit.place(typed) is None:
            remarks[field] = f"no place of kit.yaml is called {typed}{hint}"
        elif near is not None:
            what = "stop of this lens" if field == "aperture" else field
            remarks[field] = f"no {what} is called {typed} yet{hint}"
    return remarks


def _begins(typed: str, names: Iterable[str | None]) -> bool:
    return any(name_key(name).startswith(name_key(typed)) for name in names if name)
