"""The parts of a recipe file: ingredients, cares, and what carries a source. Pure."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from darkroom.errors import QuantityError
from darkroom.late_patterns import late_pattern
from darkroom.process.file.text_fields import line_of_text, lines_of_text, words
from darkroom.process.text import measures
from darkroom.process.text.amounts import AMOUNT, amount, area, is_metric
from darkroom.process.text.numbers import plain, split, whole
from darkroom.process.text.tree import Keys, Node, Scalar, Sheet
from darkroom.solutions.recipe import ANSWERS, Amount, Answer, Care, Due, Ingredient, Unit
from darkroom.solutions.substances import SUBSTANCES, Substance, known_as

INGREDIENT_KEYS = ("what", "amount", "fill_to", "substance", "source", "cautions")
CARE_KEYS = ("id", "do", "after", "answered_by", "test", "source", "cautions")
DUE_KEYS = ("plates", "area", "days", "clearing", "strength_below")
LONGEST_TEXT = 400
LONGEST_NAME = 60
MOST_PLATES = 100_000
MOST_DAYS = 3660
AT_ONCE = "at once"
_ID = late_pattern(r"[a-z0-9][a-z0-9-]{0,30}")
_ACID_OR_ALKALI = late_pattern(
    r"\b(acid|acids|acidif\w*|nitric|acetic|alkali|alkaline|ammonia|bicarbonate|carbonate|soda|caustic)\b",
    re.IGNORECASE,
)


def as_amount(text: str, reading: measures.Reading, unit: Unit) -> Amount:
    """Return what was read of a text, with the number and the unit that stand there if they are old ones."""
    old = None if is_metric(text) else split(text, AMOUNT)
    return Amount(value=reading.value, unit=unit, old=old, took=reading.took)


def with_source(
    sheet: Sheet, node: Node, key: str, reader: Callable[[str], float]
) -> tuple[float, str] | None:
    """Return (number, source) of a mapping as {after: 7 d, source: …}; None where something is wrong."""
    if isinstance(node, Scalar):
        sheet.wrong(node, f"written as {{{key}: …, source: …}}: a number stands with its source")
        return None
    keys = sheet.mapping(node, known=(key, "source"), required=(key, "source"))
    number = sheet.value(keys[key], reader) if key in keys else None
    source = line_of_text(sheet, keys["source"], LONGEST_TEXT) if "source" in keys else None
    return None if number is None or source is None else (number, source)


def read_ingredient(sheet: Sheet, node: Node) -> Ingredient | None:
    """Return one ingredient of the list; None where something is wrong."""
    noted = len(sheet.problems) + sheet.more
    keys = sheet.mapping(node, known=INGREDIENT_KEYS, required=("what", "source"))
    what = line_of_text(sheet, keys["what"], LONGEST_NAME) if "what" in keys else None
    source = line_of_text(sheet, keys["source"], LONGEST_TEXT) if "source" in keys else None
    substance = _substance(sheet, keys.get("substance"), what)
    cautions = lines_of_text(sheet, keys["cautions"]) if "cautions" in keys else ()
    fills = "fill_to" in keys
    how_much = keys.get("fill_to") or keys.get("amount")
    if isinstance(node, Keys) and ("amount" in keys) == fills:
        sheet.wrong(node, "an ingredient has either 'amount' or 'fill_to'")
    reads = _fill if fills else _amount
    read = None if how_much is None else sheet.value(how_much, reads)
    if len(sheet.problems) + sheet.more > noted or what is None or source is None or read is None:
        return None
    return Ingredient(
        what=what,
        amount=read,
        source=source,
        fills=fills,
        substance=None if substance is None else substance.name,
        cautions=cautions or (() if substance is None else substance.cautions),
    )


def _substance(sheet: Sheet, node: Node | None, what: str | None) -> Substance | None:
    """Return what an ingredient is in the table of substances: as the file says, else by its name."""
    if node is None:
        return None if what is None else known_as(what)
    word = sheet.word(node, tuple(SUBSTANCES))
    return None if word is None else SUBSTANCES[word]


def _amount(text: str) -> Amount:
    reading, unit = amount(text)
    return as_amount(text, reading, unit)


def _fill(text: str) -> Amount:
    return as_amount(text, measures.read(text, "volume"), "mL")


def read_care(sheet: Sheet, node: Node) -> Care | None:
    """Return one care of the list; None where something is wrong."""
    noted = len(sheet.problems) + sheet.more
    keys = sheet.mapping(node, known=CARE_KEYS, required=("id", "do", "after", "answered_by", "source"))
    values: dict[str, Any] = {
        key: line_of_text(sheet, keys[key], LONGEST_TEXT) for key in ("do", "source", "test") if key in keys
    }
    care_id = sheet.value(keys["id"], _name) if "id" in keys else None
    after = _due(sheet, keys["after"]) if "after" in keys else None
    answers = words(sheet, keys["answered_by"], ANSWERS) if "answered_by" in keys else ()
    cautions = lines_of_text(sheet, keys["cautions"]) if "cautions" in keys else ()
    if values.get("do") and _ACID_OR_ALKALI.search(values["do"]) and "test" not in keys:
        sheet.wrong(keys["do"], "acid or alkali is added after a test alone: say which under 'test'")
    if "answered_by" in keys and len(sheet.problems) + sheet.more == noted and not answers:
        sheet.wrong(keys["answered_by"], f"says nothing: one or more of {', '.join(ANSWERS)}")
    if len(sheet.problems) + sheet.more > noted or care_id is None or after is None:
        return None
    answered_by: tuple[Answer, ...] = tuple(word for word in ANSWERS if word in answers)
    return Care(id=care_id, after=after, answered_by=answered_by, cautions=cautions, **values)


def _due(sheet: Sheet, node: Node) -> Due | None:
    if isinstance(node, Scalar):
        if node.text == AT_ONCE:
            return Due(at_once=True)
        sheet.wrong(node, f"written as {{plates: 20, days: 14}}, or '{AT_ONCE}'")
        return None
    keys = sheet.mapping(node, known=DUE_KEYS)
    if isinstance(node, Keys) and not node.lines:
        sheet.wrong(node, f"says nothing: one of {', '.join(DUE_KEYS)}")
    readers: dict[str, Callable[[str], float]] = {
        "plates": lambda text: whole(text, least=1, most=MOST_PLATES, what="a number of plates"),
        "area": area,
        "days": lambda text: 86400.0 * plain(text, least=0.01, most=MOST_DAYS, what="days"),
        "clearing": lambda text: plain(text, least=1.05, most=20, what="times the fresh fixer's time"),
        "strength_below": measures.percent_wv,
    }
    values = {key: sheet.value(keys[key], readers[key]) for key in keys}
    if not values or None in values.values():
        return None
    plates = values.get("plates")
    return Due(
        plates=None if plates is None else int(plates),
        area=values.get("area"),
        seconds=values.get("days"),
        clearing=values.get("clearing"),
        percent_below=values.get("strength_below"),
    )


def _name(text: str) -> str:
    if not _ID.fullmatch(text):
        raise QuantityError(
            f"'{text[:40]}' is no name: lower-case letters, digits and hyphens, at most 31, as boil-down"
        )
    return text
