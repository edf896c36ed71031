"""The account of a plate from its journal: stages planned and actual, readings, and where they are from."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Collection, Sequence
from operator import itemgetter

import msgspec
from msgspec.structs import replace

from darkroom.bench import clocks, temperatures
from darkroom.bench import events as ev
from darkroom.bench.exposure import plan_text
from darkroom.bench.standing import instants
from darkroom.bench.state import Done, PlateState
from darkroom.bench.steps import TOLD_OPEN
from darkroom.bench.straight_fold import quick_fold
from darkroom.errors import DarkroomError
from darkroom.log.journal.merge import PlateLog
from darkroom.log.plate.account_lines import AccountLine, AccountLines
from darkroom.process import timing, wetness
from darkroom.process.text.durations import show_duration

WetTimes = tuple[float | None, float | None]
"""(seconds for which a plate was wet before the developer, about how many it would have stayed so)."""


class StageAccount(msgspec.Struct, frozen=True, kw_only=True):
    """One stage that was left. Times are seconds, wall times RFC 3339 without a zone of their own.

    `usual` is the range the process calls usual; `celsius` and `origin` are what counted when the
    stage began. `patience` is how long it may go on after its zero; it was `racked` when the
    plate waited on the rack in it. Of an exposure that is `unseen` nobody saw when the cap went on.
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
    unseen: bool = False


Wall = tuple[float, int, str]
"""The instant of a line, its place among the lines that stand, and its wall time."""


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
        return Folded(quick_fold(log.events))
    except (ValueError, DarkroomError) as error:
        return Folded(None, str(error))


def account(log: PlateLog, fold_result: Folded | None = None) -> Account:
    """Return the account of a plate. Raises nothing.

    `fold_result` is the result of `folded` for the same log, where the caller has it already.
    """
    lines = AccountLines(log.events, {line.n for line in log.standing})
    from_lines = Account(
        readings=lines.readings(),
        moments=lines.moments(),
        taken_back=lines.taken_back(),
        words=lines.words(),
        newer=lines.newer(),
    )
    fold_result = fold_result or folded(log)
    state = fold_result.state
    if state is None:
        return replace(from_lines, trouble=fold_result.trouble)
    used, about = wet_times(state)
    return replace(
        from_lines,
        words=_told_open(from_lines.words, log, state),
        stages=_stages(state, log),
        now=_now(state),
        exposure=plan_text(state.plan),
        wet_used=used,
        wet_about=about,
        estimated=state.estimated,
    )


def measured(fold_result: Folded, stages: Collection[str], wet: WetTimes) -> Account:
    """Return some stages of a plate without their wall times, and its wet time: nothing is put in words.

    They are those called as in `stages`, and those that were cut short; `wet` are its `wet_times`. For going
    through many plates: putting lines in words takes most of the time of `account`.
    """
    state = fold_result.state
    if state is None:
        return Account(trouble=fold_result.trouble)
    found = [
        _stage(state, done, [], []) for done in state.done if done.stage in stages or done.how == "short"
    ]
    return Account(stages=tuple(found), wet_used=wet[0], wet_about=wet[1], estimated=state.estimated)


def _stages(state: PlateState, log: PlateLog) -> tuple[StageAccount, ...]:
    when = instants([line for line in log.standing if not isinstance(line, ev.Moved)])
    walls = sorted(
        (when[line.n], place, line.at) for place, line in enumerate(log.standing) if line.n in when
    )
    racked = [when[line.n] for line in log.standing if isinstance(line, ev.Racked) and line.n in when]
    return tuple(_stage(state, done, walls, racked) for done in state.done)


def _stage(state: PlateState, done: Done, walls: Sequence[Wall], racked: list[float]) -> StageAccount:
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
        unseen=done.unseen,
    )


def _wall(instant: float, walls: Sequence[Wall]) -> str | None:
    """Return the wall time of an instant, by the nearest line; `walls` are ascending."""
    if not walls:
        return None
    from datetime import datetime, timedelta

    near = nearest_wall(instant, walls)
    if near is None:
        return None
    try:
        at = datetime.fromisoformat(near[2]) + timedelta(seconds=instant - near[0])
    except (ValueError, OverflowError):
        return None
    return at.isoformat(timespec="milliseconds")


def nearest_wall(instant: float, walls: Sequence[Wall]) -> Wall | None:
    """Return the line nearest to an instant, of several as near the first of the journal."""
    after = bisect_left(walls, instant, key=itemgetter(0))
    beside = list(walls[after : after + 1])
    if after:
        beside.append(walls[bisect_left(walls, walls[after - 1][0], key=itemgetter(0))])
    return min(beside, key=lambda wall: (abs(wall[0] - instant), wall[1]), default=None)


def wet_times(state: PlateState) -> WetTimes:
    """Return how long the plate was wet before the developer, and about how long it would have stayed so."""
    window = state.process.wet_window
    if window is None or state.wet_from is None:
        return None, None
    dry = wetness.dry_at(window, clocks.wet_trace(state), state.wet_from, state.wet_time)
    used = None if state.wet_until is None else round(state.wet_until - state.wet_from, 3)
    return used, round(dry - state.wet_from, 3)


def wet_text(account: Account) -> str | None:
    """Return "2:30 used of about 9:00", of a plate that came to no developer "not developed yet, about 9:00".

    None for a plate that never was wet.
    """
    used, about = account.wet_used, account.wet_about
    about_text = "" if about is None else f"about {show_duration(about)}"
    if used is not None:
        return f"{show_duration(used)} used" + (f" of {about_text}" if about_text else "")
    if about is None:
        return None
    return f"{'not developed' if account.now is None else 'not developed yet'}, {about_text}"


def _told_open(words: tuple[AccountLine, ...], log: PlateLog, state: PlateState) -> tuple[AccountLine, ...]:
    """Return the words with what became of each answer to how long the lens was open: the last one counts.

    None does of an exposure whose end was seen after all: the end that nobody saw was taken back.
    """
    told = {line.n for line in log.standing if isinstance(line, ev.Detail) and line.key == TOLD_OPEN}
    if not told:
        return words
    counts = max(told) if any(done.unseen and done.exposed is not None for done in state.done) else None
    return tuple(
        replace(line, fate="its exposure was taken back" if counts is None else "corrected")
        if line.n in told and line.n != counts and not line.fate
        else line
        for line in words
    )


def _now(state: PlateState) -> str | None:
    """Return in words where an unfinished plate stands, None for a finished one."""
    if state.phase == "ended":
        return None
    if state.racked:
        return "on the rack"
    phase_text = {"ready": "ready for", "lead_in": "in the lead-in of", "running": "in"}[state.phase]
    return f"{phase_text} {state.stage.shown}" + (", held" if state.held else "")
