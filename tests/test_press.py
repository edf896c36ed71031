"""What a hand reads or hears says "press": beside ether, "strike" is heard as lighting a match.

"Strike" may stand where the log tells what was recorded (its pages, its commands, its exports), as a value
of a journal or of an exposure plan, and in names and comments of the code.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml

from darkroom import resources
from darkroom.commands import make_words
from tests.kit.documents import ROOT

STRIKE = re.compile(r"\bstr(?:ikes?|iking|uck)\b", re.IGNORECASE)
PACKAGE = Path(resources.__file__).parent
OF_THE_LOG = ("log", "screens/log_plate", "screens/trends", "commands/log")
"""Rooms that tell what was recorded."""
VALUE = {"strike"}
"""A value of a journal or of a plan, no text."""
ALLOWED = {r"bench/instruction.py: \b(strike|press)\b"}
"""The pattern that finds the word in the sentences of a process file of one's own."""


def modules() -> Iterator[Path]:
    """Give every module outside the rooms of the log."""
    for path in sorted(PACKAGE.rglob("*.py")):
        room = path.relative_to(PACKAGE).as_posix()
        if not room.startswith(tuple(f"{name}/" for name in OF_THE_LOG)):
            yield path


def texts(source: str) -> Iterator[str]:
    """Give the texts of a module, those of f-strings too, without its docstrings and its single values."""
    tree = ast.parse(source)
    described = {
        id(node.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
    }
    for node in ast.walk(tree):
        is_text = isinstance(node, ast.Constant) and isinstance(node.value, str)
        if is_text and id(node) not in described and node.value not in VALUE:
            yield node.value


def scalars(node: object) -> Iterator[str]:
    """Give every text of a YAML tree, keys too."""
    if isinstance(node, dict):
        for key, value in node.items():
            yield from scalars(key)
            yield from scalars(value)
    elif isinstance(node, list):
        for value in node:
            yield from scalars(value)
    elif isinstance(node, str):
        yield node


def test_no_text_of_the_tool_asks_for_a_strike() -> None:
    """No text outside the log's own rooms has the word."""
    found = {
        f"{path.relative_to(PACKAGE).as_posix()}: {text}"
        for path in modules()
        for text in texts(path.read_text(encoding="utf-8"))
        if STRIKE.search(text)
    }
    assert found <= ALLOWED


def test_the_search_finds_a_text_and_spares_the_code() -> None:
    """A sentence and a piece of an f-string are texts; docstrings and values of a plan are none."""
    source = '"""A strike."""\nx = f"Strike {x}"\ny = "Then strike."\nz = "strike"\n'
    assert [text for text in texts(source) if STRIKE.search(text)] == ["Then strike.", "Strike "]


def test_nothing_spoken_asks_for_a_strike() -> None:
    """No recording of the spoken set says the word."""
    assert [text for text in make_words.shipped_texts().values() if STRIKE.search(text)] == []


@pytest.mark.parametrize("path", sorted(resources.profiles_dir().rglob("*.yaml")), ids=lambda path: path.stem)
def test_no_shipped_file_asks_for_a_strike(path: Path) -> None:
    """Process files, the day's sheet, key maps and words for marks have the word in no text."""
    loaded = yaml.safe_load(path.read_text(encoding="utf-8"))
    assert [text for text in scalars(loaded) if STRIKE.search(text)] == []


def test_the_readme_asks_for_a_press() -> None:
    """Before the part on the log the README has the word once, where it says what the log calls a press."""
    before = (ROOT / "README.md").read_text(encoding="utf-8").split("\n## Looking back")[0]
    assert [match[0] for match in STRIKE.finditer(before)] == ["strike"]
