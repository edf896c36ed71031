"""A plate's time line and temperatures as one inline SVG: planned against actual. Pure text."""

from __future__ import annotations

from collections.abc import Iterator

from darkroom.bench import events as ev
from darkroom.bench.lines import instants
from darkroom.bench.plate import Done, PlateState, Trace
from darkroom.log.export.axis import Axis
from darkroom.log.export.markup import escape, plain
from darkroom.log.export.record import SEEN, Told
from darkroom.process.quantities import show_celsius, show_duration

LEFT, RIGHT, ROW, HEAT = 120.0, 830.0, 24.0, 110.0
WIDTH = 960.0
_CLASS = {"observed": "seen", "called": "called", "told later": "told"}
_TRACES = ("t1", "t2", "t3", "t4", "t5")


def drawing(told: Told) -> str:
    """Return the SVG, or nothing when no stage was left."""
    state = told.state
    if state is None or not state.done:
        return ""
    axis = Axis(_edges(told, state), LEFT, RIGHT)
    rows = list(_stages(told, state, axis))
    wet = _wet(told, state, axis, len(rows))
    rows += [wet] if wet else []
    bottom = 26.0 + ROW * len(rows)
    heat = _heat(state, axis, bottom + 34)
    height = bottom + 34 + (HEAT + 12 if heat else 0)
    title = escape(f"{told.title}: stages planned and actual, and temperatures")
    parts = [
        f'<svg class="line" viewBox="0 0 {WIDTH:g} {height:g}" role="img" aria-label="{title}">',
        *_grid(axis, bottom), *rows, *_signs(told, axis, bottom), *heat, "</svg>",
    ]  # fmt: skip
    return "\n".join(parts)


def _edges(told: Told, state: PlateState) -> Iterator[float]:
    for done, stage in zip(state.done, told.account.stages, strict=True):
        yield done.started
        yield done.ended
        if done.how == "skipped":
            continue
        if done.planned is not None:
            yield done.started + done.planned
        elif stage.usual is not None:
            yield done.started + stage.usual[1]
    if state.wet_from is not None and told.account.wet_about is not None:
        yield state.wet_from + told.account.wet_about


def _grid(axis: Axis, bottom: float) -> Iterator[str]:
    for seconds in axis.ticks():
        x = axis.x(axis.start + seconds)
        yield f'<line class="grid" x1="{x:g}" y1="18" x2="{x:g}" y2="{bottom:g}"/>'
        yield f'<text class="tick" x="{x:g}" y="12">{show_duration(seconds)}</text>'
    for before, after in axis.breaks:
        x = (axis.x(before) + axis.x(after)) / 2
        yield f'<rect class="break" x="{x - 3:g}" y="18" width="6" height="{bottom - 18:g}"/>'
        yield f'<text class="tick" x="{x:g}" y="{bottom + 12:g}">⫽ {show_duration(after - before)}</text>'


def _label(words: str, y: float) -> str:
    short = plain(words)
    short = short if len(short) <= 17 else short[:16] + "…"
    return f'<text class="name" x="{LEFT - 8:g}" y="{y + 13:g}">{escape(short)}</text>'


def _bar(axis: Axis, kind: str, start: float, end: float, y: float, height: float) -> str:
    x = axis.x(start)
    width = max(1.5, axis.x(end) - x)
    return f'<rect class="{kind}" x="{x:g}" y="{y:g}" width="{width:g}" height="{height:g}"/>'


def _stages(told: Told, state: PlateState, axis: Axis) -> Iterator[str]:
    for number, (done, stage) in enumerate(zip(state.done, told.account.stages, strict=True)):
        y = 22 + ROW * number
        parts = [_label(state.process.stage(done.stage).shown, y)]
        if done.how != "skipped":
            if done.planned is not None:
                parts.append(_bar(axis, "plan", done.started, done.started + done.planned, y, 7))
            elif stage.usual is not None:
                least, most = stage.usual
                parts.append(_bar(axis, "usual", done.started + least, done.started + most, y + 2, 3))
            parts.append(_bar(axis, _kind(told, done), done.started, done.ended, y + 8, 9))
            beside = max(axis.x(done.ended), axis.x(done.started + (done.planned or 0.0))) + 5
            parts.append(f'<text class="took" x="{beside:g}" y="{y + 14:g}">{_took(done)}</text>')
        else:
            parts.append(f'<text class="took" x="{LEFT + 4:g}" y="{y + 14:g}">left out</text>')
        yield "".join(parts)


def _kind(told: Told, done: Done) -> str:
    start = told.log.start
    exposure = told.exposure_stage
    away = start is not None and start.timed == "away" and exposure is not None
    if away and exposure is not None and exposure.stage == done.stage:
        return "told"  # timed elsewhere: nobody here saw the lens close
    return _CLASS[SEEN[done.how]]


def _took(done: Done) -> str:
    took = show_duration(done.seconds)
    if done.planned is None:
        return took
    over = done.seconds - done.planned
    return took if abs(over) < 0.5 else f"{took} ({'+' if over > 0 else '−'}{show_duration(abs(over))})"


def _wet(told: Told, state: PlateState, axis: Axis, number: int) -> str:
    used, about = told.account.wet_used, told.account.wet_about
    if state.wet_from is None or about is None:
        return ""
    y = 22 + ROW * number
    parts = [_label("wet", y), _bar(axis, "plan", state.wet_from, state.wet_from + about, y, 7)]
    if used is not None:
        kind = "past" if used > about else "seen"
        parts.append(_bar(axis, kind, state.wet_from, state.wet_from + used, y + 8, 9))
        beside = axis.x(state.wet_from + max(used, about)) + 5
        words = f"{show_duration(used)} of about {show_duration(about)}"
        parts.append(f'<text class="took" x="{beside:g}" y="{y + 14:g}">{words}</text>')
    return "".join(parts)


def _signs(told: Told, axis: Axis, bottom: float) -> Iterator[str]:
    """Yield a sign at each mark and each undo."""
    when = instants(told.log.standing)
    for line in told.log.standing:
        sign = "m" if isinstance(line, ev.Mark) else "u" if isinstance(line, ev.Undone) else None
        if sign is None or line.n not in when:
            continue
        x = axis.x(when[line.n])
        yield f'<line class="sign" x1="{x:g}" y1="18" x2="{x:g}" y2="{bottom:g}"/>'
        yield f'<text class="tick" x="{x:g}" y="{bottom + 24:g}">{sign}</text>'


def _heat(state: PlateState, axis: Axis, top: float) -> list[str]:
    """Return the temperature traces: steps from reading to reading, dashed where it is assumed."""
    used = {stage.at for stage in state.process.stages if stage.at}
    traces = {
        source: trace for source, trace in state.temperatures.items()
        if source in used or any(origin != "assumed" for _, _, origin in trace)
    }  # fmt: skip
    if not traces:
        return []
    values = [celsius for trace in traces.values() for _, celsius, _ in trace]
    low, high = min(values) - 1.0, max(values) + 1.0

    def y(celsius: float) -> float:
        return round(top + HEAT * (high - celsius) / (high - low), 2)

    parts = [f'<rect class="frame" x="{LEFT:g}" y="{top:g}" width="{RIGHT - LEFT:g}" height="{HEAT:g}"/>']
    parts += [f'<text class="name" x="{LEFT - 8:g}" y="{y(one) + 4:g}">{show_celsius(one)}</text>'
              for one in sorted({min(values), max(values)})]  # fmt: skip
    places: list[float] = []
    for number, (source, trace) in enumerate(sorted(traces.items(), key=lambda one: -one[1][-1][1])):
        kind = _TRACES[number % len(_TRACES)]
        parts += [_run(axis, kind, origin == "assumed", start, end, y(celsius), y(following))
                  for start, end, celsius, following, origin in _steps(trace, axis)]  # fmt: skip
        place = max([y(trace[-1][1]) + 4, *(one + 13 for one in places[-1:])])
        places.append(place)
        words = escape(f"{plain(source)} {show_celsius(trace[-1][1])}")
        parts.append(f'<text class="{kind} source" x="{RIGHT + 6:g}" y="{place:g}">{words}</text>')
    return parts


def _steps(trace: Trace, axis: Axis) -> Iterator[tuple[float, float, float, float, str]]:
    for number, (instant, celsius, origin) in enumerate(trace):
        later = trace[number + 1] if number + 1 < len(trace) else None
        end = later[0] if later else axis.end
        yield instant if number else axis.start, end, celsius, later[1] if later else celsius, origin


def _run(axis: Axis, kind: str, assumed: bool, start: float, end: float, y: float, after: float) -> str:
    dash = " assumed" if assumed else ""
    points = f"{axis.x(start):g},{y:g} {axis.x(end):g},{y:g} {axis.x(end):g},{after:g}"
    return f'<polyline class="{kind} trace{dash}" points="{points}"/>'
