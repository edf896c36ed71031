"""The ways a stage ends: one record per way, with everything that differs between them. Pure.

No other module asks which way a stage ends: it asks what follows from it. A new way is a word in
`process.model.Ends` and a record here.

| way | its zero | at its zero | a strike |
|---|---|---|---|
| by_eye | none | – | ends it |
| on_time | by its law of time | calls, counts the overrun | ends it |
| at_zero | by its law of time | goes on by itself | ends it |
| cleared | the clearing time by its factor | calls, counts the overrun | "it has cleared", then ends it |
| exposure | the end of the plan, if there is one | goes on by itself | ends it: cap on |
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from darkroom.bench import exposure_hints, temperatures
from darkroom.bench.state import PlateState
from darkroom.process import rinses, timing
from darkroom.process.model import Ends, Process, Stage
from darkroom.process.text.durations import show_elapsed


@dataclass(frozen=True, slots=True, kw_only=True)
class Ending:
    """One way a stage ends.

    `zero` returns the instant at which the running stage reaches zero, or None while it counts up.
    `goes_on`: at its zero the plate goes on by itself. `calls`: at its zero it calls for a hand, and its
    overrun is counted. `has_usual`: while it counts up, the upper end of its usual range is called.
    `clears`: its first strike means "it has cleared". `opens_lens`: it follows the exposure plan, in one or
    more parts. `hint` returns the sentence for the running stage before its zero. `text` names the way;
    `time_text` stands where a stage without a time of its own would show it.
    """

    zero: Callable[[PlateState], float | None]
    hint: Callable[[PlateState, float], str]
    text: str
    time_text: str = "by eye"
    goes_on: bool = False
    calls: bool = False
    has_usual: bool = False
    clears: bool = False
    opens_lens: bool = False


def of(stage: Stage) -> Ending:
    """Return how the stage ends."""
    return _ENDINGS[stage.ends]


def exposure_place(process: Process) -> int | None:
    """Return the place of the exposure in a process, or None without one."""
    return next((place for place, stage in enumerate(process.stages) if of(stage).opens_lens), None)


def protected_least(state: PlateState) -> float:
    """Return the seconds that water before or after cyanide must last; 0 for any other stage."""
    least = state.stage.at_least
    return least if least is not None and rinses.protects(state.process.stages, state.index) else 0.0


def _no_zero(state: PlateState) -> None:
    return None


def _by_law(state: PlateState) -> float | None:
    law = timing.law_of(state.process, state.index)
    if law is None:
        return None
    trace = temperatures.celsius_trace(state, state.stage.at)
    return timing.zero_at(law, temperatures.plain(trace), state.since)


def _by_law_after_least(state: PlateState) -> float | None:
    zero = _by_law(state)
    return None if zero is None else max(zero, state.since + protected_least(state))


def _by_clearing(state: PlateState) -> float | None:
    if state.cleared_at is None:
        return None
    whole = (state.stage.clearing_factor or 2.0) * (state.cleared_at - state.since)
    return state.since + max(whole, state.stage.at_least or 0.0)


def _by_plan(state: PlateState) -> float | None:
    last = state.parts[-1] if state.parts else None
    return None if last is None or last.planned is None else last.started + last.planned


def _strike_when_done(state: PlateState, now: float) -> str:
    return state.stage.hint or f"Strike when {state.stage.shown} is done."


def _strike_over_usual(state: PlateState, now: float) -> str:
    usual = temperatures.usual(state)
    if usual is not None and now - state.since >= usual[1]:
        least, most = map(show_elapsed, usual)
        return f"Over the usual {least} to {most}: strike when it is done."
    return _strike_when_done(state, now)


def _strike_when_cleared(state: PlateState, now: float) -> str:
    if state.cleared_at is None:
        return state.stage.hint or "Strike when it has cleared."
    return "Leave it in as long again."


def _cap_on(state: PlateState, now: float) -> str:
    return exposure_hints.to_do(state, now, _by_plan(state))


_ENDINGS: dict[Ends, Ending] = {
    "by_eye": Ending(zero=_no_zero, hint=_strike_over_usual, text="by eye", has_usual=True),
    "on_time": Ending(zero=_by_law, hint=_strike_when_done, text="on time", calls=True),
    "at_zero": Ending(
        zero=_by_law_after_least, hint=_strike_when_done, text="by itself at zero", goes_on=True
    ),
    "cleared": Ending(
        zero=_by_clearing,
        hint=_strike_when_cleared,
        text="by clearing",
        time_text="until it has cleared",
        calls=True,
        has_usual=True,
        clears=True,
    ),
    "exposure": Ending(
        zero=_by_plan,
        hint=_cap_on,
        text="exposure",
        time_text="as the exposure plan says",
        goes_on=True,
        opens_lens=True,
    ),
}
