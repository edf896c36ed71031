"""Amounts and cares of a recipe in words. Pure."""

from __future__ import annotations

from math import floor, log10

from darkroom.process.text.durations import say_duration
from darkroom.solutions.recipe import IN_WORDS, Amount, Care, Due, Ingredient

DIGITS, CYLINDER = 4, 3
"""Digits that count of a number, and of a volume that a hand measures."""
FEWEST_DROPS, MOST_DROPS = 0.9, 20
"""So many drops can be counted; common practice, no source."""


def show_number(value: float, digits: int = DIGITS) -> str:
    """Return a number with four digits that count, without exponent or trailing zeros: 0.05, 20.74, 1420."""
    if value <= 0:
        return f"{value:g}"
    decimals = max(0, digits - 1 - floor(log10(value)))
    text = f"{value:.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def show_amount(amount: Amount) -> str:
    """Return an amount in its metric unit: "20.74 g"; a cylinder shows three digits at most: "9.95 mL"."""
    digits = CYLINDER if amount.unit == "mL" else DIGITS
    return f"{show_number(amount.value, digits)} {amount.unit}"


def show_old(amount: Amount) -> str | None:
    """Return an amount in its old unit: "320 gr"; None where it has none."""
    return None if amount.old is None else f"{show_number(amount.old[0])} {amount.old[1]}"


def drop_remarks(amount: Amount) -> tuple[str, ...]:
    """Return what is said of an amount in drops that nobody can count; nothing of any other."""
    if amount.old is None or not amount.old[1].startswith("drop"):
        return ()
    if amount.old[0] < FEWEST_DROPS:
        return ("That is less than a drop: make more at once, or dilute it first and measure.",)
    if amount.old[0] > MOST_DROPS:
        return ("So many drops are measured, not counted: drops differ in size.",)
    return ("Drops differ in size: add the last ones one at a time.",)


def took(part: Ingredient) -> str | None:
    """Return how an ingredient's amount is meant: what it fills up, which ounce or grain; None if plain."""
    said = ["fills up to this volume"] if part.fills else []
    return "; ".join([*said, *([part.amount.took] if part.amount.took else [])]) or None


def say_days(seconds: float) -> str:
    """Return a long time in words: "14 days", "12 h", "1 day"."""
    if seconds < 86400:
        return say_duration(seconds)
    days = show_number(seconds / 86400)
    return f"{days} day{'' if days == '1' else 's'}"


def say_due(due: Due, since: str) -> str:
    """Return when a care is due: "after 20 plates or 14 days since filtered"; `since` is what answers it."""
    after = []
    if due.plates is not None:
        after.append(f"{due.plates} plate{'' if due.plates == 1 else 's'}")
    if due.area is not None:
        after.append(f"{show_number(due.area)} cm² of plates")
    if due.seconds is not None:
        after.append(say_days(due.seconds))
    said = [f"at once, until it is {since}"] if due.at_once else []
    if after:
        said.append(f"after {' or '.join(after)} since {since}")
    if due.clearing is not None:
        said.append(f"when a plate takes {show_number(due.clearing)} times as long to clear as at first")
    if due.percent_below is not None:
        said.append(f"when the strength is below {show_number(due.percent_below)} %")
    return ", or ".join(said)


def say_care(care: Care) -> str:
    """Return a care with when it is due, as one line."""
    return (
        f"{care.do}: {say_due(care.after, ' or '.join(IN_WORDS.get(one, one) for one in care.answered_by))}"
    )
