"""What must not meet: one sentence for two things that are handled together. Pure.

The rules are common practice, from memory; the supplier's safety sheets come first.
"""

from __future__ import annotations

from darkroom.solutions.substances import known_as

FLAME = "flame"
"""What is no substance and yet can be asked about: a flame, a spark, a hot wire."""

_RULES: tuple[tuple[str, str, str], ...] = (
    ("cyanide", "acid", "Acid sets hydrogen cyanide free from cyanide, and it kills at once: never in "
     "one room."),
    ("silver", "ammonia", "Silver and ammonia form a black deposit that explodes when touched: never keep "
     "them "
     "together; acidify a bath again the same day."),
    ("iodine", "ammonia", "Iodine and ammonia form a dark powder that explodes when touched: never "
     "together."),
    ("nitric acid", "alcohol", "Nitric acid and alcohol may boil up and explode, with silver above all: "
     "never "
     "together beyond a few drops in a cold bath, never warm."),
    ("nitric acid", "ether", "Nitric acid and ether burn or explode: never together."),
    ("ether", FLAME, "Ether vapour creeps to a flame and catches fire: no flame in the room."),
    ("flammable", FLAME, "Its vapour catches fire: no flame near it; warm it on a hot plate, the bottle "
     "closed "
     "and away."),
    ("cyanide", "silver nitrate", "Cyanide spoils a silver bath, and the bath's acid sets hydrogen cyanide "
     "free "
     "from it: never together."),
    ("hypo", "acid", "Acid breaks hypo down: sulphur dioxide, which bites the lungs, and a milk of sulphur."),
    ("acid", "alkali", "Acid and alkali within a day undo each other, and spoil a bath: test with litmus, "
     "add "
     "one of them, and wait a day."),
)  # fmt: skip
"""(kind, kind, sentence), the worst first."""


def kinds_of(words: str) -> frozenset[str]:
    """Return the kinds of a substance by its name, or the word itself where it is one: acid, flame."""
    found = known_as(words)
    if found is not None:
        return found.kinds
    return frozenset({" ".join(words.lower().split())})


def dangers(first: str, second: str) -> str | None:
    """Return the sentence to warn with when two things meet, None where nothing is known against it.

    Each is a substance by its name or alias, or a kind as "acid", "alkali", "ether", "flame". The order does
    not matter.
    """
    left, right = kinds_of(first), kinds_of(second)
    for one, other, sentence in _RULES:
        if (one in left and other in right) or (other in left and one in right):
            return sentence
    return None
