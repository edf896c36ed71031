"""The rows of the list of bottles: a bottle a row, under the heading of its state. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from darkroom.process.text.plain_text import plain
from darkroom.screens.bottles.short_words import due_words, strength_words
from darkroom.screens.widgets.rows import Row, clip, width
from darkroom.screens.widgets.wrapped_text import wrapped
from darkroom.solutions.bottle import Bottle, State
from darkroom.solutions.bottle_account import Account
from darkroom.solutions.bottle_strength import strength_text
from darkroom.solutions.bottle_words import age_text, plates_text, volume_text
from darkroom.solutions.care import Due
from darkroom.solutions.events import WHATS
from darkroom.solutions.uses import Tally

STATES: tuple[State, ...] = ("in use", "ripening", "set aside", "discarded")
"""The order of the list."""
NARROW = 64
"""On fewer cells a row has name, content and care alone."""
WIDE = 112
"""From so many cells on the plates of unknown size are told in words."""
DETAILS = 2
"""The rows of what is told of the bottle under the cursor."""
RIGHT = ("age", "plates", "strength")

Listed = Bottle | str
"""A row of the list: a bottle, or the heading of those that follow."""


def listed(bottles: Mapping[str, Bottle], now: float, *, discarded: bool) -> list[Listed]:
    """Return the rows of the list at an instant; without the discarded bottles, unless they are wanted.

    Those of one state stand by what is in them, then by name, so that a bottle keeps its place.
    """
    by_state: dict[State, list[Bottle]] = {state: [] for state in STATES}
    for bottle in bottles.values():
        by_state[bottle.state(now)].append(bottle)
    rows: list[Listed] = []
    for state, some in by_state.items():
        if not some or (state == "discarded" and not discarded):
            continue
        some.sort(key=_place)
        rows += [f"{state}  {len(some):,}", *some]
    return rows


def _place(bottle: Bottle) -> tuple[int, str, float, str]:
    what = WHATS.index(bottle.what) if bottle.what in WHATS else len(WHATS)
    return what, bottle.name.casefold(), bottle.made, bottle.id


def layout(columns: int) -> list[tuple[str, int]]:
    """Return (column, cells) of a screen so wide, with one cell before each column."""
    if columns < NARROW:
        name = max(4, min(14, columns // 3))
        what = max(3, min(10, columns // 4))
        return [("name", name), ("what", what), ("due", max(1, columns - name - what - 3))]
    cells = {"name": 13, "what": 11, "age": 11, "plates": 6, "strength": 9}
    if columns >= WIDE:
        cells |= {"name": 16, "plates": 29, "strength": 19}
    room = columns - sum(size + 1 for size in cells.values()) - 1
    return [*cells.items(), ("due", room)]


def heads(columns: int) -> Row:
    """Return the names of the columns."""
    return [("".join(" " + _cell(name, name, cells, columns) for name, cells in layout(columns)), "quiet")]


def line(bottle: Bottle, told: Account, dues: Sequence[Due], now: float, columns: int, active: bool) -> Row:
    """Return a bottle's row; `told` is its account, `dues` are its own, what is due first."""
    due = due_words(dues, now)
    strength = strength_words(told.strength, columns >= WIDE)
    texts = {
        "name": bottle.name, "what": bottle.what, "age": age_words(bottle, now),
        "plates": plates_words(told.plates, columns), "strength": strength, "due": due,
    }  # fmt: skip
    cells = [" " + _cell(name, texts[name], size, columns) for name, size in layout(columns)]
    if active:
        return [("".join(cells), "reversed")]
    is_due = any(one.now for one in dues)
    kind = "quiet" if bottle.state(now) == "discarded" else "text"
    return [("".join(cells[:-1]), kind), (cells[-1], "loud" if is_due else "quiet")]


def age_words(bottle: Bottle, now: float) -> str:
    """Return the age of what is in the bottle; one made after now says so: a clock went back."""
    return ("" if now >= bottle.made else "−") + age_text(now - bottle.made)


def plates_words(count: Tally, columns: int) -> str:
    """Return the plates as the column has room for: those of unknown size are told where it is wide."""
    if not count.plates:
        return ""
    return plates_text(count) if columns >= WIDE else f"{count.plates:,}"


def details(bottle: Bottle, told: Account, dues: Sequence[Due], now: float, columns: int) -> list[Row]:
    """Return what the list has no column for, of the bottle under the cursor, in at most DETAILS rows."""
    texts = [
        told.state + ("" if told.band is None else f", {told.band.word}"),
        bottle.recipe and f"recipe {bottle.recipe}",
        bottle.batch and f"batch {bottle.batch}",
        None if bottle.volume is None else volume_text(bottle.volume),
        plates_text(told.plates),
        None if told.strength is None else strength_text(told.strength),
        next((f"due: {one.says} ({one.basis})" for one in dues if one.now), due_words(dues, now)),
    ]
    lines = wrapped(" · ".join(plain(text) for text in texts if text), columns)
    shown = [*lines[: DETAILS - 1], " ".join(lines[DETAILS - 1 :])]
    return [[(clip(line, columns), "text")] for line in shown]


def _cell(name: str, value: str, size: int, columns: int) -> str:
    text = clip(plain(value), size)
    room = " " * (size - width(text))
    in_words = name == "plates" and columns >= WIDE
    return room + text if name in RIGHT and not in_words else text + room
