"""What is said before something is done to a bottle, for the hand that may still stop. Pure.

The one home of these warnings: the commands and the full-screen tool ask `warnings` before they write. None
of them refuses; the photographer decides. What must not meet is `dangers`' to say.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType

import msgspec

from darkroom.solutions import events as ev
from darkroom.solutions.bottle import DAY, Bottle
from darkroom.solutions.bottle_strength import BottleStrength
from darkroom.solutions.bottle_words import age_text, percent_text, volume_text
from darkroom.solutions.contents import contents, fixing_in_each, holds_cyanide
from darkroom.solutions.dangers import FLAME, dangers, kinds_of
from darkroom.solutions.events import BottleEntry
from darkroom.solutions.recipe import Recipe
from darkroom.solutions.substances import SHEET_FIRST

GOOD_WITHIN = 0.3
"""A bath is good when it is weaker than it should be by no more than so many % w/v (our own choice)."""
MORE_THAN_EVER = 1.02
"""By this part more than a bottle ever held is a slip, or should be said (our own choice)."""
_LITMUS = (
    "No test of it is noted within a day: dip litmus first. Acid or alkali goes in only where the test asks "
    "for it, a drop at a time."
)
_BOILING = (
    "Hot silver nitrate spits and blinds, and the vapour of alcohol and ether burns: face shield, no flame, "
    "outdoors or under a hood. For the practised alone."
)
NO_RECIPES: Mapping[str, Recipe] = MappingProxyType({})
_GOOD = "silver added to a bath that is strong enough spoils its plates (common practice, no source)."


def warnings(
    bottle: Bottle,
    event: ev.BottleEvent,
    now: float,
    *,
    others: Iterable[Bottle] = (),
    strength: BottleStrength | None = None,
    wanted: float | None = None,
    recipes: Mapping[str, Recipe] = NO_RECIPES,
) -> tuple[str, ...]:
    """Return what must be said before a line is written to a bottle; () where there is nothing to say.

    `now` is the instant at which it happens. `others` are the other bottles of the book, `strength` is that
    of this one as it is known, `wanted` the % w/v that its recipe gives it. `recipes`, by the names of their
    files, tell what the bottles hold. What looks like a slip comes first; of what can hurt the supplier's
    safety sheet does.
    """
    found: list[str] = []
    others = [*others]
    hold = _Contents(recipes, [bottle, *others])
    match event:
        case ev.Treated(how="acid" | "alkali" as how):
            found += _acid_or_alkali(hold, bottle, how, event.amount, now, others)
        case ev.Treated(how="boiled_down") if bottle.what == "bath":
            found.append(_BOILING)
        case ev.Treated(how="filtered" | "boiled_down"):
            found += _flame(hold, bottle)
        case ev.ToppedUp():
            found += _topped_up(bottle, event, strength, wanted) + _flame(hold, bottle)
            found += _meeting(hold, bottle, [other for other in others if other.id == event.from_])
        case ev.Made():
            sources = [other for other in others if other.id in event.from_]
            found += _meeting(hold, bottle, sources)
            found += [said for one in sources for said in _meeting(hold, one, sources)]
            found += _kept_beside(hold, bottle, others, now)
        case ev.RecipeNamed():
            found += _kept_beside(
                hold, msgspec.structs.replace(bottle, recipe=event.recipe), list(others), now
            )
        case ev.DrawnOff() if event.to is not None:
            found += _meeting(hold, bottle, [other for other in others if other.id == event.to])
        case _:
            pass
    unique = tuple(dict.fromkeys(found))
    return (*_doubts(bottle, event), *((SHEET_FIRST, *unique) if unique else ()))


def _doubts(bottle: Bottle, event: ev.BottleEvent) -> list[str]:
    """Return what makes a line look like a slip: a discarded bottle, more than it ever held."""
    done = ev.Opened | ev.Treated | ev.ToppedUp | ev.Measured | ev.DrawnOff | ev.SetAside | ev.Discarded
    said = []
    if bottle.out_of_use == "discarded" and isinstance(event, done):
        said.append(f"{bottle.name} is discarded.")
    if isinstance(event, ev.Measured) and event.what == "volume":
        held = [volume for volume in map(_volume_of, bottle.entries) if volume is not None]
        if held and event.value > max(held) * MORE_THAN_EVER:
            text = f"{volume_text(event.value)}, where it never held more than {volume_text(max(held))}"
            said.append(f"{bottle.name} holds {text} by the book: is that right?")
    return said


def _volume_of(entry: BottleEntry) -> float | None:
    """Return what a line says that a bottle holds since."""
    match entry.event:
        case ev.Made() | ev.ToppedUp():
            return entry.event.volume
        case ev.Measured(what="volume"):
            return entry.event.value
        case _:
            return None


class _Contents:
    """What bottles hold, by their own recipes where these are at hand."""

    def __init__(self, recipes: Mapping[str, Recipe], bottles: Sequence[Bottle]) -> None:
        self._recipes = recipes
        self._fixing = fixing_in_each([*{bottle.id: bottle for bottle in bottles}.values()], recipes)

    def of(self, bottle: Bottle) -> tuple[str, ...]:
        """Return the substances and kinds in a bottle."""
        if self.cyanide(bottle):
            return ("potassium-cyanide",)
        return contents(bottle, self._recipes.get(bottle.recipe or ""))

    def kinds(self, bottle: Bottle) -> set[str]:
        """Return the kinds of what is in a bottle."""
        return {kind for held in self.of(bottle) for kind in kinds_of(held)}

    def cyanide(self, bottle: Bottle) -> bool:
        """Return whether cyanide is in a bottle, or was poured into it."""
        by_itself = holds_cyanide(bottle, self._recipes.get(bottle.recipe or ""))
        return by_itself or self._fixing.get(bottle.id) == "cyanide"


def _acid_or_alkali(
    hold: _Contents, bottle: Bottle, how: str, amount: str | None, now: float, others: Sequence[Bottle]
) -> list[str]:
    found: list[str] = []
    opposite = "alkali" if how == "acid" else "acid"
    before = bottle.last.get(opposite)
    if before is not None and abs(now - before) < DAY:
        words = f"{opposite.capitalize()} went in {age_text(now - before)} ago. "
        found.append(words + (dangers("acid", "alkali") or ""))
    put_in = [how, *(["ammonia"] if "ammoni" in (amount or "").casefold() else [])]
    found += _said(dangers(one, held) for one in put_in for held in hold.of(bottle))
    if how == "alkali" and bottle.what == "bath" and len(put_in) == 1:
        found.append("Is it ammonia? " + (dangers("silver-nitrate", "ammonia") or ""))
    if how == "acid":
        found += _beside_cyanide(hold, bottle, others, now)
    tested = bottle.last.get("ph")
    if tested is None or not 0 <= now - tested < DAY:
        found.append(_LITMUS)
    return found


def _about(bottle: Bottle, others: Sequence[Bottle], now: float) -> list[Bottle]:
    return [other for other in others if other.id != bottle.id and other.state(now) != "discarded"]


def _beside_cyanide(hold: _Contents, bottle: Bottle, others: Sequence[Bottle], now: float) -> list[str]:
    """Return the warning for acid that is handled while a cyanide bottle is about."""
    cyanide = [other for other in _about(bottle, others, now) if hold.cyanide(other)]
    return [f"{other.name} holds cyanide. {dangers('acid', 'cyanide')}" for other in cyanide]


def _kept_beside(hold: _Contents, bottle: Bottle, others: Sequence[Bottle], now: float) -> list[str]:
    """Return what is said of a bottle that is new among others: cyanide, acid, silver, ammonia."""
    if hold.cyanide(bottle):
        return [
            "Only for those who are trained, and licensed where the law asks it; never alone. Hypo "
            "fixes too.",
            dangers("acid", "cyanide") or "",
        ]
    kinds = hold.kinds(bottle)
    found = _beside_cyanide(hold, bottle, others, now) if "acid" in kinds else []
    for mine, theirs in (("silver", "ammonia"), ("ammonia", "silver")):
        if mine in kinds:
            beside = [other for other in _about(bottle, others, now) if theirs in hold.kinds(other)]
            found += [f"{other.name} holds {theirs}. {dangers(mine, theirs)}" for other in beside]
    return found


def _topped_up(
    bottle: Bottle, event: ev.ToppedUp, strength: BottleStrength | None, wanted: float | None
) -> list[str]:
    if bottle.what != "bath" or not (event.grams or event.stock) or strength is None:
        return []
    if wanted is None:
        wanted = next(
            (entry.event.strength for entry in bottle.entries if isinstance(entry.event, ev.Made)), None
        )
    if wanted is None or strength.percent_wv < wanted - GOOD_WITHIN:
        return []
    held = ("at least " if strength.at_least else "") + percent_text(strength.percent_wv)
    return [f"The bath holds {held} w/v, of {percent_text(wanted)} that it should have: {_GOOD}"]


def _flame(hold: _Contents, bottle: Bottle) -> list[str]:
    """Return the warning of a flame for what is poured: collodion and varnish."""
    return _said(dangers(held, FLAME) for held in hold.of(bottle))


def _meeting(hold: _Contents, bottle: Bottle, others: Sequence[Bottle]) -> list[str]:
    return _said(dangers(one, two) for other in others for one in hold.of(bottle) for two in hold.of(other))


def _said(sentences: Iterable[str | None]) -> list[str]:
    return [sentence for sentence in sentences if sentence]
