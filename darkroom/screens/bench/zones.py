"""How many rows each zone of the bench gets, and what gives way first on a small screen."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from darkroom.screens.lettering import lettering

LEAST_WORD = 3
"""The large word takes a fifth of the rows at most, and at least this many."""
LEAST_DIGITS = 4


class Zones(Struct, frozen=True, kw_only=True):
    """How many rows each zone has, from top to bottom.

    `gap` is free between the light and the word; `below_word` between the word and the time, where half a row
    is left free inside the word's own rows when there is none. `then` is 1 where what comes next has a row.
    Without `measures` the second time stands at the end of the bar.
    """

    top: int
    gap: int
    word: int
    below_word: int
    digits: int
    do: int
    then: int
    measures: int
    rail: int
    keys: int
    spare: int


BAR = 1


def zones(
    columns: int,
    rows: int,
    digits_text: str,
    word_text: str,
    *,
    do: Callable[[int], int],
    lesson: int,
    others: bool,
) -> Zones:
    """Return the heights of the zones for a screen of this size.

    `do` gives the rows that the sentence takes when so many are free for it, `lesson` is those of a lesson,
    which are taken from the digits where there are no others; `others` tells whether anything stands in the
    rail.
    """
    digits = lettering.digit_rows(columns, rows, digits_text)
    word = max(LEAST_WORD, min(lettering.word_rows(columns, rows, word_text), rows // 5))
    top, gap, below_word, then, measures, keys = max(3, rows // 10), 1, 0, 1, 1, 1
    rail = max(1, rows // 20) + lesson
    room = rows - (top + gap + word + digits + BAR + measures + rail + keys)
    if lesson and room < 2:
        give = min(2 - room, max(0, digits - rows // 3))
        digits, room = digits - give, room + give
    told = do(max(1, room - (1 if room > 4 else 0)))
    spare = room - told - then
    if spare < 0:
        then, spare = 0, spare + 1
    if spare < 0:
        measures, spare = 0, spare + 1
    if spare < 0 and not others and not lesson:
        rail, spare = 0, spare + rail
    if spare < 0:
        give = min(-spare, max(0, digits - max(LEAST_DIGITS, rows // 3)))
        digits, spare = digits - give, spare + give
    if spare < 0:
        top, spare = 1, spare + top - 1
    if spare < 0:
        give = min(-spare, max(0, digits - LEAST_DIGITS))
        digits, spare = digits - give, spare + give
    if spare < 0:
        give = min(-spare, rail)
        rail, spare = rail - give, spare + give
    if spare < 0:
        give = min(-spare, told - 1)
        told, spare = told - give, spare + give
    if spare > 0:
        below_word, spare = 1, spare - 1
    return Zones(
        top=top,
        gap=gap,
        word=word,
        below_word=below_word,
        digits=digits,
        do=told,
        then=then,
        measures=measures,
        rail=rail,
        keys=keys,
        spare=max(0, spare),
    )
