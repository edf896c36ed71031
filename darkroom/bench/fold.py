"""One plate: its state as the fold of its journal's lines. Pure."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Sequence

from msgspec.structs import replace

from darkroom.bench import events as ev
from darkroom.bench import shared_process, temperatures
from darkroom.bench.standing import BY_N, Line, instants, standing_of
from darkroom.bench.state import PlateState, Trace
from darkroom.bench.steps import ASKS_TEMPERATURE, GATHERED, STEPS, step


def fold(lines: Iterable[Line]) -> PlateState:
    """Return the state that `lines` lead to, in any order.

    Raises ValueError when no standing `plate_started` comes first, or its process is none.
    """
    kept = tuple(sorted(lines, key=BY_N))
    return replace(_of_standing(standing_of(kept)), lines=kept)


def _of_standing(stands: Sequence[Line]) -> PlateState:
    """Return the state that standing lines lead to, its `lines` aside; raises as `fold`.

    Readings in a row are added together, and none before a step asks for a temperature.
    """
    if not stands or not isinstance(stands[0], ev.PlateStarted):
        raise ValueError("the journal does not begin with plate_started")
    when = instants(stands)
    state = begin(stands[0], when.get(stands[0].n, 0.0))
    marks: list[float] = []
    readings: list[temperatures.Reading] = []
    for line in stands[1:]:
        kind = type(line)
        change = STEPS.get(kind)
        if change is None:
            continue
        instant = when.get(line.n)
        if kind in GATHERED and instant is not None:
            if kind is ev.Mark:
                marks.append(instant)
            else:
                readings.append((line, instant))  # type: ignore[arg-type]
            continue
        if readings and kind in ASKS_TEMPERATURE and getattr(line, "held", True):
            state = temperatures.with_readings(state, readings)
            readings.clear()
        state = change(state, line, instant)
    return replace(temperatures.with_readings(state, readings), marks=tuple(marks))


def apply(state: PlateState, line: Line) -> PlateState:
    """Return the state after one more line."""
    lines = (*state.lines, line)
    if isinstance(line, ev.Undone) and line.n > state.last_n:
        return replace(step(_taken_back(state.lines, line.undoes), line, line.up), lines=lines)
    if isinstance(line, (ev.Undone, ev.Moved)) or (isinstance(line, ev.Resumed) and line.by == "wall"):
        return fold(lines)
    return replace(step(state, line, line.up), lines=lines)


_remembered: deque[tuple[tuple[Line, ...], tuple[int, ...], PlateState]] = deque(maxlen=16)
"""The last few answers of `_taken_back`, the newest first: an undo's, and those that the light asks for."""


def _taken_back(lines: tuple[Line, ...], undoes: tuple[int, ...]) -> PlateState:
    """Return the state that ascending lines lead to when a line that follows them names `undoes`.

    An undo asks for it twice, when it is decided and when it is applied, and the light in every frame for
    a while: the last few are remembered. Lines are never changed, so the answer is the same.
    """
    for known_lines, known_undoes, known in tuple(_remembered):
        if len(known_lines) == len(lines) and known_undoes == undoes and known_lines == lines:
            return known
    state = _of_standing(standing_of(lines, undoes))
    _remembered.appendleft((lines, undoes, state))
    return state


def fold_before(state: PlateState, line: Line) -> PlateState:
    """Return the state that the plate's lines before `line` lead to. Raises as `fold`."""
    lines = tuple(before for before in state.lines if before.n < line.n)
    return replace(_taken_back(lines, ()), lines=lines)


def begin(start: ev.PlateStarted, instant: float) -> PlateState:
    """Return the state of a plate that is ready for its first stage."""
    process = shared_process.checked(start.process)
    traces: dict[str, Trace] = {
        source: ((instant, celsius, "assumed"),) for source, celsius in process.temperatures.items()
    }
    for source, (celsius, origin) in start.temperatures.items():
        traces[source] = ((instant, celsius, origin),)
    percent, origin = start.humidity or (process.humidity, "assumed")
    first = 0 if start.prepare else next((i for i, s in enumerate(process.stages) if not s.optional), 0)
    return PlateState(
        lines=(start,),
        start=start,
        process=process,
        index=first,
        since=instant,
        temperatures=traces,
        humidity=((instant, percent, origin),),
        plan=start.plan,
        aperture=start.aperture,
        scene=start.scene,
        wet_time=start.wet_time,
    )
