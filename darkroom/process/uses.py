"""Which bottle a stage uses: the role that it says, else the one that follows from what it holds. Pure.

A stage that only goes on with what an earlier one put on the plate uses nothing: a plate that drains carries
silver, one that cures carries varnish, and neither takes from a bottle. So without a word in the file

- the bath is the stage after whose end the plate dries (`wet_window.from`), without a wet window the first
  that holds silver;
- the developer is the stage that ends the wet time (`wet_window.to`), without one that called `develop`;
- the collodion is the first stage that holds ether, else one called `coat`;
- of stages with hypo or cyanide the first is the fixer, the second the second fixer; else one called `fix`;
- the varnish is a stage called `varnish`, else the first that holds it;
- an intensifier and a substratum are told by the stage's name alone.

A name counts by its beginning: "intensify again" is told as "intensify" is, and the same bottle again.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

from darkroom.process.model import Process, Role, Stage
from darkroom.process.same_process import SameProcess

_NAMES: tuple[tuple[str, Role], ...] = (("intensif", "intensifier"), ("substrat", "substratum"))
"""(beginning of a stage's name, role) of what nothing else tells."""
_FIXING = ("hypo", "cyanide")


def bottle_role(process: Process, stage: Stage) -> Role | None:
    """Return the role of the bottle that a stage of the process uses, None for one that uses none."""
    return roles(process).get(stage.name)


def roles(process: Process) -> Mapping[str, Role]:
    """Return {stage: the role of the bottle it uses}, in the order of the stages."""
    return _roles(SameProcess(process))


def role_text(role: str) -> str:
    """Return what a role, or the bottle in it, is called: "second fixer"."""
    return "second fixer" if role == "fixer_2" else role


def places(process: Process) -> tuple[tuple[int, Role], ...]:
    """Return (place of a stage in the process, the role of the bottle it uses), in their order."""
    return _places(SameProcess(process))


@lru_cache(maxsize=16)
def _roles(same: SameProcess) -> Mapping[str, Role]:
    process = same.process
    usual = _usual(process)
    found = {stage.name: stage.uses or usual.get(stage.name) for stage in process.stages}
    return MappingProxyType({name: role for name, role in found.items() if role is not None})


@lru_cache(maxsize=16)
def _places(same: SameProcess) -> tuple[tuple[int, Role], ...]:
    known = _roles(same)
    stages = enumerate(same.process.stages)
    return tuple((index, known[stage.name]) for index, stage in stages if stage.name in known)


def content_of(role: str) -> str:
    """Return what is in a bottle that stands in a role: a second fixer is a fixer."""
    return "fixer" if role == "fixer_2" else role


def stage_of(process: Process, role: str) -> Stage | None:
    """Return the first stage that uses a bottle in a role, None where the process has none."""
    known = roles(process)
    return next((stage for stage in process.stages if known.get(stage.name) == role), None)


def _usual(process: Process) -> dict[str, Role]:
    """Return {stage: role} as the stages would have it that say nothing."""
    stages = [stage for stage in process.stages if stage.wash is None]
    window = process.wet_window
    found: dict[str, Role] = {}

    def take(role: Role, *choices: Stage) -> None:
        stage = next((stage for stage in choices if stage.name not in found), None)
        if stage is not None:
            found[stage.name] = role

    if window is not None:
        take("bath", *(stage for stage in stages if stage.name == window.from_))
        take("developer", *(stage for stage in stages if stage.name == window.to))
    for stage in stages:
        for beginning, role in _NAMES:
            if stage.name not in found and _is_called(stage, beginning):
                found[stage.name] = role
    if window is None:
        take("bath", *_holding(stages, "silver"))
        take("developer", *_called(stages, "develop"))
    take("collodion", *_holding(stages, "ether"), *_called(stages, "coat"))
    fixing = [stage for stage in stages if any(word in stage.holds for word in _FIXING)]
    take("fixer", *fixing, *_called(stages, "fix"))
    take("fixer_2", *fixing)
    take("varnish", *_called(stages, "varnish"), *_holding(stages, "varnish"))
    return found


def _holding(stages: list[Stage], word: str) -> list[Stage]:
    return [stage for stage in stages if word in stage.holds]


def _called(stages: list[Stage], beginning: str) -> list[Stage]:
    return [stage for stage in stages if _is_called(stage, beginning)]


def _is_called(stage: Stage, beginning: str) -> bool:
    return stage.name.casefold().startswith(beginning)
