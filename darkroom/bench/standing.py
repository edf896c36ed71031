"""The lines of one plate: which of them stand, and when each of them happened. Pure."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from operator import attrgetter

from darkroom.bench import events as ev
from darkroom.event_base import Newer

Line = ev.AnyEvent | Newer
BY_N = attrgetter("n")
"""The key that sorts lines."""


def standing(lines: Iterable[Line]) -> list[Line]:
    """Return the lines, by `n`, that no standing `undone` names."""
    return standing_of(sorted(lines, key=BY_N))


def standing_of(ordered: Sequence[Line], undoes: Collection[int] = ()) -> list[Line]:
    """Return the same of lines that ascend; `undoes` are named by one that follows them."""
    gone = set(undoes)
    for line in reversed(ordered):
        if type(line) is ev.Undone and line.n not in gone:
            gone.update(line.undoes)
    return [line for line in ordered if line.n not in gone] if gone else [*ordered]


def instants(lines: Sequence[Line]) -> dict[int, float]:
    """Return {n: instant} on the boot clock of the last line, with `moved` applied.

    Lines without a time on that clock (review) have no entry. `lines` are the standing lines,
    ascending.
    """
    numbers: list[int] = []
    instants_of: list[float] = []  # a list, since each return after a sleep moves all that came before it
    last: float | None = None
    moved: list[ev.Moved] = []
    for line in lines:
        kind, up = type(line), line.up
        if kind is ev.Moved:
            moved.append(line)  # type: ignore[arg-type]
        if up is None:
            continue
        if kind is ev.Resumed and last is not None and line.by == "wall":  # type: ignore[union-attr]
            shift = up - line.gap - last  # type: ignore[union-attr]
            instants_of = [instant + shift for instant in instants_of]
        numbers.append(line.n)
        instants_of.append(up)
        last = up
    when = dict(zip(numbers, instants_of, strict=True))
    for move in moved:
        for n in move.moves:
            if n in when:
                when[n] += move.seconds
    return when
