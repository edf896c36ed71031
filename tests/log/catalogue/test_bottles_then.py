"""The bottles of a plate as they were when it used them."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import msgspec
import pytest

from darkroom.faults.history import BottleThen, PlateFigures
from darkroom.log.bottles.files import append, read_shelf
from darkroom.log.catalogue import bottles_then as module
from darkroom.log.catalogue.bottle_book import bottle_book
from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.fault_history import fault_history
from darkroom.resources import checked_recipes, fault_catalogue
from darkroom.solutions import events as ev
from darkroom.solutions.bottle import Bottle, fold
from darkroom.solutions.bottle_account import account
from darkroom.solutions.uses import Use
from tests.kit import fault_season
from tests.kit.bottles import time_text

LAST_DAY = datetime(2026, 5, 16, 9, tzinfo=UTC)
END = LAST_DAY.timestamp()
DAY = 86400.0
FAULTS = fault_catalogue()[0]
RECIPES = checked_recipes()[0]


def put(home: Path, name: str, what: str, *happened: tuple[float, Any, dict[str, Any]], **start: Any) -> str:
    """Write a bottle with (days before the last day, kind, members), the making first; return its id."""
    bottle = (
        "20260101-120000-"
        + "".join(sign for sign in name.lower() if sign.isalnum())
        + what[:2]
        + str(len(name.split()))
    )
    first = {"bottle": bottle, "name": name, "what": what, "schema": 1, "version": "0", "bench": "b", **start}
    (made, *later) = happened
    for days, kind, members in [(made[0], ev.Made, {**first, **made[2]}), *later]:
        at = time_text(END - days * DAY)
        line = kind(n=1, at=at, up=None, **members)
        append(home, bottle, "b", lambda n, line=line: [msgspec.structs.replace(line, n=n)])  # type: ignore[misc]
    return bottle


@pytest.fixture
def shelf(home: Path) -> dict[str, str]:
    """Return {name: id} of the book behind the run of forty plates.

    Plates 1 to 30 are made on days 9 to 2 before the last, four a day; 31 to 34 the day before it, 35 to 40
    on it.
    """
    return {
        "B-1": put(
            home, "B-1", "bath", (20, ev.Made, {}), (19, ev.Treated, {"how": "iodised"}),
            (5.5, ev.Treated, {"how": "filtered"}),
            (3.5, ev.ToppedUp, {"grams": 5.0, "strength": 9.0, "volume": 1000.0}),
            (2.5, ev.Treated, {"how": "sunned"}), strength=9.0, volume=1000.0, recipe="silver-bath",
        ),
        "C-1": put(home, "C-1", "collodion", (40, ev.Made, {}), (30, ev.Opened, {})),
        "D-3": put(home, "D-3", "developer", (12, ev.Made, {})),
        "D-4": put(home, "D-4", "developer", (1.5, ev.Made, {})),
        "F-1": put(home, "F-1", "fixer", (10, ev.Made, {})),
    }  # fmt: skip


def told(home: Path, upto: str | None = None, **more: Any) -> list[PlateFigures]:
    """Return the history of the log as it is now."""
    with Catalogue(home) as log:
        log.check()
        return fault_history(log, FAULTS, read_shelf(home).bottles, RECIPES, upto, **more)


def run(home: Path, ids: dict[str, str]) -> list[Path]:
    """Write the run of forty plates, which name their bottles by id, or by name alone."""
    return [fault_season.shelve_plate(home, number, LAST_DAY, ids) for number in range(1, 41)]


@pytest.mark.parametrize("by_id", [True, False])
def test_a_bottle_is_told_as_it_was(home: Path, shelf: dict[str, str], by_id: bool) -> None:
    """Plates counted by hand: thirty before plate 31, of which so many since each thing that was done.

    Days 2, 3 and 4 and 5 before the last have four plates each: after the filtering at 5.5 came 15 to 30.
    """
    run(home, shelf if by_id else {})
    plate = told(home)[30]
    bath, developer, collodion = (plate.bottles[role] for role in ("bath", "developer", "collodion"))
    assert (bath.id, bath.name, bath.plates) == (shelf["B-1"], "B-1", 30)
    assert bath.since == {"filtered": 16, "topped_up": 8, "sunned": 4}
    assert sorted(bath.changed) == ["filtered", "iodised", "sunned", "topped_up"]
    assert bath.changed["topped_up"] == END - 3.5 * DAY
    assert bath.iodised is True
    assert (developer.id, developer.plates, developer.since, developer.iodised) == (shelf["D-4"], 0, {}, None)
    assert developer.age_days == pytest.approx(0.5, abs=0.01)
    assert collodion.age_days == pytest.approx(39.0, abs=0.01) and collodion.since == {"opened": 30}
    before = told(home)[29].bottles["developer"]
    assert (before.id, before.plates) == (shelf["D-3"], 29)


def test_what_came_later_does_not_count(home: Path, shelf: dict[str, str]) -> None:
    """At plate 1 the bath was iodised and nothing else; topped up and sunned it was after it."""
    run(home, shelf)
    bath = told(home)[0].bottles["bath"]
    assert (bath.plates, bath.since, sorted(bath.changed)) == (0, {}, ["iodised"])


def test_it_agrees_with_the_bottle_s_own_account(home: Path, shelf: dict[str, str]) -> None:
    """At every plate: counts and strength are those that the page of the bottle told at that instant."""
    run(home, shelf)
    book = bottle_book(home, RECIPES, END, by_hand_too=True)
    plates = told(home, whole={plate.plate for plate in told(home)})
    for plate in plates:
        for role, then in plate.bottles.items():
            assert then.id is not None
            bottle, uses = book.shelf.bottles[then.id], book.uses[then.id]
            own = next(use for use in uses if use.plate == plate.plate and use.role == role)
            was, kept = _as_at(bottle, own), [use for use in uses if use.instant < own.instant]
            reference = account(was, RECIPES, kept, own.instant)
            assert then.plates == reference.plates.plates
            assert then.age_days == pytest.approx(reference.age / DAY)
            assert dict(then.since) == {
                what: tally.plates
                for what, (_, tally) in reference.since.items()
                if what in module.COUNTED_FROM
            }
            if role == "bath":
                assert reference.strength is not None
                assert then.percent == pytest.approx(reference.strength.percent_wv)


def _as_at(bottle: Bottle, use: Use) -> Bottle:
    was = fold(bottle.id, [entry for entry in bottle.entries if entry.instant <= use.instant])
    assert was is not None
    return was


def test_strength_and_fresh_fixer_are_told_where_asked(home: Path, shelf: dict[str, str]) -> None:
    """Of the plate asked for and those named; a fixer's first three plates are what fresh means."""
    paths = run(home, shelf)
    plates = told(home, paths[30].stem, whole={paths[0].stem})
    assert [plate.number for plate in plates if plate.bottles["bath"].percent is not None] == [1, 31]
    asked = plates[30].bottles
    assert asked["fixer"].fresh_clearing == pytest.approx(55.0)
    assert plates[0].bottles["fixer"].fresh_clearing is None


def test_a_bath_that_was_never_iodised(home: Path) -> None:
    """It is not, while it took few plates; later nobody knows. One that came used into the book is."""
    put(home, "B-1", "bath", (20, ev.Made, {}), strength=9.0)
    run(home, {})
    told_of = [plate.bottles["bath"].iodised for plate in told(home)]
    assert told_of == [False] * module.IODISED_BY + [None] * (40 - module.IODISED_BY)


def test_a_used_bath_came_with_plates_that_nobody_counted(home: Path) -> None:
    """How many it took in all is not known; since it was filtered it is."""
    put(
        home, "B-1", "bath", (20, ev.Made, {"used": True, "strength": 9.0}),
        (5.5, ev.Treated, {"how": "filtered"}),
    )  # fmt: skip
    run(home, {})
    bath = told(home)[30].bottles["bath"]
    assert (bath.plates, bath.since, bath.iodised) == (None, {"filtered": 16}, True)


def test_without_a_book_a_bottle_is_its_name(home: Path) -> None:
    """What nobody entered has a name and nothing else; so has one of a name that two bottles have."""
    run(home, {})
    assert told(home)[30].bottles["bath"] == BottleThen(name="B-1")
    for days, twin in ((20, "B-1"), (19, "b 1")):
        put(home, twin, "bath", (days, ev.Made, {}), strength=9.0)
    assert told(home)[30].bottles["bath"] == BottleThen(name="B-1")
