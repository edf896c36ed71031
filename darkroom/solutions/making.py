"""A bottle that enters the book: its first line, and what is said before it is written. Pure."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

import msgspec

from darkroom.errors import QuantityError, WrongUse
from darkroom.process.text.numbers import quoted, split
from darkroom.solutions import events as ev
from darkroom.solutions import strength
from darkroom.solutions.bottle import DAY, Bottle, fold
from darkroom.solutions.care import ANYTHING, recipe_of
from darkroom.solutions.contents import substance_of
from darkroom.solutions.density import SOLUTES
from darkroom.solutions.events import BottleEntry
from darkroom.solutions.finding import find, listed
from darkroom.solutions.recipe import Recipe, name_key
from darkroom.solutions.warnings import warnings

LONGEST_RIPENING = 3650.0
"""More days than this are a slip."""
LONGEST_NAME = 80
"""Signs; a longer name fits no label."""


class Making(msgspec.Struct, frozen=True, kw_only=True):
    """What is said of a new bottle; None is left to its recipe, mL, % w/v and days.

    `sources` are names; `used` says that it made plates before it comes into the book.
    """

    what: str
    name: str
    recipe: str | None = None
    volume: float | None = None
    strength: float | None = None
    batch: str | None = None
    ripens: float | None = None
    used: bool = False
    sources: tuple[str, ...] = ()


def members_of(
    making: Making, recipe: Recipe | None, bottles: Collection[Bottle], now: float
) -> dict[str, Any]:
    """Return the members of a new bottle's line but for its id, its bench and the version.

    What is not said is the recipe's. `bottles` are those of the book, `now` is in seconds since the epoch.
    Raises WrongUse for a name that is none, or where recipe and content disagree; WrongUse or NothingFound
    for a bottle that went into it and is not known; BeyondTable for a strength that no solution has.
    """
    if not 0 < len(making.name.strip()) <= LONGEST_NAME:
        raise WrongUse(f"a name has 1 to {LONGEST_NAME} signs, this one {len(making.name.strip())}")
    if recipe is not None and recipe.makes != making.what:
        raise WrongUse(f"the recipe {making.recipe} makes {recipe.makes}, not {making.what}")
    percent = making.strength
    if percent is None and recipe is not None:
        percent = recipe.strength
    of = None if recipe is None else recipe.of
    ripens = making.ripens
    if ripens is None and recipe is not None and recipe.ready is not None:
        ripens = recipe.ready.seconds / DAY
    volume = making.volume
    if volume is None and recipe is not None:
        volume = recipe.volume.value
    members = {
        "name": making.name,
        "what": making.what,
        "schema": ev.SCHEMA,
        "recipe": making.recipe,
        "batch": making.batch,
        "volume": volume,
        "strength": percent,
        "ripens": ripens,
        "used": making.used,
        "from_": tuple(find(bottles, word, now).bottle.id for word in making.sources),
    }
    _check_strength(members, of, percent, now)
    return members


def _check_strength(members: dict[str, Any], of: str | None, percent: float | None, now: float) -> None:
    made = ev.Made(n=1, at="", up=None, bottle="new", version="", bench="new", **members)
    substance = substance_of(_as_bottle(made, now), of)
    if percent is not None and substance in SOLUTES:
        strength.of_percent_wv(substance, percent)


def _as_bottle(made: ev.Made, now: float) -> Bottle:
    """Return the bottle that a line would begin."""
    entry = BottleEntry(place="new:1", bench="new", instant=now, happened="", event=made)
    bottle = fold(made.bottle, [entry])
    assert bottle is not None
    return bottle


def remarks(
    made: ev.Made,
    recipe: Recipe | None,
    bottles: Collection[Bottle],
    now: float,
    recipes: Mapping[str, Recipe],
) -> list[str]:
    """Return what is said before a bottle is entered: who must not, what must not meet, whose name it has.

    `recipe` is its own, `recipes` are those of the other bottles, by the names of their files.
    """
    bottle = _as_bottle(made, now)
    said = [] if recipe is None or recipe.warning is None else [recipe.warning]
    known = recipes if recipe is None or made.recipe is None else {**recipes, made.recipe: recipe}
    said += warnings(bottle, made, now, others=bottles, recipes=known)
    alike = [
        other
        for other in bottles
        if name_key(other.name) == name_key(made.name) and other.state(now) != "discarded"
    ]
    if alike:
        said.append(f"Another bottle has the name {made.name}:\n{listed(alike, now)}")
    return said


EARLIER = DAY
"""A bottle that is entered so many seconds after it was made may have made plates since."""


def hints(made: ev.Made, bottle: Bottle, recipes: Mapping[str, Recipe], plates: int, now: float) -> list[str]:
    """Return what is said once a bottle is entered: what its line leaves open, and how that is said.

    `recipes` are those at hand by their names, `plates` is how many the book knows of it.
    """
    said: list[str] = []
    if made.what in ("bath", "fixer") and not (made.used or plates) and now - bottle.made > EARLIER:
        said.append("if it has made plates already, say --used: take this line back and enter it again")
    if made.recipe is not None and made.recipe not in recipes:
        said.append(not_at_hand(made.recipe))
    fitting = made.what not in ANYTHING and any(one.makes == made.what for one in recipes.values())
    if made.recipe is None and fitting:
        taken = recipe_of(bottle, recipes)[0]
        if taken is None:
            how = f"darkroom bottle recipe {made.name} RECIPE names one"
            said.append(f"no recipe is named: nothing will be due; {how}")
        else:
            said.append(f"no recipe is named: what is due is that of {taken.name}")
    return said


def not_at_hand(recipe: str) -> str:
    """Return what is said of a recipe that was read from a file elsewhere."""
    where = "put its file into profiles/solutions/ in the folder of the log"
    return f"the recipe {recipe} is not at hand: nothing will be due until you {where}"


def ripening(text: str) -> float:
    """Return the days in "7d", "7 days", "2 weeks", "12 h" or "0". Raises QuantityError."""
    expected = "a time such as 7 days, 2 weeks or 12 h"
    number, unit = split(text, expected)
    days = {"d": 1.0, "day": 1.0, "w": 7.0, "week": 7.0, "h": 1 / 24, "hour": 1 / 24, "month": 30.4375}
    size = days.get(unit.lower().rstrip("s") if len(unit) > 1 else unit.lower())
    if size is None and not (number == 0 and not unit):
        raise QuantityError(f"{quoted(text)} cannot be read: expected {expected}")
    if not 0 <= number * (size or 0.0) <= LONGEST_RIPENING:
        raise QuantityError(f"{quoted(text)} is out of range: expected {expected}")
    return number * (size or 0.0)
