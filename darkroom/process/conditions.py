"""The temperatures and the humidity of one day, as typed on a command line. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from darkroom.errors import QuantityError, nearest
from darkroom.process.model import SOURCES, Process
from darkroom.process.text.numbers import quoted
from darkroom.process.text.temperatures import temperature


def temperature_texts(texts: Iterable[str]) -> dict[str, str]:
    """Return {source: text} from texts such as `20C` (every source) or `bath=18C,developer=20C`.

    A named source wins over the one for all, wherever it stands; empty parts are passed over. Raises
    QuantityError for an unknown source, or a temperature that cannot be read.
    """
    for_all: dict[str, str] = {}
    named: dict[str, str] = {}
    for part in (part.strip() for text in texts for part in text.split(",")):
        if not part:
            continue
        source, sign, value = part.rpartition("=")
        source, value = source.strip().lower(), value.strip()
        if sign and source not in SOURCES:
            near = nearest(source, SOURCES)
            hint = f" (did you mean '{near}'?)" if near else f": there are {', '.join(SOURCES)}"
            raise QuantityError(f"there is no liquid {quoted(source)}{hint}")
        temperature(value)
        if sign:
            named[source] = value
        else:
            for_all = dict.fromkeys(SOURCES, value)
    return {**for_all, **named}


def typed_temperatures(texts: Iterable[str]) -> dict[str, float]:
    """Return °C by source from texts such as `20C` or `bath=18C,developer=20C`. Raises QuantityError."""
    return {source: temperature(text) for source, text in temperature_texts(texts).items()}


def assumed(process: Process, typed: Mapping[str, float]) -> dict[str, float]:
    """Return the °C of every source: as typed, else as the process assumes, else the room's, else 20."""
    room = typed.get("room", process.temperatures.get("room", 20.0))
    given = {**process.temperatures, **typed}
    return {source: given.get(source, room) for source in SOURCES}
