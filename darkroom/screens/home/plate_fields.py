"""The fields of the home screen: from the plate form of the session to texts under the hand, and back.

What a field asks stands in its label, with the unit of a bare number; what holds while it is empty stands in
the field itself.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from darkroom.bench import clocks
from darkroom.bench.carrying import Carrying
from darkroom.process import conditions
from darkroom.process.model import SOURCES, Process
from darkroom.process.text.durations import show_duration
from darkroom.process.text.humidity import HUMIDITY_WORDS
from darkroom.screens.scene_fields import scene_field
from darkroom.screens.widgets.form import Field
from darkroom.screens.widgets.rows import clip
from darkroom.session import plate_form, plate_wet
from darkroom.session.bottle_choice import FIELD
from darkroom.session.plate_form import PlateForm

YES_NO = ("yes", "no")
WHERE_SAID = ("other", "receiver", "sky")
"""Fields that are asked for on the exposure page, and stand here where something is said."""
FLAGS = ("prepare", "damp_pad")
"""The fields that say yes or no about the plate."""
DAYLIGHT = "daylight"
"""The field about the screen, not the plate."""
CHANGED_BY = "Left and right change this; enter puts the plate on the bench."
"""Said of a key that types, in a field where nothing is typed."""
EXPOSURE_HINT = "8 s · 2,2,4 · 2,2,4 press · 2,2,4 pause 3 s · 4 flashes 20 s · empty counts up"
TEMPERATURE_LABELS = {
    "room": "room, °C",
    "bath": "silver bath, °C",
    "developer": "developer, °C",
    "water": "water, °C",
    "fixer": "fixer, °C",
}


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
        Field("who", "made by", "Who makes the plate."),
        Field("size", "plate size", "As you name it: half plate, 4x5, 18x24 cm."),
        *map(scene_field, ("lens", "aperture", "draw", "filter", "light", "ev")),
        *(scene_field(name) for name in WHERE_SAID if getattr(form, name)),
        Field("exposure", "exposure, s", EXPOSURE_HINT),
        Field(
            "timed",
            "keys at the camera",
            "Can you press a key from the camera? No: one press says that you are back.",
            options=YES_NO,
            closed=True,
        ),
        Field(
            "carry", "way to developer, s", "From the camera to the developer, holder in hand: 40, or 2 min."
        ),
    ]
    return _filled(fields, form)


def right_fields(form: PlateForm, daylight: bool | None) -> list[Field]:
    """Return the fields of the right column: what was read, and how the clocks are to go.

    `daylight` is whether the screen stands in daylight, None while that cannot be said.
    """
    fields = [
        scene_field("collodion"),
        *(
            Field(
                f"temperature {source}", TEMPERATURE_LABELS[source], "What the thermometer says: 18, or 68 F."
            )
            for source in SOURCES
        ),
        Field(
            "humidity",
            "air humidity, %",
            f"Of the room: 55, or in words: {', '.join(HUMIDITY_WORDS)}.",
            options=("", *HUMIDITY_WORDS),
        ),
        Field(
            "damp_pad",
            "damp pad in holder",
            "Kept with the plate. What it gains is not known: the wet time leaves it out.",
            options=YES_NO,
            closed=True,
        ),
        Field("holder", "plate holder", "As you name it: a leak shows by its name."),
        Field("camera", "camera", "As you name it."),
        scene_field("place"),
        Field("wet", "wet time, own", "From bath to developer, by your own experience: 12 min, 8:30."),
        Field(
            "prepare",
            "clock for cleaning",
            "Are the first stages, such as cleaning the glass, on the clock too?",
            options=YES_NO,
            closed=True,
        ),
    ]
    filled = _filled(fields, form)
    if daylight is not None:
        filled.append(
            Field(
                DAYLIGHT,
                "screen in daylight",
                "Black on white, for a screen outdoors. Back to red at each start.",
                value="yes" if daylight else "no",
                options=YES_NO,
                closed=True,
            )
        )
    return filled


def with_said(fields: list[Field], name: str) -> list[Field]:
    """Return the fields of the left column with a field of `WHERE_SAID` below the light's."""
    place = next(place for place, field in enumerate(fields) if field.id == "ev") + 1
    return [*fields[:place], *_filled([scene_field(name)], PlateForm()), *fields[place:]]


def _filled(fields: list[Field], form: PlateForm) -> list[Field]:
    for field in fields:
        field.value = _text(form, field.id)
        field.check = plate_form.reader(field.id)
    return fields


def _text(form: PlateForm, field: str) -> str:
    if field.startswith("temperature "):
        return form.temperatures.get(field.removeprefix("temperature "), "")
    if field in FLAGS:
        return "yes" if getattr(form, field) else "no"
    if field == "timed":
        return "no" if form.timed == "away" else "yes"
    return clip(str(getattr(form, field)), 200)


def process_text(name: str, read: Callable[[str], Process | None]) -> str:
    """Return what the field of the process shows: a file by the name that it gives itself."""
    process = read(name) if Path(name).name != name else None
    return name if process is None else process.name


def source_of(field: str) -> str | None:
    """Return the source that a field's reading is of, "humidity" for the air; None for another field."""
    if field == "humidity":
        return field
    return field.removeprefix("temperature ") if field.startswith("temperature ") else None


def plate_form_of(values: Mapping[str, str], read_at: Mapping[str, float]) -> PlateForm:
    """Return the plate form that {field id: text} means; `read_at` is {source: wall time it was typed}.

    The bottles that the texts name are put in by `BottleRows.name`.
    """
    form = PlateForm(temperatures={})
    for key, value in values.items():
        if key.startswith("temperature "):
            form.temperatures[key.removeprefix("temperature ")] = value
        elif key in FLAGS:
            setattr(form, key, value == "yes")
        elif key == "timed":
            form.timed = "here" if value == "yes" else "away"
        elif key != DAYLIGHT and not key.startswith(FIELD):
            setattr(form, key, value)
    form.read_at = {source: read_at[source] for source in plate_form.readings(form) if source in read_at}
    return form


def assumed_texts(
    process: Process | None,
    values: Mapping[str, str],
    measured: Mapping[str, tuple[float, str]],
    way_back: Callable[[str], Carrying | None] = lambda timed: None,
) -> dict[str, str]:
    """Return {field id: what holds while it is empty} for a process and what stands in the other fields.

    `measured` is {source or "humidity": (value, where it is from)} of what a new plate takes from the bench,
    `way_back` gives the median of the log for a lens timed "here" or "away".
    """
    timed = "away" if values.get("timed") == "no" else "here"
    median = way_back(timed)
    assumed = f"{clocks.assumed_carry(timed):g} assumed"
    carry = assumed if median is None else f"{median.seconds:g} {median.origin}"
    texts = {"exposure": "counts up", "carry": carry}
    if process is None:
        return texts
    read = {source: value for source, (value, _) in measured.items()}
    for source in (*SOURCES, "humidity"):
        field = source if source == "humidity" else f"temperature {source}"
        typed = plate_wet.number_in(field, values.get(field, ""))
        if typed is not None:
            read[source] = typed
    celsius = conditions.assumed(process, {source: read[source] for source in SOURCES if source in read})
    for source in SOURCES:
        texts[f"temperature {source}"] = _holds(celsius[source], measured.get(source))
    texts["humidity"] = _holds(process.humidity, measured.get("humidity"))
    wet = plate_wet.in_air(process, read)
    if wet is not None:
        known = "room" in read and "humidity" in read
        texts["wet"] = f"{show_duration(wet)} {'reckoned' if known else 'assumed'}"
    return texts


def _holds(assumed: float, measured: tuple[float, str] | None) -> str:
    """Return "20 assumed", or "18.5 bath" for what a thermometer of that name reads."""
    value, origin = measured or (assumed, "assumed")
    return f"{round(value, 1):g} {origin}"
