"""What is known of the bottles: the book and the plates of the log together."""

from __future__ import annotations

import os
from pathlib import Path

import msgspec
import pytest

from darkroom.bench import events as ev
from darkroom.exposure.kit import Kit, PlateSize
from darkroom.log.catalogue.bottle_book import BottleBook, bottle_book, sizes_of
from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.journal import frame
from darkroom.log.journal.find import find_plates
from darkroom.log.journal.merge import read_plate
from darkroom.log.plate.account import folded
from darkroom.log.plate.bottle_uses import bottle_uses
from darkroom.solutions.recipe import Amount, Care, Recipe
from darkroom.solutions.recipe import Due as After
from darkroom.solutions.uses import tally
from tests.kit import season
from tests.kit.catalogue import by_hand, fresh
from tests.kit.put_bottle import APRIL_1, put_bottle

AUTUMN = APRIL_1 + 240 * 86400.0


def counts(book: BottleBook) -> dict[str, int]:
    """Return {bottle: plates}."""
    return {bottle: tally(uses).plates for bottle, uses in book.uses.items()}


def test_the_catalogue_and_the_journals_say_the_same(tmp_path: Path) -> None:
    """Every use of a season is in the table, and none twice."""
    paths = season.write(tmp_path, 100)
    logs = [read_plate(path) for path in paths]
    expected = [use for log in logs for use in bottle_uses(log, folded(log).state)]
    with Catalogue(tmp_path) as catalogue:
        catalogue.check()
        assert catalogue.plate_uses() == expected
        assert len(expected) > 90
        assert {use.role for use in expected} == {"fixer"}
        assert catalogue.plate_uses(("bath",)) == []
        assert catalogue.content() == fresh(tmp_path)


def test_plates_count_themselves_in_the_bottles_of_the_book(tmp_path: Path) -> None:
    """A season's plates join the fixers that they name; one that is not in the book is said."""
    season.write(tmp_path, 100)
    put_bottle(tmp_path, "f1", "F1")
    put_bottle(tmp_path, "f2", "f2")
    book = bottle_book(tmp_path, {}, AUTUMN)
    assert book.trouble is None and book.problems == ()
    fixed = {"F1": 0, "F2": 0, "F3": 0}
    with Catalogue(tmp_path) as catalogue:
        for use in catalogue.plate_uses():
            fixed[use.name or ""] += 1
    assert counts(book) == {"f1": fixed["F1"], "f2": fixed["F2"]}
    assert len(book.unknown_plates) == fixed["F3"] > 0
    assert {one.why for one in book.unknown_plates} == {"the book has no bottle of this name"}
    assert tally(book.uses["f1"]).area == pytest.approx(432.0 * fixed["F1"])


def test_a_bottle_entered_late_finds_its_plates(tmp_path: Path) -> None:
    """The join is made at the question: nothing of the log has to be read again."""
    season.write(tmp_path, 100)
    put_bottle(tmp_path, "f1", "F1")
    before = bottle_book(tmp_path, {}, AUTUMN)
    put_bottle(tmp_path, "f3", "F3")
    after = bottle_book(tmp_path, {}, AUTUMN)
    assert counts(after)["f1"] == counts(before)["f1"]
    assert counts(after)["f3"] > 0
    assert len(after.unknown_plates) == len(before.unknown_plates) - counts(after)["f3"]


def test_a_plate_that_changed_is_counted_anew(tmp_path: Path) -> None:
    """A start that is taken back is no use any more."""
    path = season.write(tmp_path, 1)[0]
    put_bottle(tmp_path, "f1", "F1")
    assert counts(bottle_book(tmp_path, {}, AUTUMN)) == {"f1": 1}
    log = read_plate(path)
    first = next(line.n for line in log.events if isinstance(line, ev.StageEnded) and line.stage == "stop")
    gone = tuple(line.n for line in log.events if line.n >= first and line.up is not None)
    last = log.events[-1]
    by_hand(path, ev.Undone(n=last.n + 1, at=last.at, up=9999.0, undoes=gone, held=False))
    assert counts(bottle_book(tmp_path, {}, AUTUMN, by_hand_too=True)) == {"f1": 0}


def test_what_is_due_counts_the_plates(tmp_path: Path) -> None:
    """A fixer that had more plates than its recipe says is due."""
    season.write(tmp_path, 60)
    put_bottle(tmp_path, "f1", "F1")
    care = Care(
        id="renew",
        do="Mix new fixer.",
        after=After(plates=30),
        answered_by=("made",),
        source="invented",
    )
    recipe = Recipe(
        name="Hypo",
        makes="fixer",
        volume=Amount(value=1000.0, unit="mL"),
        ingredients=(),
        steps=(),
        care=(care,),
        shipped=True,
    )
    (one,) = bottle_book(tmp_path, {"hypo": recipe}, AUTUMN).dues
    assert one.now and one.bottle == "f1" and one.basis.split()[1:4] == ["plates", "since", "made"]


def test_the_kit_names_sizes(tmp_path: Path) -> None:
    """A size of the photographer's own has its area."""
    path = season.write(tmp_path, 1)[0]
    put_bottle(tmp_path, "f1", "F1")
    kit = Kit(plates=(PlateSize(name="18 x 24  CM", width=100.0, height=50.0),))
    assert sizes_of(kit) == {"18 x 24 cm": 50.0}
    assert bottle_book(tmp_path, {}, AUTUMN, sizes=sizes_of(kit)).uses["f1"][0].area == 50.0
    assert path.exists()


def test_nothing_is_raised(tmp_path: Path) -> None:
    """No folder, no bottle, a book that cannot be read, a catalogue that is a folder: it answers."""
    assert bottle_book(tmp_path / "none", {}, AUTUMN) == BottleBook()
    season.write(tmp_path, 3)
    assert bottle_book(tmp_path, {}, AUTUMN) == BottleBook()
    put_bottle(tmp_path, "f1", "F1")
    (tmp_path / "catalogue.sqlite").mkdir()
    (tmp_path / "bottles" / "f1" / "c.jsonl").write_bytes(b"no line\n")
    book = bottle_book(tmp_path, {}, AUTUMN)
    assert counts(book) == {"f1": 3}
    assert book.problems


def test_old_journals_have_sensible_uses() -> None:
    """Journals of earlier versions that name their bottles say which stages used them."""
    folder = Path(__file__).parents[2] / "fixtures"
    found: dict[str, set[tuple[str, str | None]]] = {}
    for home in (folder / "journals", folder / "exposures"):
        for path in find_plates(home):
            log = read_plate(path)
            for use in bottle_uses(log, folded(log).state):
                found.setdefault(use.plate, set()).add((use.role, use.name))
    assert found
    for uses in found.values():
        assert {role for role, _ in uses} <= {"collodion", "bath", "developer", "fixer"}
        assert all(name for _, name in uses)


def test_rehearsals_have_no_uses(tmp_path: Path) -> None:
    """A rehearsal that names bottles leaves them as they are, wherever its journal lies."""
    path = season.write(tmp_path, 1)[0]
    lines = [line for line in read_plate(path).events if isinstance(line, ev.AnyEvent)]
    first = lines[0]
    assert isinstance(first, ev.PlateStarted)
    data = b"".join(map(frame.encode, [msgspec.structs.replace(first, rehearsal=True), *lines[1:]]))
    path.write_bytes(data)
    os.utime(path, (1, 1))
    put_bottle(tmp_path, "f1", "F1")
    assert counts(bottle_book(tmp_path, {}, AUTUMN)) == {"f1": 0}
