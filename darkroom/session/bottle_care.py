"""What the bottles need, as lines of the day's sheet and as one line of the home form. Pure."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import TYPE_CHECKING

from msgspec.structs import replace

from darkroom.process.text.plain_text import plain
from darkroom.session.day_sheet import LONGEST_TEXT, Item

if TYPE_CHECKING:
    from darkroom.bench.bottles_at_hand import BottleAtHand
    from darkroom.solutions.care import Due

CARE = "care:"
"""The id of a care's line on the sheet begins with it; the ids of a sheet's file have no colon."""
BOTTLES = "bottle-care"
"""The id of the shipped sheet's line about the bottles."""
LONGEST = 400
"""Of a longer reason what was counted is cut, in signs: a small screen must still show the sheet."""
LEAST_COUNTED = 60
"""So many signs of what was counted stay."""
NOTE_IT = "F12 notes that it was done."
"""Ends each reason: a tick on the sheet says that a care was seen, not that it was done."""


def care_items(dues: Sequence[Due], *, tomorrow: bool = False) -> list[Item]:
    """Return the lines of the sheet for what is due in `dues`, in their order; often none.

    Each has its reason: what was counted, what is tried before anything is added, what to beware of. With
    `tomorrow` the lines say that they are for the day after.
    """
    return [
        Item(
            id=id_of(due, tomorrow=tomorrow),
            text=_cut(
                f"{'Tomorrow, ' if tomorrow else ''}{plain(due.name)}: {_small(due.says)}", LONGEST_TEXT
            ),
            reason=_reason(due),
        )
        for due in dues
        if due.now
    ]


def with_care(items: Sequence[Item], dues: Sequence[Due], *, tomorrow: bool = False) -> list[Item]:
    """Return the sheet with what is due.

    A bath that must be iodised heads it; the rest stands behind the line about the bottles, without one at
    the end.
    """
    first = care_items([due for due in dues if due.heads], tomorrow=tomorrow)
    others = care_items([due for due in dues if not due.heads], tomorrow=tomorrow)
    place = next((place for place, item in enumerate(items, 1) if item.id == BOTTLES), len(items))
    return [*first, *items[:place], *others, *items[place:]]


def id_of(due: Due, *, tomorrow: bool = False) -> str:
    """Return the id of a care's line on the sheet: a tick for tomorrow says nothing of today."""
    return f"{CARE}{'tomorrow:' if tomorrow else ''}{due.bottle}:{due.care}"


def told_apart(dues: Sequence[Due], bottles: Sequence[BottleAtHand]) -> tuple[Due, ...]:
    """Return what is due with the names by which the bottles at hand are told from one another."""
    names = {bottle.id: bottle.name for bottle in bottles}
    return tuple(replace(due, name=names.get(due.bottle, due.name)) for due in dues)


def due_line(dues: Sequence[Due], ticked: Collection[str] = ()) -> str:
    """Return what is due in one short line: `due: filter the bath, B-1, and 2 more`; "" where nothing is.

    What was ticked on the sheet of the day is left out: `ticked` are the ids of its lines.
    """
    now = [due for due in dues if due.now and id_of(due) not in ticked]
    if not now:
        return ""
    more = f", and {len(now) - 1} more" if len(now) > 1 else ""
    return f"due: {_small(now[0].says)}, {plain(now[0].name)}{more}"


def _reason(due: Due) -> str:
    """Return what was counted, then the test, the cautions and NOTE_IT, which are never cut."""
    first = [f"First: {due.test}"] if due.test else []
    said = [*(_sentence(text) for text in (*first, *due.cautions) if text), NOTE_IT]
    room = max(LEAST_COUNTED, LONGEST - sum(len(text) + 1 for text in said))
    return " ".join([*([_cut(_sentence(due.basis), room)] if due.basis else []), *said])


def _small(text: str) -> str:
    """Return a sentence as it stands behind a colon."""
    return text[:1].lower() + text[1:].rstrip(".")


def _sentence(text: str) -> str:
    text = text[:1].upper() + text[1:]
    return text if text.endswith((".", "!", "?")) else f"{text}."


def _cut(text: str, longest: int) -> str:
    return text if len(text) <= longest else f"{text[: longest - 1]}…"
