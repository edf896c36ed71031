"""Small catalogues of faults, for tests of the room that weighs causes."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping
from fractions import Fraction

from darkroom.faults.catalogue import Catalogue, Cause, Fault


def cause(name: str, usual: float, **more: object) -> Cause:
    """Return a cause with the least that it must have."""
    given: dict[str, object] = {
        "id": name,
        "label": name,
        "usual": usual,
        "remedy": f"Remedy {name}.",
        "source": "invented",
    }
    return Cause(**{**given, **more})  # type: ignore[arg-type]


def fault(name: str, unexplained: float, causes: Mapping[str, float], **more: object) -> Fault:
    """Return a fault with the least that it must have."""
    given: dict[str, object] = {
        "id": name,
        "label": name,
        "looks": f"looks like {name}",
        "unexplained": unexplained,
        "causes": causes,
        "source": "invented",
    }
    return Fault(**{**given, **more})  # type: ignore[arg-type]


def catalogue(causes: Iterable[Cause], faults: Iterable[Fault]) -> Catalogue:
    """Return a catalogue of these, in their order."""
    return Catalogue(faults={one.id: one for one in faults}, causes={one.id: one for one in causes})


def brute_force(
    whole: Catalogue, marked: Iterable[str], absent: Iterable[str], odds: Mapping[str, Fraction], most: int
) -> tuple[dict[str, Fraction], Fraction]:
    """Return ({cause: chance}, chance of none) by adding up exact fractions over every set of `most` causes.

    Written without the room's engine: each set's chance is multiplied out as it stands in a textbook, and
    `odds` multiply the odds of a cause.
    """
    seen, missed = list(marked), list(absent)
    names = [name for name in whole.causes if any(name in whole.faults[one].causes for one in seen)]
    sums, total, empty = dict.fromkeys(names, Fraction(0)), Fraction(0), Fraction(0)
    for size in range(min(most, len(names)) + 1):
        for members in itertools.combinations(names, size):
            weight = Fraction(1)
            for name in names:
                usual = Fraction(whole.causes[name].usual)
                weight *= usual * odds.get(name, Fraction(1)) if name in members else 1 - usual
            for one in (*seen, *missed):
                stays_away = 1 - Fraction(whole.faults[one].unexplained)
                for name in members:
                    stays_away *= 1 - Fraction(whole.faults[one].causes.get(name, 0.0))
                weight *= 1 - stays_away if one in seen else stays_away
            total += weight
            empty += weight if not members else 0
            for name in members:
                sums[name] += weight
    return {name: value / total for name, value in sums.items()}, empty / total
