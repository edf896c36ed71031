"""The plates that come back when the tool starts, and a plate that comes back from the rack.

A journal that cannot be gone on with never keeps the tool from opening, nor another plate away: its plate
stays where it is, and the quiet line says why.
"""

from __future__ import annotations

import math

import msgspec

from darkroom.bench import all_plates as benches
from darkroom.bench import clocks, cues, decide_all
from darkroom.bench import intents as want
from darkroom.bench.all_plates import Bench
from darkroom.bench.fold import fold
from darkroom.bench.intents import Cause
from darkroom.bench.state import PlateState
from darkroom.bench.view import bench_view
from darkroom.errors import NotSavedError, harmless
from darkroom.log.journal import resume
from darkroom.log.journal.merge import PlateLog
from darkroom.screens.services import Services
from darkroom.session.protocols import TakenBack

A_YEAR = 366 * 86400.0
"""No stage takes longer, in seconds: a journal with such a time holds what no bench wrote."""


def take_back(services: Services, plate: str) -> TakenBack | None:
    """Lock a racked plate's journal and read it again. Raises DarkroomError with the reason."""
    session = services.session
    log = services.journal_writer.take_back(plate, session.dates[plate])
    if log is None:
        return None
    reason = resume.why_not_taken_back(log)
    if reason is not None:
        raise NotSavedError(reason)
    came_back = _came_back(services, log, session.now())
    return TakenBack(log.events, came_back if came_back.by == "wall" else None)


def bring_back(services: Services, large: object) -> None:
    """Put the plates that were on the bench back, each with the right time on it.

    `large` is the plate that was large, as bench.json tells it: anything.
    """
    session = services.session
    returning = resume.returning(services.home, services.bench_id)
    for log, why in returning.left_out:
        _stays_away(services, log, why)
    for problem in returning.unread:
        services.notices.say(f"start {problem.file}", harmless(f"{problem.file} {problem.what}"))
    for log in returning.plates:
        now = session.now()
        came_back = _came_back(services, log, now)
        try:
            state = fold(log.events)
            reason = resume.why_not_gone_on_with(state)
            if reason is not None:
                _stays_away(services, log, reason)
                continue
            _try_out(session.bench, state, came_back, now)
            if not state.racked:
                services.journal_writer.adopt(log)
        except Exception as error:  # whatever its lines hold: the other plates come back
            _stays_away(services, log, f"its journal cannot be gone on with ({type(error).__name__})")
            continue
        session.dates[log.plate] = log.local_date
        if state.racked:  # any writer's: nothing is written to it
            if came_back.by == "wall":
                state = resume.on_clock_of_this_start(state, came_back, now)
            session.bench = benches.with_plate(session.bench, state)
            continue
        session.bench = benches.with_plate(session.bench, state)
        session.intend(came_back, now)  # the gap ends at the very instant of its line
    plate = session.bench.plates.get(large) if isinstance(large, str) else None
    if plate is not None and plate.on_bench:
        session.bench = msgspec.structs.replace(session.bench, large=large, chosen=large)


def bring_back_choices(bench: Bench, told: object) -> Bench:
    """Return the bench with the bottles that were chosen for stages still to begin, as bench.json tells them.

    What it tells may be anything.
    """
    try:
        changed = msgspec.convert(told or {}, dict[str, dict[str, str]])
    except msgspec.ValidationError:
        return bench
    there = {plate: roles for plate, roles in changed.items() if plate in bench.plates}
    return msgspec.structs.replace(bench, changed_bottles=there)


def _came_back(services: Services, log: PlateLog, up: float) -> want.CameBack:
    """Return how long the plate was left alone at an instant of now, and by which clock that is known."""
    gap, by = resume.gap(log, services.boot, up, services.session.clock.wall())
    return want.CameBack(log.plate, round(gap, 3), by, services.boot)


def _try_out(bench: Bench, state: PlateState, came_back: want.CameBack, now: float) -> None:
    """Live through the plate's return, drawn and called; raises whatever is wrong with its lines."""
    if not math.isfinite(state.since):
        raise ValueError("it has no time")
    bench = benches.with_plate(bench, state)
    bench = benches.apply_decision(bench, decide_all.decide_intent(bench, came_back, Cause(at="", up=now)))
    zero = clocks.automatic_zero(bench.plates[state.plate])
    if zero is not None and not -A_YEAR < zero - now < A_YEAR:
        raise ValueError("it goes on by itself in another age")
    bench_view(bench, now)
    cues.cues(bench, now)


def _stays_away(services: Services, log: PlateLog, why: str) -> None:
    services.notices.say(f"start {log.plate}", harmless(f"{log.plate} stays where it is: {why}"))
