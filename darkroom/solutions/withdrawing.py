"""Which line of a bottle is taken back. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from darkroom.errors import NothingFound, WrongUse
from darkroom.process.text.numbers import quoted
from darkroom.solutions import events as ev
from darkroom.solutions.events import BottleEntry

LAST = "last"


def line_at(
    word: str, bench: str, kept: Sequence[BottleEntry], withdrawn: Sequence[BottleEntry]
) -> BottleEntry:
    """Return the line that counts and that a word names: `<bench>:<n>`, `<n>` of this bench, or "last".

    The last is the one with the latest time of writing that is no withdrawal. Raises WrongUse for one that
    does not count already, NothingFound where no line is meant.
    """
    word = word.strip()
    if word.casefold() == LAST:
        lines = [entry for entry in kept if not isinstance(entry.event, ev.Withdrawn)]
        if not lines:
            raise NothingFound("no line of this bottle counts")
        mine = [entry for entry in lines if entry.bench == bench]
        return max(mine, key=lambda entry: entry.event.n) if mine else max(lines, key=_written)
    place = f"{bench}:{word}" if word.isascii() and word.isdigit() else word
    for entry in kept:
        if entry.place == place:
            return entry
    if any(entry.place == place for entry in withdrawn):
        raise WrongUse(f"{quoted(word)} is withdrawn already")
    raise NothingFound(f"this bottle has no line {quoted(word)}: `darkroom bottle show` has their places")


def _written(entry: BottleEntry) -> tuple[str, int]:
    return entry.event.at, entry.event.n
