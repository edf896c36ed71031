"""The book of an earlier season tells what it told when it was written."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import get_args

import pytest

from darkroom.log.bottles import files
from darkroom.log.journal import frame
from darkroom.solutions import events as ev
from darkroom.solutions.bottle import Bottle
from darkroom.solutions.bottle_strength import reads_low
from tests.kit.plate_snapshot import FIXTURES

BOOK = FIXTURES / "bottles"
TOLD = json.loads((BOOK / "told.json").read_text(encoding="utf-8"))
PATHS = sorted(BOOK.rglob("*.jsonl"))
LATER = sorted((FIXTURES / "bottles_recipe_named").rglob("*.jsonl"))
"""A bath that was used before it came into the book, and whose recipe was named afterwards."""
INSTANTS = {"2026-04-05": 1775347200.0, "2026-08-01": 1785542400.0}


@pytest.fixture
def shelf(tmp_path: Path) -> files.Shelf:
    """Return the book as it is read from a copy of its folders alone."""
    for path in PATHS:
        copy = tmp_path / "bottles" / path.relative_to(BOOK)
        copy.parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(path, copy)
    return files.read_shelf(tmp_path)


def told(bottle: Bottle) -> dict[str, object]:
    """Return what is kept of a bottle in the file beside the book."""
    return {
        "name": bottle.name,
        "what": bottle.what,
        "state": {day: bottle.state(instant) for day, instant in INSTANTS.items()},
        "made": bottle.made,
        "recipe": bottle.recipe,
        "batch": bottle.batch,
        "volume": bottle.volume,
        "ripens": bottle.ripens,
        "opened": bottle.opened,
        "last": bottle.last,
        "counts": [entry.place for entry in bottle.entries],
        "withdrawn": [entry.place for entry in bottle.withdrawn],
    }


def test_the_bottles_are_what_they_were(shelf: files.Shelf) -> None:
    """Every bottle, with the lines that count and those that do not, is as it was; nothing is a problem."""
    assert shelf.problems == ()
    assert {name: told(bottle) for name, bottle in shelf.bottles.items()} == TOLD["bottles"]
    assert {name: [entry.place for entry in lines] for name, lines in shelf.unmade.items()} == TOLD["unmade"]


@pytest.mark.parametrize("path", [*PATHS, *LATER], ids=lambda path: f"{path.parent.name}/{path.name}")
def test_its_lines_are_written_again_with_the_same_bytes(path: Path) -> None:
    """Every line is written byte for byte as it was."""
    lines = path.read_bytes().splitlines(True)
    assert [frame.encode(ev.READER.decode(line)) for line in lines] == lines


def test_every_kind_of_line_is_in_it() -> None:
    """The book holds each event, each treatment and each measure that this version knows."""
    events = [ev.READER.decode(line) for path in [*PATHS, *LATER] for line in path.read_bytes().splitlines()]
    assert {type(event) for event in events} == set(get_args(ev.BottleEvent))
    assert {event.how for event in events if isinstance(event, ev.Treated)} == set(ev.TREATMENTS)
    assert {event.what for event in events if isinstance(event, ev.Measured)} == set(ev.MEASURES)


def test_a_used_bath_whose_recipe_was_named_later(tmp_path: Path) -> None:
    """It has the care of that recipe, and its plates before the book make a hydrometer read low."""
    for path in LATER:
        copy = tmp_path / "bottles" / path.relative_to(FIXTURES / "bottles_recipe_named")
        copy.parent.mkdir(parents=True)
        shutil.copy(path, copy)
    (bottle,) = files.read_shelf(tmp_path).bottles.values()
    assert (bottle.used, bottle.recipe, bottle.problems) == (True, "silver-bath", ())
    assert reads_low(bottle, bottle.made + 1, ())
