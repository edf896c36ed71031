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

from msgspec import Struct

from darkroom.bench import exposure_hints, temperatures
from darkroom.bench.state import PlateState
from darkroom.process import rinses, timing
from darkroom.process.model import Ends, Process, Stage
from darkroom.process.text.durations import show_elapsed


class Ending(Struct, frozen=True, kw_only=True):
    """One way a stage ends.

    `zero` returns the instant at which the running stage reaches zero, or None while it counts up.
    `goes_on`: at its zero the plate goes on by itself. `calls`: at its zero it calls for a hand, and its
    overrun is counted. `has_usual`: while it counts up, the upper end of its usual range is called.
    `clears`: its first strike means "it has cleared". `opens_lens`: it follows the exposure plan, in one or
    more parts. `hint` returns what is said of the running stage before its zero where its file says nothing;
    it takes the verb of the moment at which the stage is due. `text` names the way; `time_text` stands where
    a stage without a time of its own would show it.
    """

    zero: Callable[[PlateState], float | None]
    hint: Callable[[PlateState, float, str], str]
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
    return protected_least_at(state.process, state.index)


def protected_least_at(process: Process, place: int) -> float:
    """Return the seconds that the stage at `place` must last because it protects; 0 for any other stage."""
    least = process.stages[place].at_least
    return least if least is not None and rinses.protects(process.stages, place) else 0.0


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


def _when_done(state: PlateState, now: float, verb: str) -> str:
    return f"Press when {state.stage.shown} is done."


def _at_zero(state: PlateState, now: float, verb: str) -> str:
    window = state.process.wet_window
    if _by_law(state) is None:
        return _when_done(state, now, verb)
    if window is not None and state.stage.name == window.from_:
        return f"Leave it in. {verb.capitalize()} at the call."
    if window is not None and state.stage.name == window.to:
        return f"Keep it moving. Press as you {verb}."
    if state.index + 1 == len(state.process.stages):
        return "At zero: press to finish."
    return f"At zero: press, then {verb}."


def _by_itself(state: PlateState, now: float, verb: str) -> str:
    return f"It goes on by itself at zero: {verb}."


def _when_cleared(state: PlateState, now: float, verb: str) -> str:
    if state.cleared_at is not None:
        twice = (state.stage.clearing_factor or 2.0) == 2.0
        return "Leave it in as long again." if twice else "Cleared. Leave it in until zero."
    usual = temperatures.usual(state)
    if usual is not None and now - state.since >= usual[1] and state.pace <= 1.0:
        least, most = map(show_elapsed, usual)
        return f"Over the usual {least} to {most}: press when it has cleared."
    return "Press when it has cleared."


def _cap_on(state: PlateState, now: float, verb: str) -> str:
    return exposure_hints.to_do(state, now, _by_plan(state))


_ENDINGS: dict[Ends, Ending] = {
    "by_eye": Ending(zero=_no_zero, hint=_when_done, text="by eye", has_usual=True),
    "on_time": Ending(zero=_by_law, hint=_at_zero, text="on time", calls=True),
    "at_zero": Ending(zero=_by_law_after_least, hint=_by_itself, text="by itself at zero", goes_on=True),
    "cleared": Ending(
        zero=_by_clearing,
        hint=_when_cleared,
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
