"""What is usual for this photographer: the median of the last plates of the same process. Pure.

All plates count, those with a fault too: the usual is what the hand does, one for all questions, and the
median of twenty bears up to nine odd ones. What stays changed for longer becomes the usual; that it changed
is then told by when the fault began.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from statistics import median

from darkroom.faults.history import PlateFigures

LAST = 20
"""So many plates, the last before, are what is usual (our own choice)."""
FEWEST = 5
"""Fewer plates than this are too few to say what is usual (our own choice)."""
Value = Callable[[PlateFigures], float | None]
"""A figure of one plate; None where it is not recorded."""


def before(plate: PlateFigures, history: Sequence[PlateFigures]) -> tuple[PlateFigures, ...]:
    """Return the plates that came before this one; `history` is oldest first and may go on after it."""
    place = next((at for at, other in enumerate(history) if other.plate == plate.plate), None)
    if place is None:
        return tuple(other for other in history if other.instant < plate.instant)
    return tuple(history[:place])


def last_values(earlier: Sequence[PlateFigures], process: str, value: Value) -> tuple[float, ...]:
    """Return the figures of the last plates of a process that have it, newest first, LAST at most."""
    found: list[float] = []
    for plate in reversed(earlier):
        if plate.process != process:
            continue
        figure = value(plate)
        if figure is not None:
            found.append(figure)
            if len(found) == LAST:
                break
    return tuple(found)


def usual(earlier: Sequence[PlateFigures], process: str, value: Value) -> float | None:
    """Return the median of those figures, in their unit; None for fewer plates than FEWEST."""
    values = last_values(earlier, process, value)
    return median(values) if len(values) >= FEWEST else None


def coat_seconds(plate: PlateFigures) -> float | None:
    """Return the seconds from the pour to the bath."""
    return _seconds(plate, "coat")


def drain_seconds(plate: PlateFigures) -> float | None:
    """Return the seconds from the bath to the holder."""
    return _seconds(plate, "drain")


def developed_seconds(plate: PlateFigures) -> float | None:
    """Return the seconds under the developer."""
    return _seconds(plate, "develop")


def bath_celsius(plate: PlateFigures) -> float | None:
    """Return the silver bath's temperature in °C, as it was read for its stage or else at all."""
    return _celsius(plate, "bath", "bath")


def developer_celsius(plate: PlateFigures) -> float | None:
    """Return the developer's temperature in °C, as it was read for its stage or else at all."""
    return _celsius(plate, "develop", "developer")


def room_celsius(plate: PlateFigures) -> float | None:
    """Return the air's temperature in °C."""
    return plate.temperatures.get("room")


COMPARED: Mapping[str, Value] = {
    "coat over usual": coat_seconds,
    "bath over usual": bath_celsius,
    "drain over usual": drain_seconds,
    "developer over usual": developer_celsius,
    "developed over usual": developed_seconds,
}
"""What is held against the usual, by the name of the figure that comes of it."""


def usual_plates(plate: PlateFigures, history: Sequence[PlateFigures]) -> int:
    """Return how many plates the usual is made of: those of the best recorded figure, LAST at most.

    Below FEWEST nothing can be held against the usual.
    """
    earlier = before(plate, history)
    return max(len(last_values(earlier, plate.process, value)) for value in COMPARED.values())


def _seconds(plate: PlateFigures, part: str) -> float | None:
    stage = plate.stages.get(part)
    return None if stage is None else stage.seconds


def _celsius(plate: PlateFigures, part: str, source: str) -> float | None:
    stage = plate.stages.get(part)
    if stage is not None and stage.celsius is not None:
        return stage.celsius
    return plate.temperatures.get(source)
