"""How stages end: one record per way, asked by everybody else."""

from __future__ import annotations

import ast
from pathlib import Path
from typing import get_args

import pytest

import darkroom
from darkroom.bench import endings
from darkroom.process.model import Ends, Stage

PACKAGE = Path(darkroom.__file__).parent
MAY_ASK = {"bench/endings.py", "process/model.py", "process/file/stages.py", "process/file/rules.py"}
"""The record itself, and the rooms below the bench, which cannot import it."""


def asks_the_way(tree: ast.AST) -> list[int]:
    """Return the lines on which a stage's `ends` is compared, matched or looked up."""
    lines = []
    for node in ast.walk(tree):
        match node:
            case ast.Compare(left=left, comparators=others):
                parts = [left, *others]
            case ast.Subscript(slice=part):
                parts = [part]
            case ast.Match(subject=part):
                parts = [part]
            case ast.Call(func=ast.Attribute(attr="get"), args=arguments):
                parts = arguments
            case _:
                continue
        if any(isinstance(part, ast.Attribute) and part.attr == "ends" for part in parts):
            lines.append(node.lineno)
    return lines


@pytest.mark.parametrize("source", sorted(PACKAGE.rglob("*.py")), ids=lambda path: path.name)
def test_no_other_module_asks_which_way_a_stage_ends(source: Path) -> None:
    """Outside the record of endings no module compares a stage's `ends` or looks something up by it."""
    if source.relative_to(PACKAGE).as_posix() not in MAY_ASK:
        assert asks_the_way(ast.parse(source.read_text(encoding="utf-8"))) == []


@pytest.mark.parametrize(
    "question",
    [
        "stage.ends == 'cleared'",
        "'cleared' != s.ends",
        "x.ends in ('at_zero',)",
        "WORDS[x.ends]",
        "WORDS.get(state.stage.ends, '')",
        "match stage.ends:\n    case 'cleared': pass",
    ],
)
def test_every_form_of_the_question_is_noticed(question: str) -> None:
    """The search of the source finds comparisons, look-ups and matches."""
    assert asks_the_way(ast.parse(question)) == [1]


@pytest.mark.parametrize("way", get_args(Ends))
def test_each_way_has_its_record(way: Ends) -> None:
    """Every word that a process file may give as `ends` has one record, with a name to show."""
    ending = endings.of(Stage(name="stage", light="white", ends=way))
    assert ending.text
    assert not (ending.goes_on and ending.calls)
