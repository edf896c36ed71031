"""The form that says what to add to a bottle: its fields, and what it comes to.

What is added, and what must be said before, is `solutions.topping_up`'s to reckon.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from darkroom.process.text import measures
from darkroom.process.text.plain_text import plain
from darkroom.screens.bottles.asking import Known
from darkroom.screens.bottles.line_kinds import (
    Line,
    celsius_of,
    last_scale,
    reading,
    when_of,
)
from darkroom.screens.bottles.said import GONE_IN, ONLY_NOTED, Entry, Said
from darkroom.solutions import events as ev
from darkroom.solutions.bottle import Bottle
from darkroom.solutions.bottle_strength import strength_of, strength_text
from darkroom.solutions.bottle_words import percent_text, volume_text
from darkroom.solutions.measuring import reading_of
from darkroom.solutions.topping_up import NotSaid, Plan, plan
from darkroom.solutions.warnings import warnings

CRYSTALS, STOCK = "crystals", "stock"
FIELD_OF = {"strength": "value", "volume": "volume", "stock": "stock"}
"""{what `NotSaid` names: the field in which it is typed}."""


def offered(bottle: Bottle, known: Known) -> dict[str, str]:
    """Return {field: text} of what the book has for the form of a topping up."""
    recipe, told = known.recipe_of(bottle), known.accounts.get(bottle.id)
    made = [entry.event.strength for entry in bottle.entries if isinstance(entry.event, ev.Made)]
    wanted = next((one for one in (None if recipe is None else recipe.strength, *made) if one), None)
    strength = None if told is None else told.strength
    return {
        "scale": last_scale(bottle, known),
        "value": "not known: read it" if strength is None else strength_text(strength),
        "volume": "" if bottle.volume is None else volume_text(bottle.volume),
        "wanted": "" if wanted is None else f"{wanted:g}",
    }


def stocks(bottle: Bottle, known: Known) -> dict[str, str]:
    """Return {id: name and strength} of the bottles whose stronger solution may go into this one."""
    of, found = known.substance_of(bottle), {}
    for one in known.bottles.values():
        if one.id != bottle.id and one.out_of_use != "discarded" and known.substance_of(one) == of:
            strength = strength_of(one, (), of) if one.what == "stock" else None
            if strength is not None:
                found[one.id] = f"{plain(one.name)}, {percent_text(strength.percent_wv)}"
    return found


def reckoned(values: Mapping[str, str], bottle: Bottle, known: Known, now: datetime) -> Entry:
    """Return what the filled form comes to: the lines, and what is said before the hand that adds it.

    Raises NotSaid where something is missing, WrongUse, CannotMix, BeyondTable.
    """
    texts = {name: value.strip() for name, value in values.items() if value.strip()}
    recipe, substance = known.recipe_of(bottle), known.substance_of(bottle)
    happened = when_of(texts, now, bottle)
    instant = datetime.fromisoformat(happened["when"]).timestamp() if happened else now.timestamp()
    if "wanted" not in texts:
        raise NotSaid("wanted", "which strength it is to reach, in % w/v")
    read = None
    if "value" in texts:
        celsius = celsius_of(texts["celsius"]) if "celsius" in texts else None
        read = reading_of(texts["scale"], reading(texts["value"]), celsius, substance)
    volume = texts.get("volume")
    source = known.bottles.get(texts["with"])
    stock = measures.typed_percent(texts["stock"]) if "stock" in texts and texts["with"] != CRYSTALS else None
    if texts["with"] == STOCK and stock is None:
        raise NotSaid("stock", "the strength of the stock, in % w/v")
    planned = plan(
        bottle,
        known.uses_of(bottle.id),
        None if recipe is None else recipe.of,
        instant,
        wanted=measures.typed_percent(texts["wanted"]),
        reading=read,
        volume=None if volume in (None, offered(bottle, known)["volume"]) else measures.volume(volume or ""),
        fill=measures.volume(texts["fill"]) if "fill" in texts else None,
        stock=stock,
        source=source,
        crystals=None,
        water=None,
    )
    event = ev.ToppedUp(n=1, at="", up=None, **planned.members)
    warned = warnings(
        bottle,
        event,
        instant,
        others=[other for other in known.bottles.values() if other.id != bottle.id],
        strength=planned.now,
        wanted=None if recipe is None else recipe.strength,
        recipes=known.recipes,
    )
    lines = [Line(ev.Measured, members | happened) for members in planned.measured]
    if planned.adds:
        lines.append(Line(ev.ToppedUp, planned.members | happened))
    asked = GONE_IN if planned.adds else ONLY_NOTED if lines else ""
    elsewhere: tuple[tuple[str, str, Line], ...] = ()
    if planned.taken is not None and source is not None:
        drawn = {"volume": round(planned.taken[1], 1), "to": bottle.id} | happened
        elsewhere = ((source.id, plain(source.name), Line(ev.DrawnOff, drawn)),)
    return Entry(tuple(lines), _said(planned, warned), asked, elsewhere)


def _said(planned: Plan, warned: tuple[str, ...]) -> tuple[Said, ...]:
    """Return the cautions first, then what to add: nobody reads grams before the warning of them."""
    before = [Said(text, "loud") for text in dict.fromkeys((*planned.cautions, *warned))]
    return (*before, *(Said(text, "text") for text in planned.says[:-1]), Said(planned.says[-1], "loud"))
