"""Every action of the bench, once: footer, menu, help screen and the README's key table come from here.

An action of a zone is struck; an action of the menu is chosen. `why_not` tells why it does nothing
now, in the words that the screen shows.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from darkroom.bench.all_plates import NEW, Bench
from darkroom.bench.state import PlateState


@dataclass(frozen=True, slots=True)
class Action:
    """One thing that can be done: `zone` is the key zone that does it, or None for the menu."""

    id: str
    zone: str | None
    label: str
    help: str
    why_not: Callable[[Bench, float], str | None]


def _plate(bench: Bench, now: float) -> str | None:
    return None if bench.shown is not None else "no plate on the bench"


def _begun(bench: Bench, now: float) -> str | None:
    if bench.shown is None:
        return "no plate on the bench"
    return "the plate has not begun" if bench.large == NEW else None


def _on_bench(bench: Bench, now: float) -> str | None:
    reason = _begun(bench, now)
    if reason is None and bench.shown is not None and bench.shown.phase == "ended":
        return "this plate is finished"
    return reason


def _waiting_too(bench: Bench, now: float) -> str | None:
    return None if bench.large == NEW else _on_bench(bench, now)


def _several(bench: Bench, now: float) -> str | None:
    return None if len(bench.on_bench) > 1 else "there is only this plate"


def _exposure(bench: Bench, now: float) -> str | None:
    state = bench.shown
    if state is None:
        return "no plate on the bench"
    ready = state.stage.ends == "exposure" and state.phase == "ready"
    if not (ready or bench.large == NEW):
        return "the exposure is set while it stands ready"
    if state.plan is None or state.plan.seconds is None:
        return "no single exposure time is set: use the menu"
    return None


def _exposed(bench: Bench, now: float) -> str | None:
    reason = _on_bench(bench, now)
    if reason is not None or bench.shown is None:
        return reason
    state: PlateState = bench.shown
    window = state.process.wet_window
    exposed = any(state.process.stage(done.stage).ends == "exposure" for done in state.done)
    developed = (
        window is not None and state.index >= state.process.index(window.to) and state.phase != "ready"
    )
    return None if exposed and not developed else "an exposure is added to before the developer"


def _undone(bench: Bench, now: float) -> str | None:
    from darkroom.bench.intents import Cause
    from darkroom.bench.undo import put_back

    reason = _begun(bench, now)
    if reason is not None or bench.shown is None:
        return reason
    return put_back(bench.shown, Cause("", now))[1]


def _rack(bench: Bench, now: float) -> str | None:
    return None if bench.rack else "the rack is empty"


def _always(bench: Bench, now: float) -> str | None:
    return None


ACTIONS: tuple[Action, ...] = (
    Action("go", "go", "go", "Start, next, “it has cleared”.", _plate),
    Action(
        "undo", "undo", "take back", "Take the last step back; its clock goes on as if never left.", _begun
    ),
    Action(
        "earlier", "earlier", "5 s earlier", "The last step happened five seconds before the strike.", _begun
    ),
    Action("mark", "mark", "mark", "Something happened now; the words come later, dry.", _begun),
    Action("left", "left", "plate before", "Make the plate before large.", _several),
    Action("right", "right", "plate after", "Make the plate after large.", _several),
    Action("up", "up", "longer", "A third of a stop more, while the exposure stands ready.", _exposure),
    Action("down", "down", "shorter", "A third of a stop less, while the exposure stands ready.", _exposure),
    Action("menu", "menu", "menu", "Everything else; the clocks go on.", _always),
)

MENU: tuple[Action, ...] = (
    Action("again", None, "New plate like the last", "Two strikes, no typing.", _always),
    Action("rack", None, "Take a plate from the rack", "To varnish it, or to finish it unvarnished.", _rack),
    Action("add", None, "Add to the exposure", "Open the lens a second time before the developer.", _exposed),
    Action("plan", None, "Set the exposure", "A time, steps, or flashes.", _plate),
    Action("temperatures", None, "Temperatures and humidity", "What the thermometers say now.", _always),
    Action("wet", None, "How long it stays wet", "A damp pad, a cool day: your own time wins.", _plate),
    Action("note", None, "Note", "A few words on the large plate.", _begun),
    Action("put_back", None, "Put it back", "Take the last take-back back.", _undone),
    Action("skip", None, "Leave this stage out", "It is recorded as left out.", _on_bench),
    Action("abandon", None, "Give this plate up", "With a reason from a list.", _waiting_too),
    Action("dimmer", None, "Dimmer", "One step darker.", _always),
    Action("brighter", None, "Brighter", "One step brighter.", _always),
    Action(
        "blackout",
        None,
        "Blackout",
        "No light until a key, which counts; clocks and calls go on.",
        _always,
    ),
    Action("keys", None, "Keys", "What each key does.", _always),
    Action("log", None, "The log", "The plates made so far: judge, compare, see trends.", _always),
    Action("home", None, "Home", "The form for a new plate.", _always),
    Action("leave", None, "Leave", "The plates stay on the bench.", _always),
)

BY_ID = {action.id: action for action in (*ACTIONS, *MENU)}

REASONS = (
    "fogged", "film lifted", "dried out", "badly poured", "dropped or broken", "light leak",
    "wrong exposure", "only a trial",
)  # fmt: skip
"""Why a plate is given up (common practice, no source)."""


def footer(bench: Bench, now: float) -> list[tuple[str, str]]:
    """Return (action id, label) of the zones that do something now, the most needed first.

    A narrow screen shows the first few: the menu, which leads to all the rest, is among them.
    """
    order = sorted(ACTIONS, key=lambda action: {"go": 0, "undo": 1, "menu": 2}.get(action.id, 3))
    return [(action.id, action.label) for action in order if action.why_not(bench, now) is None]
