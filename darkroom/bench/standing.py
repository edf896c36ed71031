"""The lines of one plate: which of them stand, and when each of them happened. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from darkroom.bench import events as ev
from darkroom.event_base import Newer

Line = ev.AnyEvent | Newer


def standing(lines: Iterable[Line]) -> list[Line]:
    """Return the lines, by `n`, that no standing `undone` names."""
    ordered = sorted(lines, key=lambda line: line.n)
    gone: set[int] = set()
    for line in reversed(ordered):
        if isinstance(line, ev.Undone) and line.n not in gone:
            gone.update(line.undoes)
    return [line for line in ordered if line.n not in gone]


def instants(lines: Sequence[Line]) -> dict[int, float]:
    """Return {n: instant} on the boot clock of the last line, with `moved` applied.

    Lines without a time on that clock (review) have no entry. `lines` are the standing lines,
    ascending.
    """
    when: dict[int, float] = {}
    last: float | None = None
    for line in lines:
        if line.up is None:
            continue
        if isinstance(line, ev.Resumed) and line.by == "wall" and last is not None:
            shift = line.up - line.gap - last
            when = {n: instant + shift for n, instant in when.items()}
        when[line.n] = line.up
        last = line.up
    for line in lines:
        if isinstance(line, ev.Moved):
            for n in line.moves:
                if n in when:
                    when[n] += line.seconds
    return when
