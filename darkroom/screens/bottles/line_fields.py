"""The fields of the form in which a line of a bottle is entered, kind by kind."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from darkroom.process.text import measures
from darkroom.process.text.past_times import FUTURE, PAST, past, until
from darkroom.process.text.plain_text import plain
from darkroom.screens.bottles.asking import Known
from darkroom.screens.bottles.line_kinds import (
    TREATMENTS,
    celsius_of,
    entered,
    last_scale,
    line_choices,
    reading,
    recipes_for,
)
from darkroom.screens.bottles.topping import CRYSTALS, STOCK, offered, stocks
from darkroom.screens.widgets.form import Field, Form
from darkroom.solutions import events as ev
from darkroom.solutions.bottle import Bottle
from darkroom.solutions.bottle_words import SCALES
from darkroom.solutions.hydrometer import SCALES as hydrometers
from darkroom.solutions.making import LONGEST_NAME, ripening

LONGEST = 300
"""A typed text has no more signs."""
HYDROMETERS = tuple(scale for scale in SCALES if scale not in ("assay", "ph", "volume"))


def new_fields(known: Known, now: Callable[[], datetime]) -> list[Field]:
    """Return the fields of a new bottle; `now` is asked when a time is checked."""
    return [
        Field("what", "what", "Left and right: what is in it.", "bath", options=ev.WHATS, closed=True),
        Field("name", "name", "As it stands on the bottle, such as B-2.", max_length=LONGEST_NAME),
        Field(
            "recipe",
            "recipe",
            "Left and right: its strength and its care come with it. Without one nothing may be due.",
            options=recipes_for("bath", known),
            closed=True,
            empty="none",
        ),
        Field("volume", "holds", "Such as 1 L; what the recipe makes without one.", check=measures.volume),
        Field(
            "strength",
            "strength",
            "In % w/v, such as 9, or 90 g/L; the recipe's without one.",
            check=measures.typed_percent,
        ),
        Field(
            "ripens", "ripens", "How long before it is used, such as 7 days; the recipe's.", check=ripening
        ),
        Field(
            "used",
            "used before",
            "Left and right: whether it has made plates before it comes into the book.",
            options=("", "yes"),
            closed=True,
            empty="no",
        ),
        Field("batch", "batch", "As it stands on the label.", max_length=LONGEST_NAME),
        _when(now),
    ]


def fit_recipes(form: Form, known: Known) -> None:
    """Let the recipe's field offer those that make what is in the new bottle; another is none."""
    fields = {field.id: field for field in form.fields}
    if "what" in fields and "recipe" in fields:
        recipe = fields["recipe"]
        recipe.options = recipes_for(fields["what"].value, known)
        if recipe.value not in recipe.options:
            form.put("recipe", "")


def line_fields(
    kind: str, bottle: Bottle, known: Known, now: Callable[[], datetime], place: str = ""
) -> list[Field]:
    """Return the fields of a line of this kind, its own first; `now` is asked when a time is checked.

    `place` is that of the line that is taken back, where this is its withdrawal.
    """
    own = [_taken_back(bottle, known, place)] if kind == "withdrawn" else _own(kind, bottle, known, now)
    if entered(kind).reason:
        own.append(Field("reason", "reason", "Why, where that is worth noting.", max_length=LONGEST))
    # what is put off or taken back, is so from now on
    return own if kind in ("postponed", "withdrawn") else [*own, _when(now)]


def _when(now: Callable[[], datetime]) -> Field:
    hint = f"When it happened: {PAST}"
    return Field("when", "when", hint, assumed="now", check=lambda text: past(text, now()))


def _own(kind: str, bottle: Bottle, known: Known, now: Callable[[], datetime]) -> list[Field]:
    match kind:
        case "reading":
            return _hydrometer(bottle, known)
        case "top up":
            return _top_up(bottle, known)
        case "measured":
            return [
                _scale("Left and right: what was measured.", ("ph", "assay")),
                Field("value", "value", "As it is read; an assay in % w/v.", check=reading),
            ]
        case "volume":
            return [Field("value", "holds", "Such as 940 mL or 1 L.", check=measures.volume)]
        case "topped up":
            return [
                Field(
                    "grams",
                    "crystals",
                    "Silver nitrate or what the bottle holds, such as 10.2 g.",
                    check=measures.mass,
                ),
                Field("water", "water", "Such as 57 mL.", check=measures.volume),
                Field("volume", "holds now", "Such as 1 L.", check=measures.volume),
                Field(
                    "strength",
                    "brought to",
                    "In % w/v, as it was reckoned, such as 9.",
                    check=measures.typed_percent,
                ),
            ]
        case "drawn off":
            return [Field("value", "volume", "Such as 50 mL.", check=measures.volume), _into(bottle, known)]
        case "recipe":
            hint = "Left and right: whose care it has. Its volume and strength stay what they are."
            options, has = recipes_for(bottle.what, known), bottle.recipe or ""
            first = has if has in options else ""
            return [Field("recipe", "recipe", hint, first, first, options, closed=True, empty="none")]
        case "note":
            return [Field("text", "note", "Words about the bottle.", max_length=LONGEST)]
        case "postponed":
            return _postponed(bottle, known, now)
        case _ if kind in TREATMENTS:
            hint = "How much, how long or of what, in words, where that is worth noting."
            return [Field("amount", "how much", hint, max_length=LONGEST)]
    return []


def _taken_back(bottle: Bottle, known: Known, place: str) -> Field:
    words = {line: label for line, label, _ in line_choices(bottle, known) if line == place}
    hint = "This line is taken back: it stays in the book, and does not count."
    return Field(
        "line",
        "line",
        hint,
        place,
        place,
        options=(place,),
        closed=True,
        show=lambda one: words.get(one, one),
    )


def _hydrometer(bottle: Bottle, known: Known, assumed: str = "") -> list[Field]:
    hint = "Of the solution: 22 °C or 72 °F; without one that of the marks."
    return [
        _scale("Left and right: the scale of the hydrometer.", HYDROMETERS, last_scale(bottle, known)),
        Field("value", "reading", "As it is read, such as 1.072.", check=reading, assumed=assumed),
        Field("celsius", "temperature", hint, check=celsius_of),
    ]


def _top_up(bottle: Bottle, known: Known) -> list[Field]:
    book, others = offered(bottle, known), stocks(bottle, known)
    taken = {CRYSTALS: "crystals", STOCK: "a stock"} | others
    volume, wanted = book["volume"], book["wanted"]
    return [
        *_hydrometer(bottle, known, book["value"]),
        Field("volume", "holds now", "Such as 940 mL or 1 L.", volume, volume, check=measures.volume),
        Field(
            "wanted",
            "to reach",
            "The strength in % w/v, such as 9.",
            wanted,
            wanted,
            check=measures.typed_percent,
        ),
        Field(
            "with",
            "with",
            "Left and right: what makes it stronger.",
            CRYSTALS,
            options=tuple(taken),
            closed=True,
            show=lambda one: taken.get(one, one),
        ),
        Field(
            "stock",
            "stock of",
            "Its strength in % w/v, such as 20; a bottle of the book has its own.",
            check=measures.typed_percent,
        ),
        Field("fill", "fill up to", "Such as 1 L; empty where it is not filled up.", check=measures.volume),
    ]


def _scale(hint: str, scales: tuple[str, ...], first: str = "") -> Field:
    def show(scale: str) -> str:
        hydrometer = hydrometers.get(scale.replace("_", "-"))
        return ", ".join(word for word in SCALES[scale] if word) if hydrometer is None else hydrometer.says

    value = first or scales[0]
    return Field("scale", "scale", hint, value, value, options=scales, closed=True, show=show)


def _into(bottle: Bottle, known: Known) -> Field:
    others = [one for one in known.bottles.values() if one.id != bottle.id and one.out_of_use != "discarded"]
    names = {one.id: plain(one.name) for one in others}
    return Field(
        "to",
        "into",
        "Left and right: the bottle of the book that it went into.",
        options=("", *names),
        closed=True,
        show=lambda one: names.get(one, one),
        empty="none of the book",
    )


def _postponed(bottle: Bottle, known: Known, now: Callable[[], datetime]) -> list[Field]:
    dues = {one.care: plain(one.says) for one in known.dues_of(bottle.id)}
    first = next(iter(dues), "")
    return [
        Field(
            "care",
            "care",
            "Left and right: which care is put off.",
            first,
            options=tuple(dues),
            closed=True,
            show=lambda one: dues.get(one, one),
        ),
        Field("until", "until", f"Until when: {FUTURE}", check=lambda text: until(text, now())),
    ]
