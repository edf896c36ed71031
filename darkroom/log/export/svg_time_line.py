"""A plate's time line as one inline SVG: planned against actual, temperatures below. Pure."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from markupsafe import Markup

from darkroom.bench.state import Done, PlateState
from darkroom.log.export.svg_shapes import bar, rect, svg, text, upright
from darkroom.log.export.svg_traces import HEIGHT, traces
from darkroom.log.plate.axis import Axis
from darkroom.log.plate.record import PlateRecord
from darkroom.log.plate.time_line import edges, known, lasted, over, signs
from darkroom.process.text.durations import show_duration
from darkroom.process.text.plain_text import plain

LEFT, RIGHT, WIDTH = 120.0, 830.0, 960.0
TOP, ROW = 18.0, 24.0
SIGN_ROW, SIGN_ROWS = 12.0, 4
"""The height of a row of signs below the line, and how many rows there are at most."""
SIGN_LETTER, SIGN_GAP = 7.0, 3.0
"""The width of a letter at this size of type, never less than it takes, and what stands between two signs."""
_KINDS = {"observed": "seen", "called": "called", "told later": "told"}


def drawing(record: PlateRecord) -> Markup:
    """Return the SVG, or nothing when no stage was left."""
    state = record.state
    if state is None or not state.done:
        return Markup()
    axis = Axis(edges(record, state), LEFT, RIGHT)
    wet = list(_wet(record, state, axis, len(state.done)))
    rows = [*_stages(record, state, axis), *wet]
    bottom = TOP + 8 + ROW * (len(state.done) + bool(wet))
    sign_parts, sign_rows = _signs(record, axis, bottom)
    below = bottom + 34 + SIGN_ROW * max(0, sign_rows - 1)
    temperatures = traces(state, axis, LEFT, RIGHT, below)
    height = below + (HEIGHT + 12 if temperatures else 0)
    parts = [*_grid(axis, bottom), *rows, *sign_parts, *temperatures]
    title = f"{record.title}: stages planned and actual, and temperatures"
    return svg("line", WIDTH, height, parts, aria_label=title)


def _grid(axis: Axis, bottom: float) -> Iterator[str]:
    for seconds in axis.ticks():
        x = axis.x(axis.start + seconds)
        yield upright("grid", x, TOP, bottom)
        yield text("tick", x, TOP - 6, show_duration(seconds))
    for before, after in axis.breaks:
        x = (axis.x(before) + axis.x(after)) / 2
        yield rect("break", x - 3, TOP, 6, bottom - TOP)
        yield text("tick", x, bottom + 12, f"⫽ {show_duration(after - before)}")


@lru_cache(1024)
def _name(name: str, y: float) -> str:
    """Return the name of a row: plates of one process have the same at the same places."""
    line = plain(name)
    return text("name", LEFT - 8, y + 13, line if len(line) <= 17 else line[:16] + "…")


def _bar(kind: str, x: float, end: float, y: float, height: float) -> str:
    """Return a bar from place to place."""
    return bar(kind, x, max(1.5, end - x), y, height)


def _stages(record: PlateRecord, state: PlateState, axis: Axis) -> Iterator[str]:
    names = {stage.name: stage.shown for stage in reversed(state.process.stages)}
    for number, (done, stage) in enumerate(zip(state.done, record.account.stages, strict=True)):
        y = TOP + 4 + ROW * number
        yield _name(names.get(done.stage, done.stage), y)
        if done.how == "skipped":
            yield text("took", LEFT + 4, y + 14, "left out")
            continue
        x, end = axis.x(done.started), axis.x(done.ended)
        last = end
        if done.planned is not None:
            planned_end = axis.x(done.started + done.planned)
            last = max(last, planned_end)
            yield _bar("plan", x, planned_end, y, 7)
        elif stage.usual is not None:
            least, most = (axis.x(done.started + seconds) for seconds in stage.usual)
            last = max(last, most)
            yield _bar("usual", least, most, y + 3, 3)
        yield _bar(_KINDS[known(record, done)], x, end, y + 9, 9)
        yield text("took", last + 5, y + 14, _took(done))


def _took(done: Done) -> str:
    took, excess = show_duration(lasted(done)), over(done)
    return took if excess is None else f"{took} ({'+' if excess > 0 else '−'}{show_duration(abs(excess))})"


def _wet(record: PlateRecord, state: PlateState, axis: Axis, number: int) -> Iterator[str]:
    used, about = record.account.wet_used, record.account.wet_about
    if state.wet_from is None or about is None:
        return
    y = TOP + 4 + ROW * number
    x = axis.x(state.wet_from)
    parts = [_name("wet", y), _bar("plan", x, axis.x(state.wet_from + about), y, 7)]
    if used is not None:
        kind = "past" if used > about else "seen"
        parts.append(_bar(kind, x, axis.x(state.wet_from + used), y + 9, 9))
        label = f"{show_duration(used)} of about {show_duration(about)}"
        parts.append(text("took", axis.x(state.wet_from + max(used, about)) + 5, y + 14, label))
    yield from parts


def _signs(record: PlateRecord, axis: Axis, bottom: float) -> tuple[list[str], int]:
    """Return a sign at each mark and each undo, and in how many rows they stand: none touches another.

    Where more of them fall together than rows are for, the last ones are lines alone.
    """
    ends: list[float] = []
    parts: list[str] = []
    for instant, sign in sorted(signs(record)):
        x, half = axis.x(instant), SIGN_LETTER * len(sign) / 2
        parts.append(upright("sign", x, TOP, bottom))
        row = next((row for row, end in enumerate(ends) if end + SIGN_GAP <= x - half), len(ends))
        if row == SIGN_ROWS:
            continue
        ends[row : row + 1] = [x + half]
        parts.append(text("tick", x, bottom + 25 + SIGN_ROW * row, sign))
    return parts, len(ends)
