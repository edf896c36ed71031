"""Which bottle each stage of a process uses."""

from __future__ import annotations

from pathlib import Path

import pytest

from darkroom import resources
from darkroom.process.file.profile import parse
from darkroom.process.model import ROLES, Process
from darkroom.process.uses import bottle_role, roles, stage_of
from tests.kit.plate_snapshot import FIXTURES

POSITIVE = {
    "coat": "collodion",
    "sensitise": "bath",
    "develop": "developer",
    "fix": "fixer",
    "varnish": "varnish",
}


@pytest.mark.parametrize("path", resources.shipped_processes(), ids=lambda path: path.stem)
def test_every_shipped_process_uses_its_bottles_once(path: Path) -> None:
    """Draining, washing, warming and curing use none; a negative has its intensifier too."""
    process = resources.read_process(path)
    expected: dict[str, str] = dict(POSITIVE)
    if "negative" in str(path):
        expected["intensify"] = "intensifier"
    assert roles(process) == expected


@pytest.mark.parametrize("path", sorted((FIXTURES / "processes").glob("*.yaml")), ids=lambda path: path.stem)
def test_a_file_of_an_earlier_version_tells_its_bottles(path: Path) -> None:
    """A file that knows no `uses` has the roles that follow from what its stages hold."""
    process = resources.read_process(path)
    assert all(stage.uses is None for stage in process.stages)
    expected = {"varnish": "varnish"} if "never" in str(path) else POSITIVE
    assert {name: role for name, role in roles(process).items() if role != "intensifier"} == expected


def process_of(*stages: str, window: bool = False) -> Process:
    """Return a process with these stages, each `name` or `name: holds`."""
    text = "name: Practice\nsensitive: never\n"
    if window:
        text += (
            "wet_window: {from: tauchen, to: entwickeln, time: 10 min, temperature: 20 °C, humidity: 50 %, "
            "longest: 20 min}\n"
        )
    text += "stages:\n"
    for stage in stages:
        name, _, rest = stage.partition(":")
        text += f"  - {{name: {name}, light: white, ends: by_eye{', ' + rest if rest else ''}}}\n"
    return parse(text, "practice.yaml")


def told(*stages: str, window: bool = False) -> dict[str, str]:
    """Return {stage: role} of such a process."""
    return dict(roles(process_of(*stages, window=window)))


def test_the_wet_window_tells_bath_and_developer_in_any_language() -> None:
    """Names count only where nothing else tells: a file may be written in the photographer's own words."""
    found = told(
        "giessen: holds: [ether]",
        "tauchen: holds: [silver]",
        "abtropfen: holds: [silver]",
        "entwickeln: holds: [acid]",
        "bad eins: holds: [hypo]",
        "bad zwei: holds: [hypo]",
        "bad drei: holds: [hypo]",
        "lack: holds: [varnish]",
        "nachwärmen: holds: [varnish]",
        window=True,
    )
    assert found == {
        "giessen": "collodion",
        "tauchen": "bath",
        "entwickeln": "developer",
        "bad eins": "fixer",
        "bad zwei": "fixer_2",
        "lack": "varnish",
    }


def test_without_a_wet_window_what_a_stage_holds_tells() -> None:
    """The first stage that holds silver is the bath, unless its name says that it intensifies."""
    found = told("intensify: holds: [silver]", "dip: holds: [silver]", "drain: holds: [silver]", "develop")
    assert found == {"intensify": "intensifier", "dip": "bath", "develop": "developer"}


def test_what_holds_nothing_is_told_by_its_name() -> None:
    """A short file that says neither what a stage holds nor what it uses is told all the same."""
    assert told("substratum", "coat", "fix", "rinse", "varnish") == {
        "substratum": "substratum",
        "coat": "collodion",
        "fix": "fixer",
        "varnish": "varnish",
    }


def test_the_files_own_word_wins() -> None:
    """`uses` may give two stages one bottle, and a role to a stage that holds nothing."""
    process = process_of(
        "fix: holds: [hypo]", "again: holds: [hypo], uses: fixer", "bleach: uses: intensifier"
    )
    assert roles(process) == {"fix": "fixer", "again": "fixer", "bleach": "intensifier"}
    assert bottle_role(process, process.stages[1]) == "fixer"
    assert stage_of(process, "fixer") == process.stages[0]
    assert stage_of(process, "varnish") is None


def test_a_word_that_is_near_is_named() -> None:
    """Each role can be said, and nothing else."""
    for role in ROLES:
        assert told(f"a: uses: {role}") == {"a": role}
