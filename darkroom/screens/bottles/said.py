"""What a filled form comes to: the lines it writes, what is said before, and what enter then does."""

from __future__ import annotations

from typing import NamedTuple

from darkroom.screens.bottles.line_kinds import Line

ASKED = "enter again writes it all the same, escape leaves it"
GONE_IN = "Has it gone in? Enter notes it, escape leaves it."
ONLY_NOTED = "enter notes what was measured, escape leaves it"


class Said(NamedTuple):
    """A sentence, and the meaning of the palette that it is shown with: "loud" for what warns."""

    text: str
    kind: str = "loud"


class Entry(NamedTuple):
    """The lines of a bottle, written at once in this order; `asked` is "" where there is nothing to write.

    `elsewhere` are (id, name, line) of other bottles, each written once these are saved.
    """

    lines: tuple[Line, ...]
    said: tuple[Said, ...] = ()
    asked: str = ASKED
    elsewhere: tuple[tuple[str, str, Line], ...] = ()
