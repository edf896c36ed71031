"""The figures of the exposure page: the interval on a scale of stops, the day's light. Pure."""

from __future__ import annotations

import math
from datetime import datetime
from textwrap import wrap

from darkroom.exposure.daylight import BEST_WITHIN, DayOfLight
from darkroom.process.text.durations import show_short
from darkroom.screens.exposure.answer import Answer
from darkroom.screens.widgets.cell_bars import OBSERVED, PLANNED, STRIKE, Strip
from darkroom.screens.widgets.rows import Row, clip, width
from darkroom.session.exposure_proposal import rounded

LEAST_SPAN = 2.0
"""The scale reaches so many stops to either side at least."""
DEEP = 5.0
"""The curve of light reaches so many stops below the best of the day."""
TALL = 5
"""The rows of the curve of light."""
_FILLED = " ▁▂▃▄▅▆▇█"


def interval_rows(answer: Answer, columns: int) -> list[Row]:
    """Return what the plates say as a bar on a scale of stops, with the seconds of every whole stop.

    A time that was reckoned otherwise stands below the bar where it lies; beyond the scale at its end.
    """
    learned = answer.learned
    if learned is None or columns < 20:
        return []
    below, above = learned.middle - learned.high, learned.middle - learned.low
    seconds = learned.seconds
    if learned.seconds_low and seconds and learned.seconds_high:
        below, above = math.log2(learned.seconds_low / seconds), math.log2(learned.seconds_high / seconds)
    span = math.ceil(max(LEAST_SPAN, -below + 0.2, above + 0.2))
    edge = 2
    cell = (columns - 1 - 2 * edge) / (2 * span)

    def place(stops: float) -> float:
        return edge + (stops + span) * cell

    bar, scale, stops_row, time_row = (Strip(columns) for _ in range(4))
    bar.bar(place(below), place(above), OBSERVED, "text")
    bar.over(place(0), STRIKE)
    scale.line(place(-span), place(span), PLANNED, "quiet")
    for stop in range(-span, span + 1):
        scale.put(place(stop), "┬", "quiet")
        label = f"{stop:+d}".replace("-", "−") if stop else "0"
        stops_row.write(max(0, place(stop) - (len(label) - 1) / 2), label, "quiet")
        if seconds:
            text = show_short(rounded(seconds * 2.0**stop))
            time_row.write(max(0, min(place(stop) - len(text) / 2 + 0.5, columns - len(text))), text, "text")
    rows = [bar.row()]
    if answer.question.source != "plates" and answer.seconds and seconds:
        mark = Strip(columns)
        at = place(max(-span, min(span, math.log2(answer.seconds / seconds))))
        mark.put(at, "^", "loud")
        mark.write(at + 2, "this time", "text")
        rows.append(mark.row())
    return [*rows, scale.row(), stops_row.row(), *([time_row.row()] if seconds else [])]


def curve_rows(answer: Answer, columns: int, simple: bool) -> list[Row]:
    """Return the light of the day over its hours, and its best hours in words.

    `simple` is for a terminal without signs for drawing.
    """
    light = answer.light
    if light is None or light.best is None or light.best.ev is None:
        return []
    lit = [point for point in light.points if point.ev is not None]
    first, last = lit[0].at, lit[-1].at
    day = f"{answer.at.day} {answer.at:%B}"
    rows: list[Row] = [[(clip(f"{answer.kind} at {answer.place}, {day}: EV", columns), "loud")]]
    axis, cells = 5, columns - 6
    if cells >= 16 and first < last:
        heights = [_ev_at(light, first + (last - first) * ((cell + 0.5) / cells)) for cell in range(cells)]
        best = light.best.ev
        eighths = [0 if ev is None else max(1, round(8 * TALL * (ev - best + DEEP) / DEEP)) for ev in heights]
        for row in range(TALL):
            floor = 8 * (TALL - 1 - row)
            label = f"{best - DEEP * row / TALL:4.1f} "
            rows.append([(label, "quiet"), *_curve_row(eighths, floor, simple)])
        rows.append([(" " * axis, "text"), *_hours(first, last, answer.at, cells)])
        rows += [] if not first <= answer.at <= last else [_now(first, last, answer.at, axis, cells)]
    spells = ", ".join(f"{start:%H:%M} to {end:%H:%M}" for start, end in light.hours)
    within = f"within {BEST_WITHIN:g} stop of EV {light.best.ev:.1f}"
    sentence = f"Best {spells}: {within} at {light.best.at:%H:%M}."
    if light.is_even:
        sentence = f"The whole day is {within}."
    rows += [[(line, "text")] for line in wrap(sentence, max(8, columns))]
    return rows


def _ev_at(light: DayOfLight, at: datetime) -> float | None:
    """Return the light of the point next to an instant; the points lie evenly."""
    first, last = light.points[0].at.timestamp(), light.points[-1].at.timestamp()
    place = round((at.timestamp() - first) / (last - first) * (len(light.points) - 1))
    return light.points[max(0, min(place, len(light.points) - 1))].ev


def _curve_row(eighths: list[int], floor: int, simple: bool) -> Row:
    signs = [max(0, min(8, value - floor)) for value in eighths]
    if not simple:
        return [("".join(_FILLED[size] for size in signs), "text")]
    return [(" ", "reversed" if size >= 4 else "text") for size in signs]


def _hours(first: datetime, last: datetime, at: datetime, cells: int) -> Row:
    """Return the row of the hours, as many as there is room for."""
    strip, minutes = Strip(cells), (last - first).total_seconds() / 60
    every = next(hours for hours in (1, 2, 3, 4, 6, 12) if cells * 60 * hours / minutes >= 6 or hours == 12)
    for hour in range(0, 24, every):
        place = (at.replace(hour=hour, minute=0, second=0) - first).total_seconds() / 60 / minutes * cells
        if 0 <= place < cells:
            strip.write(place, f"{hour}:00" if place + 5 < cells else f"{hour}", "quiet")
    return strip.row()


def _now(first: datetime, last: datetime, at: datetime, axis: int, cells: int) -> Row:
    place = round((at - first) / (last - first) * (cells - 1))
    text = f"^ {at:%H:%M}"
    if place + width(text) > cells:
        text, place = f"{at:%H:%M} ^", place - len(f"{at:%H:%M} ")
    return [(" " * (axis + max(0, place)) + text, "loud")]
