"""The water before and after cyanide: which stages of a process must not be left out. Pure.

Acid on cyanide sets hydrogen cyanide free. A cyanide stage therefore follows a stage that holds water, has
an `at_least` and is not optional, with no acid between that water and the cyanide; and a stage that holds
water stands between the cyanide and any acid after it. That such water is needed is common practice, no
source. All other water after cyanide washes it out: cyanide left in the film turns the picture yellow and
destroys it in the end (J. B. Schriever, Complete Self-Instructing Library of Practical Photography, par.
1024).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol


class RinseFacts(Protocol):
    """What a stage, checked or still a draft, tells about itself here."""

    @property
    def holds(self) -> tuple[str, ...]:
        """What is in the tray: `acid`, `cyanide`, `water` and others."""

    @property
    def optional(self) -> bool:
        """True when the photographer may do without the stage."""

    @property
    def at_least(self) -> float | None:
        """The least seconds in the stage, or None when it has none."""


def rinse_before(stages: Sequence[RinseFacts], cyanide: int) -> int | None:
    """Return the place of the rinse that protects the cyanide stage at `cyanide`, or None without one."""
    for place in range(cyanide - 1, -1, -1):
        stage = stages[place]
        if "acid" in stage.holds:
            return None
        if "water" in stage.holds and stage.at_least is not None and not stage.optional:
            return place
    return None


def acid_after(stages: Sequence[RinseFacts], cyanide: int) -> int | None:
    """Return the place of the first acid after the cyanide stage at `cyanide`, or None."""
    return next((place for place in range(cyanide + 1, len(stages)) if "acid" in stages[place].holds), None)


def rinse_after(stages: Sequence[RinseFacts], cyanide: int) -> int | None:
    """Return the place of the water between the cyanide stage at `cyanide` and the next acid, or None."""
    end = acid_after(stages, cyanide)
    for place in range(cyanide + 1, len(stages) if end is None else end):
        if "water" in stages[place].holds and not stages[place].optional:
            return place
    return None


def protects(stages: Sequence[RinseFacts], place: int) -> str | None:
    """Return what the stage at `place` protects, or None: "keeps acid from the cyanide".

    A stage protects that keeps acid and cyanide apart, and any water after cyanide that is not optional.
    """
    cyanide = [number for number, stage in enumerate(stages) if "cyanide" in stage.holds]
    for number in cyanide:
        if rinse_before(stages, number) == place:
            return "keeps acid from the cyanide"
        if acid_after(stages, number) is not None and rinse_after(stages, number) == place:
            return "keeps cyanide from the acid"
    water = stages[place]
    if cyanide and cyanide[0] < place and "water" in water.holds and not water.optional:
        return "washes the cyanide out"
    return None
