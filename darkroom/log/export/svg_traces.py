"""The temperatures of a plate over its time line: what was read, and, broken, what was assumed."""

from __future__ import annotations

from xml.etree.ElementTree import Element

from darkroom.bench.state import PlateState
from darkroom.log.export.svg_shapes import HUES, rect, text, trace
from darkroom.log.plate.axis import Axis
from darkroom.log.plate.time_line import counting, held
from darkroom.process.text.plain_text import plain
from darkroom.process.text.temperatures import show_celsius

HEIGHT = 110.0
_LINE = 13.0
"""The room a name takes, from one to the next."""


def traces(state: PlateState, axis: Axis, left: float, right: float, top: float) -> list[Element]:
    """Return the traces of the sources that count for a stage, or were read; nothing without one."""
    chosen = counting(state)
    if not chosen:
        return []
    values = [celsius for found in chosen.values() for _, celsius, _ in found]
    low, high = min(values) - 1.0, max(values) + 1.0

    def y(celsius: float) -> float:
        return round(top + HEIGHT * (high - celsius) / (high - low), 2)

    parts = [rect("frame", left, top, right - left, HEIGHT)]
    parts += [text("name", left - 8, y(one) + 4, show_celsius(one)) for one in {min(values), max(values)}]
    place = top - _LINE
    for number, (source, found) in enumerate(chosen.items()):
        hue = HUES[number % len(HUES)]
        for start, end, celsius, following, origin in held(found, axis.start, axis.end):
            at = f"{axis.x(start):g},{y(celsius):g} {axis.x(end):g},{y(celsius):g}"
            parts.append(trace(hue, f"{at} {axis.x(end):g},{y(following):g}", origin == "assumed"))
        place = max(y(found[-1][1]) + 4, place + _LINE)
        words = f"{plain(source)} {show_celsius(found[-1][1])}"
        parts.append(text("source", right + 6, place, words, {"fill": hue}))
    return parts
