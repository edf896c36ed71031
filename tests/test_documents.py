"""The documents are true: commands, keys and dependencies are in them, and made parts are fresh."""

from __future__ import annotations

import tomllib

import msgspec
import pytest

from darkroom.commands.groups import ROOMS
from darkroom.process import model
from tests.kit.documents import ROOT, made

README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def test_the_key_table_is_made_from_the_actions() -> None:
    """The README's key table is the one that the program would make now."""
    assert made(README) == README


@pytest.mark.parametrize("command", sorted(ROOMS))
def test_every_command_is_in_the_readme(command: str) -> None:
    """A command that nobody can read of is not there."""
    assert f"darkroom {command}" in README


@pytest.mark.parametrize(
    "key",
    sorted(
        {
            field.encode_name
            for struct in (model.Process, model.Stage, model.Wash, model.WetWindow, model.Reference)
            for field in msgspec.structs.fields(struct)
        }
    ),
)
def test_every_key_of_a_process_file_is_explained(key: str) -> None:
    """Each key that a process file may have stands in DEVELOPERS.md."""
    assert f"`{key}`" in DEVELOPERS


def test_every_dependency_has_its_reason() -> None:
    """Each dependency stands in DEVELOPERS.md with its reason."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = [name for group in project["optional-dependencies"].values() for name in group]
    for wanted in (*project["dependencies"], *extras):
        name = wanted.split(">")[0].split("=")[0].split(";")[0].split("<")[0].strip()
        assert f"**{name}**" in DEVELOPERS, name


def test_the_readme_opens_with_the_job_and_shows_the_screen() -> None:
    """One paragraph states the job; the picture beside it exists and is red only."""
    first = README.split("\n\n")[1]
    assert first.startswith("darkroom is a full-screen terminal tool for photographers")
    picture = (ROOT / "tests" / "pictures" / "bench.svg").read_text(encoding="utf-8")
    colours = {part[:6] for part in picture.split('fill="#')[1:]}
    assert colours and all(colour[2:] == "0000" for colour in colours)
