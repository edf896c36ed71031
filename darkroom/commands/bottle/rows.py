"""The rows of `darkroom bottle list`."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from darkroom.errors import harmless
from darkroom.solutions.bottle import Bottle
from darkroom.solutions.bottle_account import Account
from darkroom.solutions.bottle_words import age_text, percent_text, plates_text
from darkroom.solutions.care import Due

ORDER = ("in use", "ripening", "set aside", "discarded")
NONE_YET = "no bottle is in the book yet: darkroom bottle new bath B-1 --volume 1L --strength 9"
LONGEST_NAME = 24
"""A longer name pushes its row to the right."""


def rows(
    bottles: Iterable[Bottle], accounts: Mapping[str, Account], dues: Sequence[Due], *, every: bool
) -> Iterator[str]:
    """Yield a row a bottle in the order of ORDER, and a line for what is left out: the discarded ones."""
    known = list(bottles)
    if not known:
        yield NONE_YET
        return
    shown = [bottle for bottle in known if every or accounts[bottle.id].state != "discarded"]
    shown.sort(key=lambda bottle: (ORDER.index(accounts[bottle.id].state), bottle.what, bottle.made))
    width = min(LONGEST_NAME, max((len(bottle.name) for bottle in shown), default=0))
    for bottle in shown:
        told = accounts[bottle.id]
        parts = [f"{bottle.what:11}", f"{told.state:9}", f"{age_text(told.age):>10}"]
        parts.append(plates_text(told.plates))
        if told.strength is not None:
            at_least = "at least " if told.strength.at_least else ""
            parts.append(at_least + percent_text(told.strength.percent_wv))
        due = sum(one.now for one in dues if one.bottle == bottle.id)
        if due:
            parts.append(f"{due} due")
        if bottle.newer:
            parts.append("of a newer darkroom")
        yield harmless(f"{bottle.name:{width}}  " + "  ".join(parts)).rstrip()
    left_out = len(known) - len(shown)
    if left_out:
        yield f"{left_out} discarded: --all lists {'it' if left_out == 1 else 'them'} too"
