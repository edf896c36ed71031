"""The temperatures of a plate over its time line: what was read, and, broken, what was assumed."""

from __future__ import annotations

from darkroom.bench.state import PlateState
from darkroom.log.export.svg_shapes import HUES, rect, text, trace
from darkroom.log.plate.axis import Axis
from darkroom.log.plate.time_line import temperature_traces, trace_segments
from darkroom.process.text.plain_text import plain
from darkroom.process.text.temperatures import show_celsius

HEIGHT = 110.0
_LINE = 13.0
"""The room a name takes, from one to the next."""


def traces(state: PlateState, axis: Axis, left: float, right: float, top: float) -> list[str]:
    """Return the traces of the sources that count for a stage, or were read; nothing without one."""
    readings = temperature_traces(state)
    if not readings:
        return []
    temperatures = [celsius for source_readings in readings.values() for _, celsius, _ in source_readings]
    low, high = min(temperatures) - 1.0, max(temperatures) + 1.0

    def y(celsius: float) -> float:
        return round(top + HEIGHT * (high - celsius) / (high - low), 2)

    parts = [rect("frame", left, top, right - left, HEIGHT)]
    ends = {min(temperatures), max(temperatures)}
    parts += [text("name", left - 8, y(end) + 4, show_celsius(end)) for end in ends]
    place = top - _LINE
    for number, (source, source_readings) in enumerate(readings.items()):
        hue = HUES[number % len(HUES)]
        for start, end, celsius, following, origin in trace_segments(source_readings, axis.start, axis.end):
            level, to = f"{y(celsius):g}", f"{axis.x(end):g}"
            then = level if following == celsius else f"{y(following):g}"
            points = f"{axis.x(start):g},{level} {to},{level} {to},{then}"
            parts.append(trace(hue, points, origin == "assumed"))
        last = source_readings[-1][1]
        place = max(y(last) + 4, place + _LINE)
        label = f"{plain(source)} {show_celsius(last)}"
        parts.append(text("source", right + 6, place, label, hue))
    return parts
