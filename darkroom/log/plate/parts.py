"""What each stage of a process is to a plate, whatever the process calls it. Pure.

It follows from the bottles that the stages use (`process/uses.py`), from the exposure and from what stands
between them:

- coat, bath, develop and varnish are the stages that use those bottles, fix the one of the first fixer;
- drain is what stands between the bath and the exposure, stop between the developer and the fixer;
- wash is every wash after the fixer; in a process without a wash it is the water there;
- dry is where the plate waits on the rack, without a rack a stage called `dry`.
"""

from __future__ import annotations

from collections.abc import Callable

from darkroom.bench import endings
from darkroom.faults.history import Part
from darkroom.process import uses
from darkroom.process.model import Process, Role, Stage

_BY_ROLE: tuple[tuple[Role, Part], ...] = (
    ("collodion", "coat"),
    ("bath", "bath"),
    ("developer", "develop"),
    ("fixer", "fix"),
    ("varnish", "varnish"),
)


def parts(process: Process) -> dict[str, Part]:
    """Return {stage: what it is to the plate} of the stages that have a part, in their order."""
    places: dict[Role, int] = {}
    for place, role in uses.places(process):
        places.setdefault(role, place)
    found: dict[int, Part] = {places[role]: part for role, part in _BY_ROLE if role in places}
    exposure = endings.exposure_place(process)
    if exposure is not None:
        found.setdefault(exposure, "exposure")
    bath, developer, fixer = (places.get(role) for role in ("bath", "developer", "fixer"))
    opened = exposure if exposure is not None else developer

    def between(first: int | None, last: int | None, part: Part) -> None:
        if first is not None and last is not None:
            for place in range(first + 1, last):
                found.setdefault(place, part)

    between(bath, opened, "drain")
    between(developer, fixer, "stop")
    after = developer if fixer is None else fixer
    if after is not None:
        later = [place for place in range(after + 1, len(process.stages)) if place not in found]
        for part, rules in _LATER:
            chosen = next((them for rule in rules if (them := _those(process, later, rule))), [])
            found |= dict.fromkeys(chosen, part)
    return {process.stages[place].name: found[place] for place in sorted(found)}


Rule = Callable[[Stage], bool]


def _those(process: Process, places: list[int], rule: Rule) -> list[int]:
    return [place for place in places if rule(process.stages[place])]


_LATER: tuple[tuple[Part, tuple[Rule, ...]], ...] = (
    (
        "wash",
        (
            lambda stage: stage.wash is not None,
            lambda stage: stage.name.casefold().startswith("wash"),
            lambda stage: "water" in stage.holds and not stage.optional,
        ),
    ),
    ("dry", (lambda stage: stage.rack, lambda stage: stage.name.casefold().startswith("dry"))),
)
"""(part, what tells it: the first rule that any stage after the fixer answers)."""
