"""What every drawing of a plate's time line needs: ends of stages, signs, temperature traces. Pure.

Instants are seconds on the plate's own clock, temperatures °C.
"""

from __future__ import annotations

from collections.abc import Iterator

from darkroom.bench import events as ev
from darkroom.bench.standing import instants
from darkroom.bench.state import Done, PlateState, Trace
from darkroom.log.plate.account_lines import mark_numbers
from darkroom.log.plate.moved_strikes import strikes
from darkroom.log.plate.record import PlateRecord
from darkroom.log.plate.stage_text import SEEN

_SIGNED = (ev.Mark, ev.Undone)


def edges(record: PlateRecord, state: PlateState) -> Iterator[float]:
    """Yield the instants at which something begins or ends, or was to."""
    for done, stage in zip(state.done, record.account.stages, strict=True):
        yield done.started
        yield done.ended
        if done.how != "skipped" and done.planned is not None:
            yield done.started + done.planned
        elif done.how != "skipped" and stage.usual is not None:
            yield done.started + stage.usual[1]
    if state.wet_from is not None and record.account.wet_about is not None:
        yield state.wet_from + record.account.wet_about


def shown_name(state: PlateState, done: Done) -> str:
    """Return what a stage is called on screen; its own name where the process does not know it."""
    return next((stage.shown for stage in state.process.stages if stage.name == done.stage), done.stage)


def known(record: PlateRecord, done: Done) -> str:
    """Return how the end of a stage is known: observed, called, told later, or left out."""
    start, exposure = record.log.start, record.exposure_stage
    if start and exposure and exposure.stage == done.stage and (start.timed == "away" or exposure.unseen):
        return "told later"  # timed elsewhere, or nobody looked: no strike here closed the lens
    return SEEN[done.how]


def over(done: Done) -> int | None:
    """Return by how many whole seconds, as clocks show them, a stage went over its planned time, or None."""
    if done.planned is None or done.how == "skipped":
        return None
    return int(lasted(done) + 0.5) - int(done.planned + 0.5) or None


def lasted(done: Done) -> float:
    """Return how long a stage took; an exposure reported later lasts as long as reported."""
    if done.how == "told" and done.exposed is not None:
        return max(done.seconds, done.exposed)
    return done.seconds


def signs(record: PlateRecord) -> Iterator[tuple[float, str]]:
    """Yield (instant, number of the mark, or "u") for each mark and each undo that stand."""
    signed = [line for line in record.log.standing if isinstance(line, _SIGNED)]
    if not signed:
        return
    counts_at = instants(record.log.standing)
    marks = mark_numbers(record.log.events)
    for line in signed:
        sign = str(marks[line.n]) if line.n in marks else "u" if isinstance(line, ev.Undone) else None
        if sign is not None and line.n in counts_at:
            yield counts_at[line.n], sign


def temperature_traces(state: PlateState) -> dict[str, Trace]:
    """Return the temperatures of the sources that count for a stage, or were read; the warmest first."""
    used = {stage.at for stage in state.process.stages if stage.at}
    chosen = {
        source: trace
        for source, trace in state.temperatures.items()
        if source in used or any(origin != "assumed" for _, _, origin in trace)
    }
    return dict(sorted(chosen.items(), key=lambda source_and_trace: -source_and_trace[1][-1][1]))


def trace_segments(
    trace: Trace, start: float, end: float
) -> Iterator[tuple[float, float, float, float, str]]:
    """Yield (from, to, °C, °C that follows, where it is from) between the ends of the time line.

    A value holds until the next one; the first also holds for the time before it.
    """
    for number, (instant, celsius, origin) in enumerate(trace):
        following = trace[number + 1] if number + 1 < len(trace) else None
        begin = instant if number else start
        yield (
            begin,
            following[0] if following else end,
            celsius,
            following[1] if following else celsius,
            origin,
        )


def strike_instants(record: PlateRecord) -> Iterator[float]:
    """Yield the instants of the strikes that began or ended a step, ascending."""
    counts_at = instants(record.log.standing)
    struck_at = {strike.instant for strike in strikes(record.log.events)}
    struck_at |= {
        counts_at[line.n]
        for line in record.log.standing
        if isinstance(line, ev.LeadInStarted) and line.n in counts_at
    }
    yield from sorted(struck_at)
