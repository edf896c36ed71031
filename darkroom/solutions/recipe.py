"""A recipe as values: what goes into a bottle, in which order, how long it keeps, what it needs in use. Pure.

Millilitres, grams, seconds, cm² and per cent w/v (grams in 100 mL) throughout. A recipe file is read and
checked by `recipe_file`, and scaled by `recipe_scale`.
"""

from __future__ import annotations

from typing import Literal, get_args

import msgspec

from darkroom.solutions.substances import known_as

Makes = Literal[
    "bath", "collodion", "developer", "fixer", "substratum", "intensifier", "varnish", "cleaning", "edging",
    "stock",
]  # fmt: skip
"""What the bottle is: a role that a stage `uses`, something for the glass, or a stock to make others of."""
Unit = Literal["g", "mL"]
Answer = Literal[
    "made", "opened", "filtered", "sunned", "iodised", "boiled_down", "measured", "ph", "topped_up"
]  # fmt: skip
"""What can happen to a bottle that answers a care: its counts begin again then. `ph` is a measured pH."""

MAKES: tuple[Makes, ...] = get_args(Makes)
ANSWERS: tuple[Answer, ...] = get_args(Answer)
IN_WORDS = {"topped_up": "topped up", "boiled_down": "boiled down", "ph": "pH measured"}
"""What was done, where the event's own word is not what people say."""


class Amount(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """How much of something: `value` in `unit`.

    `old` is the number and the unit of an old measure or of drops as the file has it, (20, "gr"), None for a
    metric one; `took` says which ounce or grain that is.
    """

    value: float
    unit: Unit
    old: tuple[float, str] | None = None
    took: str | None = None


class Ingredient(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One thing that goes in, in the order of the file.

    `fills` means: as much of it as brings the whole to `amount`. `substance` is its name in the table of
    substances where it has one ("silver-nitrate"). `cautions` are said at it, each a sentence: the file's
    own, else the table's.
    """

    what: str
    amount: Amount
    source: str
    fills: bool = False
    substance: str | None = None
    cautions: tuple[str, ...] = ()

    def is_called(self, name: str) -> bool:
        """Return whether a name is this one's, its substance's or an alias of that.

        Case, hyphens and spaces do not count.
        """
        key = name_key(name)
        if not key:
            return False
        substance = known_as(key)
        alias = substance is not None and substance.name == self.substance
        return alias or key in (name_key(self.what), name_key(self.substance))


class Period(msgspec.Struct, frozen=True, kw_only=True):
    """A time in seconds, with its source."""

    seconds: float
    source: str


class Due(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """When a care is due: as soon as one of these is reached since the event that last answered it.

    `at_once`: until it was answered for the first time. `plates` counts plates, `area` is cm² of plates,
    `seconds` a time, `clearing` how many times as long as the fresh fixer it takes to clear, `percent_below`
    the strength in % w/v below which it is due. None says nothing.
    """

    at_once: bool = False
    plates: int | None = None
    area: float | None = None
    seconds: float | None = None
    clearing: float | None = None
    percent_below: float | None = None


class Care(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Something the bottle needs in use.

    `do` says what in a short sentence. `answered_by` names the events that answer it: the counts of `after`
    begin at the last of them, and at the making of the bottle when there was none. The counts are those of
    the recipe's `volume`. `test` is what is tried before anything is added; `cautions` are said with it, each
    a sentence.
    """

    id: str
    do: str
    after: Due
    answered_by: tuple[Answer, ...]
    source: str
    test: str | None = None
    cautions: tuple[str, ...] = ()


class Recipe(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A checked recipe.

    `volume` is what the amounts make, in mL; `strength` in % w/v of the substance `of`. `warning` is said
    before anything else: who must not mix it. `ready` is how long it ripens, `keeps` how long it is good,
    both counted from the making. `shipped` says that it comes with the tool, or takes the place of one that
    does: of those one may be taken for a bottle that names none.
    """

    name: str
    makes: Makes
    volume: Amount
    ingredients: tuple[Ingredient, ...]
    steps: tuple[str, ...]
    strength: float | None = None
    of: str | None = None
    warning: str | None = None
    cautions: tuple[str, ...] = ()
    ready: Period | None = None
    keeps: Period | None = None
    care: tuple[Care, ...] = ()
    notes: tuple[str, ...] = ()
    shipped: bool = False

    def ingredient(self, name: str) -> Ingredient | None:
        """Return the one ingredient of this name, None without one or with several; see `called`."""
        found = self.called(name)
        return found[0] if len(found) == 1 else None

    def called(self, name: str) -> tuple[Ingredient, ...]:
        """Return the ingredients of this name, else those whose name has all of its words.

        "sandarac" is "gum sandarac" where nothing else is sandarac.
        """
        named = tuple(part for part in self.ingredients if part.is_called(name))
        words = set(name_key(name).split())
        return named or tuple(
            part
            for part in self.ingredients
            if words and words <= set(name_key(part.what).replace(",", " ").split())
        )


def name_key(name: str | None) -> str:
    """Return what of a name counts: case, hyphens and the number of spaces do not."""
    return " ".join((name or "").casefold().replace("-", " ").split())
