"""How long the plate of a form will stay wet: as typed, else by its process in the air that is known."""

from __future__ import annotations

from collections.abc import Mapping

from darkroom.errors import QuantityError
from darkroom.process import conditions, wetness
from darkroom.process.model import SOURCES, Process
from darkroom.session import plate_form
from darkroom.session.plate_form import PlateForm


def wet_seconds(
    form: PlateForm, process: Process | None, measured: Mapping[str, tuple[float, str]]
) -> float | None:
    """Return the wet time of the form's plate in seconds, None where nothing says it.

    `measured` is {source or "humidity": (value, where it is from)} of what a new plate takes from the bench.
    A field that cannot be read counts as empty.
    """
    typed = number_in("wet", form.wet)
    if typed is not None:
        return typed
    read = {source: value for source, (value, _) in measured.items()}
    for source, text in plate_form.readings(form).items():
        value = number_in("humidity" if source == "humidity" else f"temperature {source}", text)
        if value is not None:
            read[source] = value
    return None if process is None else in_air(process, read)


def in_air(process: Process, read: Mapping[str, float]) -> float | None:
    """Return the wet time of a process in seconds; what is not `read` is as the process assumes it."""
    if process.wet_window is None:
        return None
    celsius = conditions.assumed(process, {source: read[source] for source in SOURCES if source in read})
    return wetness.window_seconds(process.wet_window, celsius["room"], read.get("humidity", process.humidity))


def number_in(field: str, text: str) -> float | None:
    """Return the number in a field of the plate form, None where it is empty or cannot be read."""
    reader = plate_form.reader(field)
    if reader is None or not text.strip():
        return None
    try:
        value = reader(text)
    except QuantityError:
        return None
    return value if isinstance(value, float) else None
