"""Every action of the bench, once: key map, strikes, footer, menu, help page and README table come from here.

An action of a zone is struck; an action of the menu is chosen. Why it does nothing now is asked of the bench
that decides what it intends.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from darkroom.bench import decide_all
from darkroom.bench import intents as want
from darkroom.bench.all_plates import NEW, Bench
from darkroom.bench.intents import Intent


@dataclass(frozen=True, slots=True)
class Action:
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

    def asks(self, bench: Bench) -> Intent | None:
        """Return what the action asks of this bench, or None when it asks nothing."""
        return self.intent(bench) if callable(self.intent) else self.intent

    def why_not(self, bench: Bench, now: float) -> str | None:
        """Return why the bench would refuse the action at `now`, or None."""
        intent = self.asks(bench)
        return None if intent is None else decide_all.why_not(bench, intent, now)

    def stands(self, bench: Bench, now: float) -> bool:
        """Return whether the action is taken now, or when it is struck again a second later."""
        intent = self.asks(bench)
        return intent is None or decide_all.why_not_twice(bench, intent, now) is None


def _abandon(bench: Bench) -> Intent | None:
    """A plate that has not begun is taken off the bench: nothing of it is recorded."""
    return None if bench.large == NEW else want.Abandon("")


def _rack(bench: Bench) -> Intent:
    return want.FinishUnvarnished(bench.rack[0].plate if bench.rack else "")


def _struck(
    zone: str, label: str, text: str, intent: Intent | None, keys: tuple[str, ...], opens: str | None = None
) -> Action:
    return Action(zone, zone, label, text, intent, opens, keys)


def _chosen(
    name: str,
    label: str,
    text: str,
    intent: Intent | Callable[[Bench], Intent | None] | None = None,
    opens: str | None = None,
) -> Action:
    return Action(name, None, label, text, intent, opens)


ACTIONS: tuple[Action, ...] = (
    _struck("go", "go", "Start, next, “it has cleared”.", want.Go(),
            ("space", "x", "c", "v", "b", "n", "m", "comma")),
    _struck("undo", "take back", "Take the last step back; its clock goes on as if never left.", want.Undo(),
            ("backspace", "delete")),
    _struck("earlier", "5 s earlier", "The last step happened five seconds before the strike.",
            want.Earlier(), ("1", "2", "3", "4", "5")),
    _struck("mark", "mark", "Something happened now; the words come later, dry.", want.MarkNow(),
            ("f5", "f6", "f7", "f8", "f9", "f10", "f11", "f12")),
    _struck("left", "plate before", "Make the plate before large.", want.Look(-1), ("left",)),
    _struck("right", "plate after", "Make the plate after large.", want.Look(1), ("right",)),
    _struck("up", "longer", "A third of a stop more, while the exposure stands ready.", want.Nudge(1),
            ("up",)),
    _struck("down", "shorter", "A third of a stop less, while the exposure stands ready.", want.Nudge(-1),
            ("down",)),
    _struck("menu", "menu", "Everything else; the clocks go on.", None, ("escape",), opens="menu"),
)  # fmt: skip

MENU: tuple[Action, ...] = (
    _chosen("again", "New plate like the last", "Two strikes, no typing.", opens="again"),
    _chosen("rack", "Take a plate from the rack", "To varnish it, or to finish it unvarnished.",
            _rack, "rack"),
    _chosen("add", "Add to the exposure", "Open the lens a second time before the developer.",
            want.AddExposure(), "add"),
    _chosen("plan", "Set the exposure", "A time, steps, or flashes.", want.SetPlan(None), "plan"),
    _chosen("temperatures", "Temperatures and humidity", "What the thermometers say now.",
            opens="temperatures"),
    _chosen("wet", "How long it stays wet", "A damp pad, a cool day: your own time wins.",
            want.SetWetTime(None), "wet"),
    _chosen("note", "Note", "A few words on the large plate.", want.Say(""), "note"),
    _chosen("put_back", "Put it back", "Take the last take-back back.", want.PutBack()),
    _chosen("skip", "Leave this stage out", "It is recorded as left out.", want.Skip()),
    _chosen("abandon", "Give this plate up", "With a reason from a list.", _abandon, "abandon"),
    _chosen("dimmer", "Dimmer", "One step darker.", opens="dimmer"),
    _chosen("brighter", "Brighter", "One step brighter.", opens="brighter"),
    _chosen("blackout", "Blackout", "No light until a key, which counts; clocks and calls go on.",
            opens="blackout"),
    _chosen("keys", "Keys", "What each key does.", opens="keys"),
    _chosen("log", "The log", "The plates made so far: judge, compare, see trends.", opens="log"),
    _chosen("home", "Home", "The form for a new plate.", opens="home"),
    _chosen("leave", "Leave", "The plates stay on the bench.", opens="leave"),
)  # fmt: skip

BY_ID = {action.id: action for action in (*ACTIONS, *MENU)}
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
    order = sorted(ACTIONS, key=lambda action: {"go": 0, "undo": 1, "menu": 2}.get(action.id, 3))
    return [(action.id, action.label) for action in order if action.stands(bench, now)]


class Footer:
    """The footer of a screen that is drawn many times a second: asked again only when it may have changed.

    An undo is decided by folding the plate's lines, which is too dear for every frame: the bench is asked
    when its state is another, or `LASTS` seconds have passed.
    """

    LASTS = 0.5

    def __init__(self) -> None:
        self._bench: Bench | None = None
        self._up = 0.0
        self._shown: list[tuple[str, str]] = []

    def at(self, bench: Bench, now: float) -> list[tuple[str, str]]:
        """Return `footer(bench, now)`, at most half a second old."""
        if bench is not self._bench or not 0 <= now - self._up < self.LASTS:
            self._bench, self._up, self._shown = bench, now, footer(bench, now)
        return self._shown
