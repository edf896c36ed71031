"""From key events to strikes: one hand, wet glove. Pure: every instant is given.

A terminal reports presses only, never releases, and a held key as a stream of presses. These rules
turn that stream into what the hand meant:

- A **strike** is a run of key events of one zone, each less than 0.7 s after the last *of that zone*,
  whatever came between (0.15 s for the zones that nudge). It acts once, with the time of its first key.
- A **handful** is every key within 60 ms of its first. It acts when those 60 ms are over. Two live
  zones in it make it void. Dead keys in it are ignored if a live key came first, else it is void.
- A key counts from its **arrival**, however late a busy program takes it: two strikes are not one because
  they were taken together. A handful is held open for 60 ms after its first key was taken, for those that
  arrived with it and wait to be taken.
- For 150 ms after any key, keys of other zones are ignored.
- A key held over 3 s is said once and ignored alone: the other keys of its zone stay live.
- Modifiers and halves of escape sequences are nothing at all: they begin nothing and lock nothing.

The doubtful cases, decided for the side on which no plate moves unasked:

- A run has one verdict, given where it begins. A run that began void or locked out stays without
  effect while it goes on, so the repeats of a key in a mashed handful never act later. The next press
  that acts comes 0.7 s after the last event of that zone.
- A key that goes on with a run made before the handful still makes that handful void when its zone
  is another: two zones were touched at once.
- A live key locked out by a dead key before it is said as void: nothing else tells the hand that its
  press did nothing. One locked out by a live key is not: that key was answered.
- Dead keys are one zone of their own: a burst of them is said once, at its first handful.
- "Held" is seen as events of one key, each less than 0.7 s after the last *of that key* (0.15 s in a zone
  that nudges), for more than 3 s. Drumming one key faster than that looks the same and is treated the
  same. Once held, its events neither lengthen its zone's run nor lock other zones out, so a stuck key
  stops nothing else.
- The repeats of a held key in a zone that nudges pause longer than 0.15 s after the first press, so
  that press can nudge twice, never more.
- `escape` or `circumflex_accent` followed by `[` or `O`, and `alt+[` or `alt+O`, begin a sequence
  that was torn apart on its way (0.7 s at most between its pieces). Its parameters and its final
  character are swallowed, and the escape itself is taken back if its handful is not yet decided.
- Time never runs backwards here: an event stamped before the newest one counts as at the newest.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection

from msgspec import Struct, field

RUN = 0.7
"""Seconds between two events of one zone that still make one strike: longer than any repeat delay."""
NUDGE_RUN = 0.15
"""The same for the zones that nudge."""
SETTLE = 0.06
"""Seconds in which a handful is gathered; a zero waits as long, for a handful that began before it."""
LOCK = 0.15
"""Seconds after any key in which keys of other zones are ignored."""
HELD = 3.0
"""A key held for longer than this many seconds is said."""

_SIDED = ("shift", "control", "alt", "super", "hyper", "meta")
MODIFIERS = frozenset(f"{side}_{key}" for side in ("left", "right") for key in _SIDED) | {
    *_SIDED,
    "ctrl",
    "iso_level3_shift",
    "iso_level5_shift",
    "caps_lock",
    "num_lock",
    "scroll_lock",
    "<ignore>",
}
"""Names of keys that are nothing by themselves."""

_OPENERS = {"left_square_bracket": "[", "O": "O", "upper_o": "O"}
_TORN = {"alt+left_square_bracket": "[", "alt+O": "O", "alt+upper_o": "O"}
_PARAMETERS = frozenset("0123456789") | {
    "semicolon",
    "colon",
    "question_mark",
    "less_than_sign",
    "greater_than_sign",
    "equals_sign",
}
_FINALS = {"tilde", "at", "circumflex_accent", "dollar_sign"}

DEAD = None
"""The zone of every key that does nothing."""


class Strike(Struct, frozen=True):
    """A strike of `zone`: `up` is the time of its first key, `handful` the keys that came with it."""

    zone: str
    up: float
    handful: tuple[str, ...] = ()


class Void(Struct, frozen=True):
    """A handful that does nothing, and why."""

    up: float
    why: str


class Dead(Struct, frozen=True):
    """Only dead keys: to be refused softly."""

    up: float
    why: str = "that key does nothing here"


class HeldLong(Struct, frozen=True):
    """A key of `zone` (None for a dead one) is held: it is ignored until it is let go."""

    zone: str | None
    up: float
    key: str = ""
    why: str = "a key is held down"


Verdict = Strike | Void | Dead | HeldLong

TWO_ZONES = "several keys at once: nothing done"
DEAD_FIRST = "another key came first: nothing done"


class _Handful(Struct):
    first: float
    zone: str | None
    keys: list[str] = field(default_factory=list)
    decided_at: float = 0.0
    void: str | None = None


class _Press(Struct):
    first: float
    last: float
    reported: bool = False


class Recogniser:
    """Turns key events into verdicts; `zone_of` gives a key's zone, None for a dead key.

    `key` takes an event, `due` decides what 60 ms of gathering have settled. Both return the verdicts
    that are new, in order. Instants are seconds on one clock, of any origin.
    """

    def __init__(
        self, zone_of: Callable[[str], str | None], nudge_zones: Collection[str] = frozenset()
    ) -> None:
        """Begin with no key touched."""
        self.zone_of = zone_of
        self._nudges = frozenset(nudge_zones)
        self._handful: _Handful | None = None
        self._runs: dict[str | None, float] = {}
        self._presses: dict[str, _Press] = {}
        self._newest = float("-inf")
        self._torn_opener: str | None = None
        self._torn_at = float("-inf")
        self._escape_at = float("-inf")
        self._elsewhere = ("", float("-inf"))

    def key(self, name: str, up: float, taken: float | None = None) -> list[Verdict]:
        """Take a key event that arrived at `up` seconds; return the verdicts it brings, often none.

        `taken` is the instant of this call, where it is later than the arrival.
        """
        up = self._newest = max(up, self._newest)
        taken = up if taken is None else max(up, taken)
        handful = self._handful
        verdicts = [] if handful is None or up < handful.first + SETTLE else self._decide(handful)
        if name.rpartition("+")[2] in MODIFIERS or self._is_torn_piece(name, up):
            return verdicts
        zone = self.zone_of(name)
        held, verdicts_on_hold = self._follow_press(name, zone, up)
        verdicts += verdicts_on_hold
        if held:
            return verdicts
        last = self._runs.get(zone)
        goes_on = last is not None and up - last < self._longest_gap(zone)
        others = [(at, other) for other, at in self._runs.items() if other != zone]
        locked_at, locked_by = max(others, key=lambda pair: pair[0], default=(float("-inf"), None))
        self._runs[zone] = up
        handful = self._handful
        if handful is not None:
            handful.keys.append(name)
            if zone is not DEAD and zone != handful.zone and handful.void is None:
                handful.void = DEAD_FIRST if handful.zone is DEAD else TWO_ZONES
        elif not goes_on:
            if up - locked_at >= LOCK:
                self._handful = _Handful(up, zone, [name], taken + SETTLE)
            elif zone is not DEAD and locked_by is DEAD:
                verdicts.append(Void(up, DEAD_FIRST))
        return verdicts

    def due(self, up: float) -> list[Verdict]:
        """Return the verdict of the handful whose 60 ms are over at `up`."""
        handful = self._handful
        if handful is None or up < handful.decided_at:
            return []
        return self._decide(handful)

    def _decide(self, handful: _Handful) -> list[Verdict]:
        self._handful = None
        if handful.void is not None:
            return [Void(handful.first, handful.void)]
        if handful.zone is DEAD:
            return [Dead(handful.first)]
        return [Strike(handful.zone, handful.first, tuple(handful.keys))]

    def next_due(self) -> float | None:
        """Return the instant at which `due` has something to decide, or None."""
        return None if self._handful is None else self._handful.decided_at

    @property
    def gathered_since(self) -> float:
        """The arrival of the first key of the handful that is being gathered; infinity without one."""
        return math.inf if self._handful is None else self._handful.first

    def follow(self, other: Recogniser) -> None:
        """Go on from another recogniser's keys: one still held or bouncing there begins no strike here."""
        for name, press in other._presses.items():
            self._presses[name] = _Press(press.first, press.last, press.reported)
            zone = self.zone_of(name)
            self._runs[zone] = max(press.last, self._runs.get(zone, press.last))
        self._newest = max(self._newest, other._newest)

    def taken_elsewhere(self, name: str, up: float) -> bool:
        """Note a key that a list or a form acts on; return False for one that is held or bounces.

        Its repeats begin no strike here afterwards. A form tells of typed text as "", which ends a run.
        """
        up = self._newest = max(up, self._newest)
        last, at = self._elsewhere
        self._elsewhere = (name, up)
        if not name:
            return True
        press = self._presses.get(name)
        held = press is not None and up - press.last < RUN and (last != "" or press.last > at)
        self._follow_press(name, self.zone_of(name), up)
        self._runs[self.zone_of(name)] = up
        return not held

    def goes_on(self, name: str, up: float) -> bool:
        """True when a key at `up` is of a strike made before: its repeat, or the rest of its handful."""
        up = max(up, self._newest)
        zone, press = self.zone_of(name), self._presses.get(name)
        if press is not None and up - press.last < self._longest_gap(zone):
            return True
        return zone is not DEAD and up - self._runs.get(zone, float("-inf")) < LOCK

    def _longest_gap(self, zone: str | None) -> float:
        """Return how many seconds may lie between two key events of one strike of this zone."""
        return NUDGE_RUN if zone in self._nudges else RUN

    def _follow_press(self, name: str, zone: str | None, up: float) -> tuple[bool, list[Verdict]]:
        """Follow one key; return whether it is held too long, and what is said about it."""
        press = self._presses.get(name)
        if press is None or up - press.last >= self._longest_gap(zone):
            if len(self._presses) > 64:  # random keys must not fill the memory
                self._presses = {k: p for k, p in self._presses.items() if up - p.last < RUN}
            self._presses[name] = _Press(up, up)
            return False, []
        press.last = up
        if up - press.first <= HELD:
            return False, []
        if press.reported:
            return True, []
        press.reported = True
        return True, [HeldLong(zone, up, name)]

    def _is_torn_piece(self, name: str, up: float) -> bool:
        """Return True for a piece of a torn escape sequence."""
        if self._torn_opener is not None and up - self._torn_at < RUN:
            single = self._torn_opener == "O"
            if name in _PARAMETERS and not single:
                self._torn_at = up
                return True
            self._torn_opener = None
            if len(name) == 1 or name in _FINALS:
                return True
        self._torn_opener = None
        if name in _TORN:
            self._torn_opener, self._torn_at = _TORN[name], up
            return True
        if name in _OPENERS and up - self._escape_at < RUN:
            self._torn_opener, self._torn_at = _OPENERS[name], up
            self._escape_at = float("-inf")
            if self._handful is not None and self._handful.keys in (["escape"], ["circumflex_accent"]):
                self._runs.pop(self._handful.zone, None)
                self._handful = None
            return True
        self._escape_at = up if name in ("escape", "circumflex_accent") else float("-inf")
        return False
