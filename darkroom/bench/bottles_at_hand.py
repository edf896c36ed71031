"""The bottles of the book that plates can use, as values of the bench; what is chosen for a plate. Pure.

The book is read elsewhere, in a thread; the bench gets what it says as `BottleAtHand`.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

import msgspec

from darkroom.process.model import Process
from darkroom.process.uses import content_of, roles

ROLE_NAMES = {
    "collodion": "collodion",
    "bath": "silver bath",
    "developer": "developer",
    "fixer": "fixer",
    "fixer_2": "second fixer",
    "substratum": "substratum",
    "intensifier": "intensifier",
    "varnish": "varnish",
}
"""{role of a bottle: how it is called}."""


class BottleAtHand(msgspec.Struct, frozen=True, kw_only=True):
    """A bottle that is in use, or that ripens.

    `name` tells it from every other one at hand. `made` is the date on which it was made, "2026-05-02".
    `fixing` is what it fixes with, None where that is not known.
    """

    id: str
    name: str
    what: str
    made: str
    ripening: bool = False
    fixing: Literal["hypo", "cyanide"] | None = None

    def fits(self, role: str, process: Process | None) -> bool:
        """Return whether it can be chosen for a role of a process; a fixer is for both baths of fixer.

        Cyanide is for stages that hold cyanide alone, hypo for those that do not. Without a process the role
        alone counts.
        """
        if self.what != content_of(role):
            return False
        used_in = () if process is None or self.fixing is None else _held(process, role)
        if self.fixing == "cyanide":
            return all("cyanide" in held for held in used_in)
        return all("cyanide" not in held or "hypo" in held for held in used_in)


def _held(process: Process, role: str) -> list[tuple[str, ...]]:
    """Return what each stage holds that uses the bottle of a role."""
    known = roles(process)
    return [stage.holds for stage in process.stages if known.get(stage.name) == role]


def serving(bottles: Iterable[BottleAtHand], role: str, process: Process | None) -> tuple[BottleAtHand, ...]:
    """Return the bottles that can be chosen for a role of a process: those in use, then those that ripen."""
    fitting = [bottle for bottle in bottles if bottle.fits(role, process)]
    return tuple(sorted(fitting, key=lambda bottle: bottle.ripening))


def only_one(bottles: Iterable[BottleAtHand], role: str, process: Process) -> BottleAtHand | None:
    """Return what a role takes where nobody chose: the only one in use that fits, None of several."""
    in_use = [bottle for bottle in serving(bottles, role, process) if not bottle.ripening]
    return in_use[0] if len(in_use) == 1 else None


def roles_of(process: Process) -> tuple[str, ...]:
    """Return the roles of the bottles that a process uses, in the order of its stages, each once."""
    return tuple(dict.fromkeys(roles(process).values()))


def roles_before_rack(process: Process) -> tuple[str, ...]:
    """Return the roles that are chosen before a plate begins: what follows the rack is chosen there."""
    racked = next((place for place, stage in enumerate(process.stages) if stage.rack), len(process.stages))
    names = {stage.name for stage in process.stages[:racked]}
    return tuple(dict.fromkeys(role for stage, role in roles(process).items() if stage in names))


def roles_after_rack(process: Process) -> tuple[str, ...]:
    """Return the roles that are chosen when a plate leaves the rack."""
    before = roles_before_rack(process)
    return tuple(role for role in roles_of(process) if role not in before)
