"""What a bottle needs, and when: the cares of its recipe held against its lines and its plates. Pure.

A care counts from the last event that answers it, and from the making of the bottle where there was none.
It is due as soon as one of its thresholds is reached. A postponed care is not due before its day, unless it
was answered since: then it counts anew.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import msgspec

from darkroom.process.text.durations import show_duration
from darkroom.process.text.instants import instant_of
from darkroom.solutions import clearing
from darkroom.solutions import events as ev
from darkroom.solutions.bottle import DAY, Bottle
from darkroom.solutions.bottle_strength import strength_of
from darkroom.solutions.bottle_words import day_of, plates_text
from darkroom.solutions.recipe import IN_WORDS, Care, Recipe
from darkroom.solutions.recipe_scale import cares_for
from darkroom.solutions.recipe_text import show_number
from darkroom.solutions.uses import Tally, Use, tally

IODISED = "iodised"
ANYTHING = ("stock", "other")
"""What may hold anything: no recipe is taken for it unnamed."""


class Due(msgspec.Struct, frozen=True, kw_only=True):
    """A care of a bottle. `bottle` is its id, `name` what it is called, `care` the care's id.

    `says` is what to do, `now` whether it is due at the instant asked for, `due` the instant at which it
    is or will be due: None where plates decide that and not the calendar. `basis` says what is counted:
    "31 plates since filtered 12 May 2026; its recipe: after 25". `test` is what is tried before anything is
    added, `cautions` are said with it. `postponed` is the instant until which it is put off.
    """

    bottle: str
    name: str
    care: str
    says: str
    now: bool
    due: float | None
    basis: str
    test: str | None = None
    cautions: tuple[str, ...] = ()
    postponed: float | None = None
    heads: bool = False


def recipe_of(bottle: Bottle, recipes: Mapping[str, Recipe]) -> tuple[Recipe | None, bool]:
    """Return the recipe whose cares a bottle has, and whether that is only assumed.

    A bottle that names no recipe, or one that is not there, has the cares of the only shipped recipe that
    makes what is in it; where several do, nobody can know which cares it needs.
    """
    own = recipes.get(bottle.recipe or "")
    if own is not None:
        return own, False
    fitting = [recipe for recipe in recipes.values() if recipe.shipped and recipe.makes == bottle.what]
    fitting = [] if bottle.what in ANYTHING else fitting
    return (fitting[0], True) if len(fitting) == 1 else (None, False)


def due_of(bottle: Bottle, recipes: Mapping[str, Recipe], uses: Sequence[Use], now: float) -> tuple[Due, ...]:
    """Return what a bottle needs by its recipe; see `recipe_of` and `due`.

    What the recipe counts in plates is for its volume: for what this bottle was filled with it is more or
    less.
    """
    recipe, assumed = recipe_of(bottle, recipes)
    if recipe is None:
        return ()
    lacks = f"its own, {bottle.recipe}, is not at hand" if bottle.recipe else "this bottle names none"
    says = f"the recipe {recipe.name}, as {lacks}" if assumed else "its recipe"
    filled = next((entry.event.volume for entry in bottle.entries if isinstance(entry.event, ev.Made)), None)
    if filled is None or filled <= 0 or filled == recipe.volume.value:
        return due(bottle, recipe.care, uses, now, says=says)
    says += f", for {show_number(filled)} mL"
    return due(bottle, cares_for(recipe, filled), uses, now, says=says)


def due(
    bottle: Bottle, cares: Sequence[Care], uses: Sequence[Use], now: float, *, says: str = "its recipe"
) -> tuple[Due, ...]:
    """Return every care of a bottle in use or ripening, what is due at `now` first; () for any other.

    `uses` are those of this bottle, `says` names who set the thresholds. What is due tomorrow is this for
    an instant a day later. An un-iodised bath heads the list.
    """
    if bottle.state(now) in ("set aside", "discarded"):
        return ()
    found = [_due(bottle, care, uses, now, says) for care in cares]
    return in_order(found)


def in_order(dues: Sequence[Due]) -> tuple[Due, ...]:
    """Return cares in the order in which they are shown: un-iodised baths, what is due, what will be."""

    def key(one: Due) -> tuple[bool, bool, float, str, str]:
        when = float("inf") if one.due is None else one.due
        return not (one.now and one.heads), not one.now, when, one.name, one.care

    return tuple(sorted(dues, key=key))


def _due(bottle: Bottle, care: Care, uses: Sequence[Use], now: float, says: str) -> Due:
    answers = [answer for answer in care.answered_by if answer in bottle.last]
    answer = max(answers, key=lambda word: bottle.last[word], default="made")
    since = bottle.last[answer]
    reached: list[str] = []
    counted: list[str] = []
    instant: float | None = None
    after = care.after
    began = f"since {IN_WORDS.get(answer, answer)} {_day_of(bottle, since)}"
    if after.at_once and not answers and not bottle.used:  # a used bath was iodised by its plates
        instant = bottle.made
        reached.append(f"not {_list(care)} since it was made {_day_of(bottle, bottle.made)}")
    elif after.at_once and not answers:
        counted.append("it was used before it came into the book")
    if after.seconds is not None:
        instant = since + after.seconds if instant is None else min(instant, since + after.seconds)
        days = f"{_days(max(0.0, now - since))} {began}; {says}: after {_days(after.seconds)}"
        (reached if now >= since + after.seconds else counted).append(days)
    count = tally(uses, since) if after.plates is not None or after.area is not None else Tally()
    if after.plates is not None:
        text = f"{plates_text(count)} {began}; {says}: after {after.plates}"
        (reached if count.plates >= after.plates else counted).append(text)
    if after.area is not None:
        unknown = f", {count.of_unknown_size} of unknown size left out" if count.of_unknown_size else ""
        text = f"{count.area:,.0f} cm² of plates{unknown} {began}; {says}: after {after.area:,.0f} cm²"
        (reached if count.area >= after.area else counted).append(text)
    if after.clearing is not None:
        slow, text = _clearing(uses, since, after.clearing, says)
        (reached if slow else counted).append(text)
    if after.percent_below is not None:
        weak, text = _strength(bottle, uses, after.percent_below, says)
        (reached if weak else counted).append(text)
    until = postponed_until(bottle, care.id, since)
    waits = until is not None and now < until
    if until is not None and waits:
        instant = until if instant is None else max(instant, until)
        counted = [f"put off until {_day_in(bottle, care.id)}", *reached]
    return Due(
        bottle=bottle.id,
        name=bottle.name,
        care=care.id,
        says=care.do,
        now=bool(reached) and not waits,
        due=instant,
        basis=". ".join(reached if reached and not waits else counted),
        test=care.test,
        cautions=care.cautions,
        postponed=until if waits else None,
        heads=after.at_once and IODISED in care.answered_by,
    )


def _clearing(uses: Sequence[Use], since: float, times: float, says: str) -> tuple[bool, str]:
    found = clearing.last_ratio(uses)
    if found is None or found[0].instant < since:
        return False, f"no clearing times to compare; {says}: at {times:g} times the fresh fixer's"
    use, ratio = found
    known = clearing.fresh(uses, use.celsius)
    assert use.cleared is not None and known is not None  # a ratio is made of both
    text = (
        f"plate {use.number} cleared in {show_duration(use.cleared)}, fresh {show_duration(known.seconds)}; "
        f"{says}: at {times:g} times"
    )
    return ratio >= times, text


def _strength(bottle: Bottle, uses: Sequence[Use], least: float, says: str) -> tuple[bool, str]:
    """Return whether the strength, as the book tells it, is below `least` % w/v, and the words for it."""
    known = strength_of(bottle, uses)
    if known is None:
        return False, f"strength not known; {says}: below {least:g} %"
    return known.percent_wv < least, f"{known.basis}; {says}: below {least:g} %"


def postponed_until(bottle: Bottle, care: str, since: float) -> float | None:
    """Return the instant to which a care was put off last, None where it was answered since then."""
    last = _postponed(bottle, care)
    if last is None or last[0] < since:
        return None
    return instant_of(last[1].until)


def _postponed(bottle: Bottle, care: str) -> tuple[float, ev.Postponed] | None:
    lines = [
        (entry.instant, entry.event)
        for entry in bottle.entries
        if isinstance(entry.event, ev.Postponed) and entry.event.care == care
    ]
    return lines[-1] if lines else None


def _day_in(bottle: Bottle, care: str) -> str:
    found = _postponed(bottle, care)
    return "" if found is None else day_of(found[1].until)


def _day_of(bottle: Bottle, instant: float) -> str:
    """Return the day of a line that counts, as its bench wrote it; a pure module knows no time zone."""
    return next((day_of(entry.happened) for entry in bottle.entries if entry.instant == instant), "")


def _days(seconds: float) -> str:
    days = int(seconds // DAY)
    return "1 day" if days == 1 else f"{days} days"


def _list(care: Care) -> str:
    return " or ".join(IN_WORDS.get(word, word) for word in care.answered_by)
