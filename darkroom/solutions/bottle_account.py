"""A bottle's account: its plates since each thing that was done to it, its strength, its age. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import msgspec

from darkroom.solutions import events as ev
from darkroom.solutions.ageing import AgeBand, age_band
from darkroom.solutions.bottle import Bottle, State
from darkroom.solutions.bottle_strength import BottleStrength, fitted_to_assays, strength_of
from darkroom.solutions.care import recipe_of
from darkroom.solutions.recipe import Recipe
from darkroom.solutions.silver import REACTED, carried_out
from darkroom.solutions.uses import WHOLE_PLATE, Tally, Use, tally

COUNTED_FROM = ("made", "opened", "filtered", "sunned", "iodised", "boiled_down", "topped_up", "measured")
"""What plates are counted from."""


class Account(msgspec.Struct, frozen=True, kw_only=True):
    """What a bottle amounts to at an instant.

    `age` is in seconds since it was made. `plates` counts all its plates, `since` those from the last time
    of each of COUNTED_FROM that happened: {what: (instant, plates)}. `silver` is the g of silver nitrate that
    they carried out of a bath, an estimate, plates of unknown size too; None for other bottles, and where no
    strength is known.
    """

    state: State
    age: float
    plates: Tally
    since: dict[str, tuple[float, Tally]]
    strength: BottleStrength | None
    band: AgeBand | None
    silver: float | None

    @property
    def whole_plates(self) -> float:
        """The area of all plates of known size, in whole plates."""
        return self.plates.area / WHOLE_PLATE


def poured_in(bottle: Bottle, others: Iterable[Bottle]) -> list[tuple[str, float | None]]:
    """Return (name, mL if known) of what came from other bottles after this one's volume was said last."""
    said = [
        entry.instant
        for entry in bottle.entries
        if isinstance(entry.event, ev.Made | ev.ToppedUp)
        or (isinstance(entry.event, ev.Measured) and entry.event.what == "volume")
    ]
    since = max(said, default=bottle.made)
    return [
        (other.name, entry.event.volume)
        for other in others
        for entry in other.entries
        if isinstance(entry.event, ev.DrawnOff) and entry.event.to == bottle.id and entry.instant > since
    ]


def account(bottle: Bottle, recipes: Mapping[str, Recipe], uses: Sequence[Use], now: float) -> Account:
    """Return a bottle's account at an instant; `uses` are those of this bottle."""
    recipe, _ = recipe_of(bottle, recipes)
    strength = strength_of(bottle, uses, None if recipe is None else recipe.of)
    plates = tally(uses)
    silver = None
    if bottle.what == "bath" and strength is not None:
        reacted = fitted_to_assays(bottle, uses) or REACTED
        silver = sum(carried_out(plates.assumed_area, strength.said or strength.percent_wv, reacted))
    last = bottle.last
    return Account(
        state=bottle.state(now),
        age=max(0.0, now - bottle.made),
        plates=plates,
        since={what: (last[what], tally(uses, last[what])) for what in COUNTED_FROM if what in last},
        strength=strength,
        band=age_band(bottle, now),
        silver=silver,
    )
