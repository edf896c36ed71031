"""The account of a plate from its journal: stages planned and actual, readings, and where they are from."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec
from msgspec.structs import replace

from darkroom.bench import clocks, temperatures
from darkroom.bench import events as ev
from darkroom.bench.exposure import plan_text
from darkroom.bench.fold import fold
from darkroom.bench.standing import instants
from darkroom.bench.state import Done, PlateState
from darkroom.errors import DarkroomError
from darkroom.log.journal.frame import Line
from darkroom.log.journal.merge import PlateLog
from darkroom.process import timing, wetness
from darkroom.process.text.durations import say_duration


class StageAccount(msgspec.Struct, frozen=True, kw_only=True):
    """One stage that was left. Times are seconds, wall times RFC 3339 without a zone of their own.

    `usual` is the range the process calls usual; `celsius` and `origin` are what counted when the
    stage began. `patience` is how long it may go on after its zero; it was `racked` when the
    plate waited on the rack in it.
    """

    stage: str
    started: str | None
    seconds: float
    planned: float | None
    usual: tuple[float, float] | None
    how: ev.How
    source: str | None
    celsius: float | None
    origin: str | None
    cleared: float | None
    exposed: float | None
    strips: tuple[float, ...] | None
    patience: float = 0.0
    racked: bool = False


class AccountLine(msgspec.Struct, frozen=True):
    """A line of the journal as text: its number, its wall time, and whether it was taken back."""

    n: int
    at: str
    text: str
    taken_back: bool = False

    def with_day(self, day: str) -> str:
        """Return the text, with its date where that is not `day`, and "(taken back)" where it was."""
        later = "" if self.at[:10] == day else f", on {self.at[:10]}"
        return self.text + later + (" (taken back)" if self.taken_back else "")


class Account(msgspec.Struct, frozen=True, kw_only=True):
    """The account of a plate. `trouble` says why the stages could not be derived from the lines."""

    stages: tuple[StageAccount, ...] = ()
    now: str | None = None
    exposure: str | None = None
    wet_used: float | None = None
    wet_about: float | None = None
    readings: tuple[AccountLine, ...] = ()
    moments: tuple[AccountLine, ...] = ()
    taken_back: tuple[AccountLine, ...] = ()
    words: tuple[AccountLine, ...] = ()
    newer: tuple[AccountLine, ...] = ()
    estimated: bool = False
    trouble: str | None = None


class Folded(msgspec.Struct, frozen=True):
    """The state that a plate's lines lead to; without one, `trouble` says why."""

    state: PlateState | None = None
    trouble: str | None = None


def folded(log: PlateLog) -> Folded:
    """Fold a plate's lines. Raises nothing."""
    try:
        return Folded(fold(log.events))
    except (ValueError, DarkroomError) as error:
        return Folded(None, str(error))


def account(log: PlateLog, fold_result: Folded | None = None) -> Account:
    """Return the account of a plate. Raises nothing.

    `fold_result` is the result of `folded` for the same log, where the caller has it already.
    """
    stands = {line.n for line in log.standing}
    from_lines = Account(
        readings=_account_lines(
            log.events, stands, (ev.Temperature, ev.Humidity, ev.ExposureSet, ev.WetTimeSet)
        ),
        moments=_account_lines(
            log.events,
            stands,
            (ev.Mark, ev.Refused, ev.Resumed, ev.Clock, ev.Acknowledged, ev.Racked, ev.Moved),
        ),
        taken_back=_taken_back(log.events, stands),
        words=_account_lines(log.events, stands, ev.REVIEW),
        newer=_account_lines(log.events, stands, (ev.Newer,)),
    )
    fold_result = fold_result or folded(log)
    state = fold_result.state
    if state is None:
        return replace(from_lines, trouble=fold_result.trouble)
    used, about = wet_times(state)
    return replace(
        from_lines,
        stages=_stages(state, log),
        now=_now(state),
        exposure=plan_text(state.plan),
        wet_used=used,
        wet_about=about,
        estimated=state.estimated,
    )


def _stages(state: PlateState, log: PlateLog) -> tuple[StageAccount, ...]:
    when = instants([line for line in log.standing if not isinstance(line, ev.Moved)])
    walls = [(when[line.n], line.at) for line in log.standing if line.n in when]
    racked = [when[line.n] for line in log.standing if isinstance(line, ev.Racked) and line.n in when]
    return tuple(_stage(state, done, walls, racked) for done in state.done)


def _stage(
    state: PlateState, done: Done, walls: list[tuple[float, str]], racked: list[float]
) -> StageAccount:
    stage = next((candidate for candidate in state.process.stages if candidate.name == done.stage), None)
    source = stage.at if stage else None
    trace = state.temperatures.get(source or "", ())
    reading = None
    for instant, celsius, origin in trace:
        if reading is None or instant <= done.started:
            reading = (celsius, origin)
    usual = None
    if stage is not None:
        usual = timing.expected(stage, reading[0] if reading else temperatures.celsius(state, stage)[0])
    return StageAccount(
        stage=done.stage,
        started=_wall(done.started, walls),
        seconds=round(done.seconds, 3),
        planned=None if done.planned is None else round(done.planned, 3),
        usual=usual,
        how=done.how,
        source=source,
        celsius=reading[0] if reading else None,
        origin=reading[1] if reading else None,
        cleared=None if done.cleared is None else round(done.cleared, 3),
        exposed=done.exposed,
        strips=done.strips,
        patience=stage.patience if stage else 0.0,
        racked=any(done.started <= instant < done.ended for instant in racked),
    )


def _wall(instant: float, walls: list[tuple[float, str]]) -> str | None:
    """Return the wall time of an instant, by the nearest line."""
    from datetime import datetime, timedelta

    near = min(walls, key=lambda pair: abs(pair[0] - instant), default=None)
    if near is None:
        return None
    try:
        at = datetime.fromisoformat(near[1]) + timedelta(seconds=instant - near[0])
    except (ValueError, OverflowError):
        return None
    return at.isoformat(timespec="milliseconds")


def wet_times(state: PlateState) -> tuple[float | None, float | None]:
    """Return how long the plate was wet before the developer, and about how long it would have stayed so."""
    window = state.process.wet_window
    if window is None or state.wet_from is None:
        return None, None
    dry = wetness.dry_at(window, clocks.wet_trace(state), state.wet_from, state.wet_time)
    used = None if state.wet_until is None else round(state.wet_until - state.wet_from, 3)
    return used, round(dry - state.wet_from, 3)


def _now(state: PlateState) -> str | None:
    """Return in words where an unfinished plate stands, None for a finished one."""
    if state.phase == "ended":
        return None
    if state.racked:
        return "on the rack"
    phase_text = {"ready": "ready for", "lead_in": "in the lead-in of", "running": "in"}[state.phase]
    return f"{phase_text} {state.stage.shown}" + (", held" if state.held else "")


def _account_lines(
    events: Iterable[Line], stands: set[int], kinds: tuple[type, ...]
) -> tuple[AccountLine, ...]:
    return tuple(
        AccountLine(line.n, line.at, _text(line), line.n not in stands)
        for line in events
        if isinstance(line, kinds)
    )


def _taken_back(events: tuple[Line, ...], stands: set[int]) -> tuple[AccountLine, ...]:
    """Return a line for each undo, with the steps that it took back or put back."""
    by_n = {line.n: line for line in events}
    account_lines: list[AccountLine] = []
    for line in events:
        if not isinstance(line, ev.Undone):
            continue
        undone_lines = [by_n.get(n) for n in line.undoes]
        undone_before = [n for undo in undone_lines if isinstance(undo, ev.Undone) for n in undo.undoes]
        steps = [
            step
            for undone_line in [*undone_lines, *map(by_n.get, undone_before)]
            if (step := _step(undone_line))
        ]
        text = ("put back: " if undone_before else "") + (
            ", ".join(steps) or f"lines {_numbers(line.undoes)}"
        )
        account_lines.append(
            AccountLine(line.n, line.at, text + ("; held" if line.held else ""), line.n not in stands)
        )
    return tuple(account_lines)


def _step(line: Line | None) -> str | None:
    match line:
        case ev.LeadInStarted():
            return f"lead-in of {line.stage}"
        case ev.StageStarted():
            return f"{line.stage} begun"
        case ev.StageEnded():
            return f"{line.stage} ended"
        case ev.Cleared():
            return f"{line.stage} cleared"
        case ev.PlateEnded():
            return "finished"
    return None


def _text(line: Line) -> str:
    """Return a line in words."""
    match line:
        case ev.Temperature():
            return f"{line.source} {line.celsius:g} °C, {line.from_}"
        case ev.Humidity():
            return f"humidity {line.percent:g} %, {line.from_}"
        case ev.ExposureSet():
            return f"exposure set: {_plan(line)}"
        case ev.WetTimeSet():
            return "wet time taken back" if line.seconds is None else f"stays wet {line.seconds:g} s, typed"
        case ev.Mark():
            return f"mark {line.n}"
        case ev.Refused():
            return f"refused: {line.reason}"
        case ev.Resumed():
            clock = "by the boot clock" if line.by == "up" else "by the wall clock, estimated"
            return f"came back after {line.gap:g} s, {clock}"
        case ev.Clock():
            clock_texts = {
                "slept": "the machine slept",
                "stepped": "the wall clock was set",
                "stalled": "a stall",
            }
            return f"{clock_texts[line.kind]}: {line.seconds:g} s"
        case ev.Acknowledged():
            return f"acknowledged: {line.what}"
        case ev.Racked():
            return "on the rack"
        case ev.Moved():
            return _moved(line)
        case ev.Newer():
            return f"'{line.event}' from a newer darkroom"
    return _review(line)


def _review(line: Line) -> str:
    match line:
        case ev.Note():
            text = line.text if line.about is None else f"on line {line.about}: {line.text}"
        case ev.Fault():
            text = f"fault: {line.name}" + (f", {line.where}" if line.where else "")
        case ev.Rating():
            stars = _counted(f"{line.stars}", "star", line.stars) if line.stars is not None else ""
            x = line.exposure_stops
            stops = "next plate " + _counted(f"{x:+g}", "stop", x) if x is not None else ""
            best = f"best strip {line.best_strip}" if line.best_strip is not None else ""
            text = ", ".join(part for part in (stars, stops, best) if part)
        case ev.Detail():
            text = f"{line.key}: {line.value}"
        case _:
            return ""
    if line.corrects is not None:
        text += f" (corrects line {line.corrects}" + (f": {line.reason}" if line.reason else "") + ")"
    return text


def _counted(number: str, noun: str, value: float) -> str:
    return f"{number} {noun}" if abs(value) == 1 else f"{number} {noun}s"


def _moved(line: ev.Moved) -> str:
    direction = "earlier" if line.seconds < 0 else "later"
    noun = "line" if len(line.moves) == 1 else "lines"
    reason = f": {line.reason}" if line.reason else ""
    return f"{noun} {_numbers(line.moves)} moved {say_duration(abs(line.seconds))} {direction}{reason}"


def _plan(line: ev.ExposureSet) -> str:
    text = plan_text(line.plan)
    parts = [] if text is None else [text]
    if line.aperture:
        parts.append(line.aperture)
    return ", ".join(parts) or "until a strike"


def _numbers(numbers: tuple[int, ...]) -> str:
    return ", ".join(map(str, numbers))
