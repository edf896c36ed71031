"""The fields of the home screen: from the plate form of the session to texts under the hand, and back."""

from __future__ import annotations

from collections.abc import Sequence

from darkroom.process.model import SOURCES
from darkroom.screens.widgets.form import Field
from darkroom.screens.widgets.rows import clip
from darkroom.session import plate_form
from darkroom.session.plate_form import PlateForm

YES_NO = ("yes", "no")


def left_fields(form: PlateForm, processes: Sequence[str]) -> list[Field]:
    """Return the fields of the left column: the process, the plate and its exposure."""
    fields = [
        Field(
            "process",
            "process",
            "Left and right choose; enter puts a plate on the bench.",
            options=processes,
            closed=True,
        ),
        Field("subject", "subject", "What is on the plate."),
        Field("who", "who", "Who makes it."),
        Field("size", "plate size", "As you name it: half plate, 4x5, 18x24 cm."),
        Field("lens", "lens"),
        Field("aperture", "aperture", "f/4, or the stop you put in."),
        Field("light", "light", "Open shade, north window, what the meter says."),
        Field(
            "exposure", "exposure", "8 s · steps 2,2,4 · 2,2,4 strike · 4 flashes 20 s · empty: counts up."
        ),
        Field("timed", "reach keys", "Can you reach the keys from the camera?", options=YES_NO, closed=True),
        Field("carry", "carrying back", "How long from the camera to the developer."),
    ]
    return _filled(fields, form)


def right_fields(form: PlateForm) -> list[Field]:
    """Return the fields of the right column: what was read, and how the clocks are to go."""
    fields = [
        *(
            Field(
                f"temperature {source}", source, "°C, or 68 F. Left empty, the process says what it assumes."
            )
            for source in SOURCES
        ),
        Field("humidity", "humidity", "Per cent of the room, or damp, ordinary, dry, very dry."),
        Field("wet", "stays wet", "Your own time from bath to developer. Left empty, it is estimated."),
        Field(
            "prepare",
            "time cleaning",
            "Does the clock run for the first, optional stages too?",
            options=YES_NO,
            closed=True,
        ),
        Field(
            "daylight",
            "in daylight",
            "Does this screen stand in daylight? Back to red at each start.",
            options=YES_NO,
            closed=True,
        ),
    ]
    return _filled(fields, form)


def _filled(fields: list[Field], form: PlateForm) -> list[Field]:
    for field in fields:
        field.value = _text(form, field.id)
        field.check = plate_form.reader(field.id)
    return fields


def _text(form: PlateForm, field: str) -> str:
    if field.startswith("temperature "):
        return form.temperatures.get(field.removeprefix("temperature "), "")
    if field in ("prepare", "daylight"):
        return "yes" if getattr(form, field) else "no"
    if field == "timed":
        return "no" if form.timed == "away" else "yes"
    return clip(str(getattr(form, field)), 200)


def plate_form_of(values: dict[str, str]) -> PlateForm:
    """Return the plate form that {field id: text} means."""
    form = PlateForm(temperatures={})
    for key, value in values.items():
        if key.startswith("temperature "):
            form.temperatures[key.removeprefix("temperature ")] = value
        elif key in ("prepare", "daylight"):
            setattr(form, key, value == "yes")
        elif key == "timed":
            form.timed = "here" if value == "yes" else "away"
        else:
            setattr(form, key, value)
    return form
