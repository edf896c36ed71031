"""What each stage is to a plate, whatever its process calls it."""

from __future__ import annotations

from typing import Any

import pytest

from darkroom.log.plate.parts import parts
from darkroom.process.file import plain_form
from darkroom.resources import load_process, shipped_processes
from tests.kit.bench import CYANIDE, PROCESS

COMMON = {
    "coat": "coat",
    "sensitise": "bath",
    "drain": "drain",
    "expose": "exposure",
    "develop": "develop",
    "stop": "stop",
    "fix": "fix",
    "wash": "wash",
    "dry": "dry",
    "varnish": "varnish",
}
"""The order of the work in the wet collodion process: common practice, no source."""


@pytest.mark.parametrize("name", [path.stem for path in shipped_processes()])
def test_every_shipped_process_is_told_in_the_same_parts(name: str) -> None:
    """A rinse before cyanide is water between developer and fixer; one before intensifying is none."""
    wanted = COMMON | ({"rinse": "stop"} if "cyanide" in name else {})
    assert parts(load_process(name)) == wanted


def named(members: dict[str, Any], **names: str) -> dict[str, Any]:
    """Return a process with stages under other names."""
    stages = [{**stage, "name": names.get(stage["name"], stage["name"])} for stage in members["stages"]]
    window = {end: names[members["wet_window"][end]] for end in ("from", "to")}
    return {
        **members,
        "stages": stages,
        "wet_window": {**members["wet_window"], **window},
        "sensitive": {"from": names["sensitise"], "to": names["fix"]},
    }


def test_names_in_another_language_change_nothing() -> None:
    """Parts follow from what the stages hold and from the wet window, not from their names."""
    names = {
        "coat": "giessen", "sensitise": "silberbad", "drain": "abtropfen", "expose": "belichten",
        "develop": "entwickeln", "stop": "stoppen", "fix": "fixieren", "wash": "waessern", "dry": "trocknen",
        "varnish": "lackieren",
    }  # fmt: skip
    english, german = (
        parts(plain_form.from_plain(process)) for process in (PROCESS, named(PROCESS, **names))
    )
    assert german == {names[stage]: part for stage, part in english.items()}


def test_what_stands_between_the_developer_and_the_fixer_is_the_stop() -> None:
    """Both waters before cyanide count as one; the wash is the water behind it, acid behind that is none."""
    told = parts(plain_form.from_plain(CYANIDE))
    assert [stage for stage, part in told.items() if part == "stop"] == ["stop", "rinse"]
    assert [stage for stage, part in told.items() if part == "wash"] == ["wash"]
    assert "clear" not in told


def test_a_process_without_exposure_or_fixer_has_what_it_has() -> None:
    """A process of a developer alone has that part, and nothing fails."""
    stages = [stage for stage in PROCESS["stages"] if stage["name"] in ("develop", "wash")]
    alone = {"name": "Alone", "stages": stages, "sensitive": "never", "temperatures": {}}
    assert parts(plain_form.from_plain(alone)) == {"develop": "develop", "wash": "wash"}
