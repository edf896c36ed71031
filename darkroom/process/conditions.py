"""The temperatures and the humidity of one day, as typed on a command line. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from darkroom.errors import QuantityError, nearest
from darkroom.process.model import SOURCES, Process
from darkroom.process.text.numbers import quoted
from darkroom.process.text.temperatures import temperature


def typed_temperatures(texts: Iterable[str]) -> dict[str, float]:
    """Return °C by source from texts such as `20C` (every source) or `bath=18C,developer=20C`.

    A named source wins over the one for all, wherever it stands. Raises QuantityError.
    """
    everywhere: float | None = None
    named: dict[str, float] = {}
    for part in (part for text in texts for part in text.split(",")):
        source, sign, value = part.partition("=")
        if not sign:
            everywhere = temperature(part)
            continue
        source = source.strip().lower()
        if source not in SOURCES:
            near = nearest(source, SOURCES)
            hint = f" (did you mean '{near}'?)" if near else f": there are {', '.join(SOURCES)}"
            raise QuantityError(f"there is no liquid {quoted(source)}{hint}")
        named[source] = temperature(value)
    found = dict.fromkeys(SOURCES, everywhere) if everywhere is not None else {}
    return {source: celsius for source, celsius in {**found, **named}.items() if celsius is not None}


def assumed(process: Process, typed: Mapping[str, float]) -> dict[str, float]:
    """Return the °C of every source: as typed, else as the process assumes, else the room's, else 20."""
    room = typed.get("room", process.temperatures.get("room", 20.0))
    given = {**process.temperatures, **typed}
    return {source: given.get(source, room) for source in SOURCES}
