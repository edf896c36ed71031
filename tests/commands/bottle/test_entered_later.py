"""A bottle that comes into the book long after it was made, and one without a recipe."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from darkroom.resources import profiles_dir
from tests.kit.command_line import Capture, as_json, run


def said(capsys: Capture, *words: str, status: int = 0) -> str:
    """Run a command about bottles; return what it says to both streams."""
    ended, out, err = run(capsys, "bottle", *words)
    assert ended == status, (out, err)
    return out + err


def shown(capsys: Capture, name: str) -> Any:
    """Return what `bottle show --json` prints."""
    return as_json(capsys, "bottle", "show", name)


def test_a_bath_long_in_service_is_no_fresh_one(home: Path, capsys: Capture) -> None:
    """Its reading is at least what it says, it need not be iodised, and its plates count since the book."""
    entered = ("new", "bath", "old", "--volume", "1L", "--strength", "8", "--when", "40 days ago")
    assert "used before it came into the book" in said(capsys, *entered, "--used")
    told = shown(capsys, "old")
    assert told["used"] and told["strength"]["high"] >= 9 and "at least" in told["strength"]["basis"]
    assert [care["now"] for care in told["care"] if care["id"] == "iodise"] == [False]
    text = said(capsys, "show", "old")
    assert "at least 8 % w/v" in text and "0 plates since it came into the book" in text
    assert "at least" in said(capsys, "measure", "old", "--density", "1.060", "--at", "20C")
    assert "reads low" in said(capsys, "top-up", "old", "--to", "9", "--yes")


def test_boiled_down_a_used_bath_is_as_a_fresh_one(home: Path, capsys: Capture) -> None:
    """The alcohol is gone: the next reading is not "at least"."""
    said(capsys, "new", "bath", "old", "--volume", "1L", "--used", "--when", "40 days ago")
    said(capsys, "treat", "old", "boiled-down", "--yes")
    assert "at least" not in said(capsys, "measure", "old", "--density", "1.060", "--at", "20C")


def test_an_earlier_bath_without_plates_is_asked_about(home: Path, capsys: Capture) -> None:
    """Nothing is taken for granted; one line says how it is said."""
    assert "say --used" in said(capsys, "new", "bath", "B-1", "--when", "40 days ago")
    assert not shown(capsys, "B-1")["used"]
    assert "--used" not in said(capsys, "new", "bath", "B-2")


def test_an_own_recipe_takes_no_care_from_other_bottles(home: Path, capsys: Capture) -> None:
    """The shipped recipe stays the one that is taken where none is named; it is said at the entering."""
    text = said(capsys, "new", "bath", "B-1")
    cares = [care["id"] for care in shown(capsys, "B-1")["care"]]
    assert cares and "no recipe is named: what is due is that of" in text
    own = home / "profiles" / "solutions"
    own.mkdir(parents=True)
    silver = (profiles_dir() / "solutions" / "silver-bath.yaml").read_text(encoding="utf-8")
    (own / "my-bath.yaml").write_text(silver, encoding="utf-8")
    assert [care["id"] for care in shown(capsys, "B-1")["care"]] == cares


def test_a_recipe_is_named_later(home: Path, capsys: Capture) -> None:
    """Of several that fit none is taken: it is said, and a recipe named afterwards has its care."""
    text = said(capsys, "new", "developer", "D-1")
    assert "nothing will be due; darkroom bottle recipe D-1 RECIPE names one" in text
    assert shown(capsys, "D-1")["care"] == []
    assert "makes bath; D-1 is developer" in said(capsys, "recipe", "D-1", "silver-bath", status=2)
    assert "recipe named: developer-summer" in said(capsys, "recipe", "D-1", "developer-summer")
    told = shown(capsys, "D-1")
    assert told["recipe"] == "developer-summer" and told["care"]
    said(capsys, "withdraw", "D-1", "last", "--yes")
    assert shown(capsys, "D-1")["recipe"] is None
    said(capsys, "new", "fixer", "F-1")
    assert "never alone" in said(capsys, "recipe", "F-1", "cyanide", "--yes")
