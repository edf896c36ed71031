"""The run of plates with a fault up to one of them, and what was another one than before it. Pure.

A run is of one process. Plates that nobody judged neither belong to it nor break it; a plate that was judged
and not marked with the fault ends it.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

import msgspec

from darkroom.faults.history import BottleThen, PlateFigures
from darkroom.faults.usual import before


class Run(msgspec.Struct, frozen=True, kw_only=True):
    """The plates with a fault, oldest first; `after` is the judged plate without it before them, if any."""

    plates: tuple[PlateFigures, ...]
    after: PlateFigures | None = None

    @property
    def first(self) -> PlateFigures:
        """The plate with which the fault began."""
        return self.plates[0]


def marked(plate: PlateFigures, faults: Collection[str]) -> bool:
    """Return whether a plate was marked with one of the faults."""
    return any(mark.name in faults for mark in plate.faults)


def run_up_to(plate: PlateFigures, earlier: Sequence[PlateFigures], faults: Collection[str]) -> Run | None:
    """Return the run that ends with this plate; None where the plate itself is not marked so.

    `earlier` are the plates before it, oldest first, of any process.
    """
    if not marked(plate, faults):
        return None
    plates = [plate]
    for other in reversed(earlier):
        if other.process != plate.process:
            continue
        if marked(other, faults):
            plates.append(other)
        elif other.judged:
            return Run(plates=tuple(reversed(plates)), after=other)
    return Run(plates=tuple(reversed(plates)))


def same_bottle(one: BottleThen, other: BottleThen) -> bool:
    """Return whether two plates had the same bottle: by its id where both know it, else by its name."""
    if one.id is not None and other.id is not None:
        return one.id == other.id
    return one.name == other.name


def is_new(run: Run, role: str) -> bool | None:
    """Return whether the run began with another bottle of a role than the plate before; None: not known."""
    if run.after is None:
        return None
    now, then = run.first.bottles.get(role), run.after.bottles.get(role)
    return None if now is None or then is None else not same_bottle(now, then)


def has_first_bottle(run: Run, role: str) -> bool | None:
    """Return whether the last plate of the run has the bottle that its first one had; None: not known."""
    first, last = run.first.bottles.get(role), run.plates[-1].bottles.get(role)
    return None if first is None or last is None else same_bottle(first, last)


def used_before(run: Run, role: str, earlier: Sequence[PlateFigures]) -> tuple[PlateFigures, ...]:
    """Return the plates up to the last one without the fault that had the bottle of the run's first one."""
    bottle = run.first.bottles.get(role)
    if bottle is None or run.after is None:
        return ()
    return tuple(
        plate
        for plate in before(run.after, earlier)
        if plate.process == run.first.process
        and role in plate.bottles
        and same_bottle(bottle, plate.bottles[role])
    )


def treated(run: Run, role: str) -> tuple[str, ...] | None:
    """Return what was done to the bottle between the plate before the run and its first one, oldest first.

    None where that is not known: no plate before, no bottle, or one that is not in the book.
    """
    bottle = run.first.bottles.get(role)
    if run.after is None or bottle is None or bottle.id is None:
        return None
    since, until = run.after.instant, run.first.instant
    done = sorted((when, what) for what, when in bottle.changed.items() if since < when <= until)
    return tuple(what for _, what in done)
