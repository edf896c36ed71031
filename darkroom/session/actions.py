"""Every action of the bench, once: key map, strikes, footer, menu, help page and README table come from here.

An action of a zone is struck; an action of the menu is chosen. Why it does nothing now is asked of the bench
that decides what it intends.
"""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from darkroom.bench import decide_all
from darkroom.bench import intents as want
from darkroom.bench.all_plates import NEW, Bench
from darkroom.bench.intents import Intent


class Action(Struct, frozen=True):
    """One thing that can be done.

    `zone` is the key zone that does it, with its `keys` where no key map file says others; None for the menu.
    `intent` is what the action asks of the bench, or a function of the bench that returns it; None where
    nothing is asked of the bench, and the action is always there. `opens` names what the screens open for it:
    then `intent` is a stand-in for what the photographer has yet to type or choose. Without it the intent is
    carried out as it is.
    """

    id: str
    zone: str | None
    label: str
    help: str
    intent: Intent | Callable[[Bench], Intent | None] | None = None
    opens: str | None = None
    keys: tuple[str, ...] = ()

    def intent_for(self, bench: Bench) -> Intent | None:
        """Return what the action asks of this bench, or None when it asks nothing."""
        return self.intent(bench) if callable(self.intent) else self.intent

    def why_not(self, bench: Bench, now: float) -> str | None:
        """Return why the bench would refuse the action at `now`, or None."""
        intent = self.intent_for(bench)
        return None if intent is None else decide_all.why_not(bench, intent, now)

    def is_offered(self, bench: Bench, now: float) -> bool:
        """Return whether the action is taken now, or when it is struck again a second later."""
        intent = self.intent_for(bench)
        return intent is None or decide_all.why_not_twice(bench, intent, now) is None


def _abandon(bench: Bench) -> Intent | None:
    """A plate that has not begun is taken off the bench: nothing of it is recorded."""
    return None if bench.large == NEW else want.Abandon("")


def _rack(bench: Bench) -> Intent:
    return want.FinishUnvarnished(bench.rack[0].plate if bench.rack else "")


def _zone_action(
    zone: str,
    label: str,
    help_text: str,
    intent: Intent | None,
    keys: tuple[str, ...],
    opens: str | None = None,
) -> Action:
    return Action(zone, zone, label, help_text, intent, opens, keys)


def _menu_action(
    name: str,
    label: str,
    help_text: str,
    intent: Intent | Callable[[Bench], Intent | None] | None = None,
    opens: str | None = None,
) -> Action:
    return Action(name, None, label, help_text, intent, opens)


ACTIONS: tuple[Action, ...] = (
    _zone_action("go", "go", "Start, next, “it has cleared”.", want.Go(),
                 ("space", "x", "c", "v", "b", "n", "m", "comma")),
    _zone_action("undo", "take back", "Take the last step back; its clock goes on as if never left.",
                 want.Undo(), ("backspace", "delete")),
    _zone_action("earlier", "earlier", "The last step happened five seconds before the press.",
                 want.Earlier(), ("1", "2", "3")),
    _zone_action("mark", "mark", "Something happened now; the words come later, dry.", want.MarkNow(),
                 ("6", "7")),
    _zone_action("tell", "tell", "The voice says plate, stage, time and what to do; nothing changes.", None,
                 ("0",), opens="tell"),
    _zone_action("left", "plate before", "Make the plate before large.", want.Look(-1), ("left",)),
    _zone_action("right", "plate after", "Make the plate after large.", want.Look(1), ("right",)),
    _zone_action("up", "longer", "A third of a stop more, while the exposure stands ready.",
                 want.Nudge(1), ("up",)),
    _zone_action("down", "shorter", "A third of a stop less, while the exposure stands ready.",
                 want.Nudge(-1), ("down",)),
    _zone_action("menu", "menu", "Everything else; the clocks go on.", None, ("escape",), opens="menu"),
)  # fmt: skip

MENU: tuple[Action, ...] = (
    _menu_action("again", "New plate like the last", "Two presses, no typing.", opens="again"),
    _menu_action("rack", "Take a plate from the rack", "To varnish it, or to finish it unvarnished.",
                 _rack, "rack"),
    _menu_action("proposed", "New plate as proposed", "With the exposure that stands here.",
                 want.TakeProposed(), "proposed"),
    _menu_action("next", "The next plate: more, right, less", "Half a stop each, for the proposal.",
                 want.JudgeExposure("right"), "next"),
    _menu_action("bottle", "Change a bottle", "For what is still to begin, and for the plates after.",
                 want.ChangeBottle(), "bottle"),
    _menu_action("add", "Add to the exposure", "Open the lens a second time before the developer.",
                 want.AddExposure(), "add"),
    _menu_action("open", "How long was it open?", "For an exposure whose end nobody saw.",
                 want.TellOpen(0.0), "open"),
    _menu_action("plan", "Set the exposure", "A time, steps, or flashes.", want.SetPlan(None), "plan"),
    _menu_action("temperatures", "Temperatures and humidity", "What the thermometers say now.",
                 opens="temperatures"),
    _menu_action("wet", "How long it stays wet", "A damp pad, a cool day: your own time wins.",
                 want.SetWetTime(None), "wet"),
    _menu_action("note", "Note", "A few words on the large plate.", want.Say(""), "note"),
    _menu_action("put_back", "Put it back", "Take the last take-back back.", want.PutBack()),
    _menu_action("skip", "Leave this stage out", "It is recorded as left out.", want.Skip()),
    _menu_action("abandon", "Give this plate up", "With a reason from a list.", _abandon, "abandon"),
    _menu_action("dimmer", "Dimmer", "One step darker.", opens="dimmer"),
    _menu_action("brighter", "Brighter", "One step brighter.", opens="brighter"),
    _menu_action("blackout", "Blackout", "No light until a key, which counts; clocks and calls go on.",
                 opens="blackout"),
    _menu_action("keys", "Keys", "What each key does.", opens="keys"),
    _menu_action("log", "The log", "The plates made so far: judge, compare, see trends.", opens="log"),
    _menu_action("home", "Home", "The form for a new plate.", opens="home"),
    _menu_action("leave", "Leave", "The plates stay on the bench.", opens="leave"),
)  # fmt: skip

LEAVE_OUT = _menu_action(
    "lesson", "Leave this lesson out", "The next one comes at its moment.", opens="lesson"
)
"""Stands in the menu of a guided rehearsal alone."""

BY_ID = {action.id: action for action in (*ACTIONS, *MENU, LEAVE_OUT)}
BY_ZONE = {action.id: action for action in ACTIONS}

REASONS = (
    "fogged",
    "film lifted",
    "dried out",
    "badly poured",
    "dropped or broken",
    "light leak",
    "wrong exposure",
    "only a trial",
)
"""Why a plate is given up (common practice, no source)."""


def footer(bench: Bench, now: float) -> list[tuple[str, str]]:
    """Return (action id, label) of the zones that do something now, the most needed first.

    A narrow screen shows the first few: the menu, which leads to all the rest, is among them.
    """
    order = sorted(
        ACTIONS, key=lambda action: {"go": 0, "undo": 1, "menu": 2, "up": 3, "down": 3}.get(action.id, 4)
    )
    return [(action.id, action.label) for action in order if action.is_offered(bench, now)]


class Footer:
    """The footer of a screen that is drawn many times a second: asked again only when it may have changed.

    An undo is decided by folding the plate's lines, which is too dear for every frame: the bench is asked
    when its state is another, or `MAX_AGE` seconds have passed.
    """

    MAX_AGE = 0.5

    def __init__(self) -> None:
        self._bench: Bench | None = None
        self._up = 0.0
        self._shown: list[tuple[str, str]] = []

    def at(self, bench: Bench, now: float) -> list[tuple[str, str]]:
        """Return `footer(bench, now)`, at most half a second old."""
        if bench is not self._bench or not 0 <= now - self._up < self.MAX_AGE:
            self._bench, self._up, self._shown = bench, now, footer(bench, now)
        return self._shown
