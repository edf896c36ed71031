"""The fields of the exposure page: what the time is reckoned from, and what the form of a plate says.

The fields of the plate form keep its names, so that what is typed here can stand there.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime

from msgspec.structs import replace

from darkroom.exposure.kit import Kit
from darkroom.exposure.steps import MOST_PROPOSED, USUAL
from darkroom.process.text.clock_times import clock_time
from darkroom.process.text.lens_words import magnification
from darkroom.process.text.numbers import plain, whole
from darkroom.screens.kit_options import offer_kit
from darkroom.screens.scene_fields import scene_field
from darkroom.screens.widgets.form import Field, Form
from darkroom.session import plate_form
from darkroom.session.plate_form import PlateForm

SOURCES = {"plates": "my plates", "plate": "one plate", "meter": "a meter", "sun": "the sun"}
"""{what the time is reckoned from: how the field shows it}."""
FORM_FIELDS = (
    "light", "ev", "place", "receiver", "sky", "lens", "aperture", "draw", "filter", "other", "collodion",
)  # fmt: skip
"""The fields that the plate form has too."""
_ONLY = {
    "plate": ("plate",),
    "stops": ("plate",),
    "speed": ("meter", "sun"),
    "ev": ("plates", "plate", "meter"),
    "place": ("plates", "plate", "sun"),
    "at": ("plates", "plate", "sun"),
    "receiver": ("plates", "plate", "sun"),
    "sky": ("plates", "plate", "sun"),
}
"""{field: the sources that ask for it}; every other field is asked for all of them."""

NAMED = ("light", "place", "lens", "aperture")
"""The fields that offer names of the kit."""
AS_ON_PLATE = "as on that plate"
_AS_ON_PLATE = ("light", "ev", "lens", "aperture", "draw", "filter", "other", "collodion")


def all_fields(form: PlateForm, kit: Kit, source: str, plate: str) -> list[Field]:
    """Return every field of the page, filled from a plate form; `plate` is the plate to begin from."""
    fields = [
        Field("source", "reckon from", "Left and right change this.", value=source, options=tuple(SOURCES),
              closed=True, show=_source),
        Field("plate", "plate", "Its number or id: its own time, and what changes from it to the next.",
              value=plate, assumed="the latest"),
        Field("stops", "more or less, stops", "+1 doubles its time, -1/2 shortens it.", check=stops),
        Field("speed", "speed, ISO", "The plate's own under this light. Empty: as your plates say.",
              check=speed),
        scene_field("light"),
        scene_field("ev"),
        scene_field("place"),
        Field("at", "time there", "14:30, or 2026-06-21 14:30. Empty: now.", check=_time, assumed="now"),
        *map(scene_field, ("receiver", "sky", "lens", "aperture", "draw")),
        Field("size", "or picture's size", "Of the picture against the thing: 1/2, 1:4, or 1 for life size.",
              check=magnification),
        *map(scene_field, ("filter", "other", "collodion")),
        Field("strips", "test plate's strips", "How many, 3 to 8. Empty: by how wide the interval is.",
              check=strips),
    ]  # fmt: skip
    for field in fields:
        if field.id in FORM_FIELDS:
            field.value = field.was = str(getattr(form, field.id))
            field.check = plate_form.reader(field.id)
    offer_kit(fields, kit, NAMED)
    return fields


def shown_fields(fields: Sequence[Field], source: str) -> list[Field]:
    """Return the fields that are asked for with this source; each shows what holds while it is empty."""
    for field in fields:
        if field.id in _AS_ON_PLATE:
            field.assumed = AS_ON_PLATE if source == "plate" else ""
    return [field for field in fields if source in _ONLY.get(field.id, (source,))]


def mistake(form: Form) -> str | None:
    """Return what is wrong with the first field that cannot be read, with its name; None when all can."""
    for field in form.fields:
        wrong = field.mistake()
        if wrong is not None:
            return f"{field.label}: {wrong}"
    return None


def plate_form_of(form: PlateForm, fields: Sequence[Field]) -> PlateForm:
    """Return the plate form with what these fields say; fields that are not asked for say nothing."""
    said = {field.id: field.value for field in fields}
    return replace(form, **{name: said.get(name, "") for name in FORM_FIELDS})


def value_of(fields: Sequence[Field], name: str) -> str:
    """Return the text of a field, "" for one that is not asked for."""
    return next((field.value.strip() for field in fields if field.id == name), "")


def stops(text: str) -> float:
    """Return stops of exposure for "+1", "-1/2", "2/3". Raises QuantityError."""
    return plain(text, least=-10.0, most=10.0, what="stops, such as +1 or -1/2,")


def speed(text: str) -> float:
    """Return a speed on the ISO scale. Raises QuantityError."""
    return plain(text, least=0.001, most=10000.0, what="a speed on the ISO scale")


def strips(text: str) -> int:
    """Return how many strips a test plate is to have. Raises QuantityError."""
    return whole(text, least=USUAL[0], most=MOST_PROPOSED, what="strips")


def _source(source: str) -> str:
    return SOURCES.get(source, source)


def _time(text: str) -> datetime:
    return clock_time(text, datetime(2000, 1, 1, tzinfo=UTC))
