"""What a topping up comes to: what is measured, what goes in, and what must be said before. Pure.

The one home of it: the command and the page of a bottle ask `plan`.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import msgspec

from darkroom.errors import DarkroomError, WrongUse
from darkroom.solutions import events as ev
from darkroom.solutions.bottle import Bottle
from darkroom.solutions.bottle_strength import (
    BottleStrength,
    of_reading,
    reads_low,
    strength_of,
)
from darkroom.solutions.bottle_words import plates_text, volume_text
from darkroom.solutions.contents import substance_of
from darkroom.solutions.density import SOLUTES
from darkroom.solutions.measuring import Reading
from darkroom.solutions.mixing import Addition, bring_to
from darkroom.solutions.silver import DRAGGED
from darkroom.solutions.strength import USED_BATH, of_mass_percent, of_percent_wv
from darkroom.solutions.substances import SHEET_FIRST, SUBSTANCES
from darkroom.solutions.uses import Use, tally
from darkroom.solutions.water import WATER_20

NOTICED = 5.0
"""mL that plates carried out since the volume was said, from which on it is remarked (our own choice)."""
BEFORE_STOCK = "Goggles and gloves on: the stock is strong silver nitrate. Stir it in, then filter the bath."
BEFORE_CRYSTALS = "Goggles and gloves on. Stir the crystals into some of the bath, then filter it."


class NotSaid(WrongUse):
    """What a topping up is reckoned from is not known; `what` is "strength", "volume" or "stock"."""

    def __init__(self, what: str, text: str) -> None:
        super().__init__(text)
        self.what = what


class Plan(msgspec.Struct, frozen=True, kw_only=True):
    """A topping up that is planned.

    `measured` and `members` are those of the `measured` lines and of the `topped_up` line. `says` are lines
    for the photographer, `cautions` what is said before the question. `now` is the strength before,
    `addition` what was reckoned; None where what went in was told.
    """

    measured: tuple[dict[str, Any], ...]
    members: dict[str, Any]
    says: tuple[str, ...]
    cautions: tuple[str, ...]
    now: BottleStrength | None
    addition: Addition | None = None

    @property
    def adds(self) -> bool:
        """Whether anything goes in."""
        return any(self.members.get(key) for key in ("grams", "water", "stock"))

    @property
    def taken(self) -> tuple[str, float] | None:
        """The id of the bottle that something came from, and how many mL of it; None where none is named."""
        millilitres = self.members.get("stock") or (None if self.addition else self.members.get("water"))
        source = self.members.get("from_")
        return (source, millilitres) if source is not None and millilitres else None


def plan(
    bottle: Bottle,
    uses: Sequence[Use],
    of: str | None,
    instant: float,
    *,
    wanted: float | None,
    reading: Reading | None,
    volume: float | None,
    fill: float | None,
    stock: float | None,
    source: Bottle | None,
    crystals: float | None,
    water: float | None,
) -> Plan:
    """Return what a topping up comes to; strengths in % w/v, mL and g, `of` the recipe's substance.

    Raises NotSaid where something is missing, WrongUse for what does not go together, CannotMix, BeyondTable.
    """
    measured: list[dict[str, Any]] = []
    if reading is not None:
        measured.append({"what": reading.what, "value": reading.value, "celsius": reading.celsius})
        measured[-1] |= {"strength": reading.percent, "reason": reading.reason}
    if volume is not None:
        measured.append({"what": "volume", "value": volume})
    low = reading is not None and reading.hydrometer and reads_low(bottle, instant, uses)
    now = strength_of(bottle, uses, of)
    if reading is not None and reading.percent is not None:
        now = of_reading(bottle, reading.percent, of, hydrometer=reading.hydrometer, low=low)
    held = bottle.volume if volume is None else volume
    if source is not None and stock is None:
        told = strength_of(source, ())
        stock = None if told is None else told.percent_wv
    members: dict[str, Any] = {"from_": None if source is None else source.id}
    if wanted is None:
        added = _told(now, measured, members, held, (stock, fill, crystals, water))
        came = _comes_to(bottle, now, held, of, added.members)
        return _with_source(msgspec.structs.replace(added, members=added.members | came), source)
    if crystals is not None or water is not None:
        raise WrongUse("--crystals and --water say what was added: with --to that is reckoned")
    if source is not None and stock is None:
        raise NotSaid("stock", f"the strength of {source.name} is not known")
    substance = substance_of(bottle, of)
    if substance not in SOLUTES:
        raise WrongUse(
            f"nothing is known here of the strength of a {bottle.what}: what to add is not reckoned"
        )
    if now is None:
        raise NotSaid("strength", f"the strength of {bottle.name} is not known")
    if held is None:
        raise NotSaid("volume", f"how much {bottle.name} holds is not known")
    addition = bring_to(
        held,
        of_percent_wv(substance, now.percent_wv),
        of_percent_wv(substance, wanted),
        final=fill,
        stock=None if stock is None else of_percent_wv(substance, stock),
    )
    members |= {
        "grams": addition.crystals_g or None,
        "water": addition.water_ml or None,
        "stock": addition.stock_ml or None,
        "stock_strength": stock if addition.stock_ml else None,
        "from_": members["from_"] if addition.stock_ml else None,
        "volume": addition.final_ml,
        "strength": wanted,
    }
    cautions = [USED_BATH] if now.at_least else []
    if addition.stock_ml and bottle.what == "bath":
        cautions += [SHEET_FIRST, BEFORE_STOCK]
    lost = [] if volume is not None else _lost(bottle, uses)
    if addition.crystals_g and bottle.what == "bath":
        cautions += [SHEET_FIRST, BEFORE_CRYSTALS]
    reckoned = Plan(
        measured=tuple(measured),
        members=members,
        says=tuple(_says(bottle, now, reading, held, wanted, stock, substance, addition, lost)),
        cautions=tuple(cautions),
        now=now,
        addition=addition,
    )
    return _with_source(reckoned, source)


def _with_source(plan: Plan, source: Bottle | None) -> Plan:
    """Return a plan that says first where the bottle that something comes from does not hold that much."""
    if source is None or plan.taken is None or source.volume is None:
        return plan
    millilitres = plan.taken[1]
    if millilitres <= source.volume * 1.001:
        return plan
    held, needed = volume_text(source.volume), volume_text(millilitres)
    text = f"{source.name} holds {held} by the book, and {needed} of it are needed."
    return msgspec.structs.replace(plan, cautions=(text, *plan.cautions))


def _comes_to(
    bottle: Bottle, now: BottleStrength | None, held: float | None, of: str | None, members: dict[str, Any]
) -> dict[str, Any]:
    """Return the strength and the volume that what went in comes to, by mass; {} where that is not known.

    Only crystals and water are reckoned: what a stock was is told by nobody here.
    """
    substance = substance_of(bottle, of)
    grams, water = members.get("grams") or 0.0, members.get("water") or 0.0
    if now is None or not held or substance not in SOLUTES or members.get("stock") or members.get("from_"):
        return {}
    assert substance is not None
    try:
        before = of_percent_wv(substance, now.percent_wv)
        mass = held * before.density_20
        whole = mass + grams + water * WATER_20
        after = of_mass_percent(substance, 100 * (mass * before.mass_percent / 100 + grams) / whole)
        return {
            "strength": round(after.percent_wv, 3),
            "volume": round(whole / after.density_20, 1),
            "reckoned": True,
        }
    except DarkroomError:  # beyond the table of the substance
        return {}


def _lost(bottle: Bottle, uses: Sequence[Use]) -> list[str]:
    """Return the remark that the book's volume is too large, for plates carried some of it out since."""
    if bottle.what != "bath":
        return []
    said = [entry.instant for entry in bottle.entries if _says_volume(entry.event)]
    count = tally(uses, max(said, default=bottle.made))
    millilitres = count.area / 100 * DRAGGED
    if millilitres < NOTICED:
        return []
    out = f"{plates_text(count)} since that was said carried out about {millilitres:.0f} mL (an estimate)"
    return [f"{out}: measure how much it holds"]


def _says_volume(event: object) -> bool:
    match event:
        case ev.Made() | ev.ToppedUp():
            return event.volume is not None
        case ev.Measured():
            return event.what == "volume"
        case _:
            return False


def _told(
    now: BottleStrength | None,
    measured: list[dict[str, Any]],
    members: dict[str, Any],
    held: float | None,
    added: tuple[float | None, float | None, float | None, float | None],
) -> Plan:
    """Return the plan of what was added already."""
    stock, fill, crystals, water = added
    if fill is not None:
        raise WrongUse("--fill goes with --to")
    if crystals is None and water is None:
        raise WrongUse("say what to reach with --to, or what was added with --crystals or --water")
    members |= {"grams": crystals, "water": water if stock is None else None}
    if stock is not None:
        members |= {"stock": water, "stock_strength": stock}
    if held is not None and water is not None:
        members["volume"] = held + water
    return Plan(measured=tuple(measured), members=members, says=(), cautions=(), now=now)


def _says(
    bottle: Bottle,
    now: BottleStrength,
    reading: Reading | None,
    held: float,
    wanted: float,
    stock: float | None,
    substance: str,
    addition: Addition,
    lost: list[str],
) -> list[str]:
    says = [] if reading is None else list(reading.says)
    at_least = "at least " if now.at_least else ""
    says.append(f"{bottle.name} holds {volume_text(held)} of {at_least}{now.percent_wv:.2f} % w/v")
    if reading is None:
        says.append(now.basis)
    says += lost
    parts = []
    at_most = "at most " if now.at_least else ""
    if addition.crystals_g:
        parts.append(f"{at_most}{addition.crystals_g:.2f} g of {SUBSTANCES[substance].label}")
    if addition.stock_ml:
        parts.append(f"{at_most}{volume_text(addition.stock_ml)} of the {stock:g} % stock")
    if addition.water_ml:
        parts.append(f"{volume_text(addition.water_ml)} of distilled water")
    if not parts:
        return [*says, f"it has its {wanted:g} % w/v: nothing to add"]
    return [*says, f"add {' and '.join(parts)}: then {volume_text(addition.final_ml)} of {wanted:g} % w/v"]
