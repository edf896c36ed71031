"""What a bottle needs: cares held against its lines and its plates."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest

from darkroom.solutions import events as ev
from darkroom.solutions.bottle import DAY, Bottle, fold
from darkroom.solutions.care import Due, due, due_of, in_order
from darkroom.solutions.recipe import Amount, Care, Recipe
from darkroom.solutions.recipe import Due as After
from darkroom.solutions.uses import Use
from tests.kit.bottles import entry, made, time_text

MAY_1 = 1777593600.0
"""1 May 2026, midnight UTC."""


def bath(*lines: ev.BottleEntry, **members: object) -> Bottle:
    """Return a silver bath made on 1 May 2026 that was iodised an hour later, with further lines."""
    found = fold(
        "b1",
        [
            made(instant=MAY_1, **members),
            entry(ev.Treated, n=2, instant=MAY_1 + 3600, how="iodised"),
            *lines,
        ],
    )
    assert found is not None
    return found


def uses(count: int, *, after: float = MAY_1, area: float | None = 516.0) -> list[Use]:
    """Return so many plates in the bath, an hour apart."""
    return [
        Use(
            plate=f"{after:.0f}-{number}",
            number=number,
            bottle="b1",
            role="bath",
            stage="sensitise",
            instant=after + number * 3600,
            area=area,
        )
        for number in range(1, count + 1)
    ]


def care(after: After, *answered_by: str, **members: object) -> Care:
    """Return a care; the figures are invented for the test."""
    usual: dict[str, object] = {"id": "filter", "do": "Filter the bath.", "source": "invented"}
    return Care(after=after, answered_by=answered_by or ("filtered",), **{**usual, **members})  # type: ignore[arg-type]


def one(found: tuple[Due, ...]) -> Due:
    """Return the only care."""
    (only,) = found
    return only


@pytest.mark.parametrize(("count", "is_due"), [(24, False), (25, True), (31, True)])
def test_a_care_is_due_after_so_many_plates(count: int, is_due: bool) -> None:
    """Plates count since the last event that answers it, and the basis says how many and since when."""
    filtered = MAY_1 + 11 * DAY
    bottle = bath(entry(ev.Treated, n=3, instant=filtered, how="filtered"))
    plates = [*uses(9), *uses(count, after=filtered)]
    found = one(due(bottle, [care(After(plates=25))], plates, filtered + 30 * DAY))
    assert found.now is is_due
    assert found.basis == f"{count} plates since filtered 12 May 2026; its recipe: after 25"


def test_plates_of_unknown_size_are_named_not_guessed() -> None:
    """An area counts the plates whose size is known, and says how many are not in it."""
    plates = [*uses(3, area=1000.0), *uses(2, after=MAY_1 + DAY, area=None)]
    plates = [msgspec.structs.replace(use, plate=f"q{n}") for n, use in enumerate(plates)]
    found = one(due(bath(), [care(After(area=3000.0))], plates, MAY_1 + 9 * DAY))
    assert found.now
    assert (
        found.basis == "3,000 cm² of plates, 2 of unknown size left out since made 1 May 2026; "
        "its recipe: after 3,000 cm²"
    )


def test_a_care_is_due_after_a_time_and_says_when() -> None:
    """A care by the calendar has its instant before it is due; tomorrow's is that of a day later."""
    weekly = [care(After(seconds=7 * DAY))]
    noon = MAY_1 + 6.5 * DAY
    assert (one(due(bath(), weekly, (), noon)).now, one(due(bath(), weekly, (), noon)).due) == (
        False,
        MAY_1 + 7 * DAY,
    )
    assert one(due(bath(), weekly, (), noon + DAY)).now


def test_an_uniodised_bath_is_due_at_once_and_heads_the_list() -> None:
    """Whatever else is overdue, the bath that was never iodised comes first; iodising answers it."""
    iodise = care(After(at_once=True), "iodised", id="iodise", do="Iodise the bath.")
    late = care(After(seconds=DAY), id="a", do="Filter the bath.")
    fresh = fold("b1", [made(instant=MAY_1)])
    assert fresh is not None
    found = due(fresh, [late, iodise], (), MAY_1 + 40 * DAY)
    assert [one.care for one in found] == ["iodise", "a"]
    assert found[0].now and found[0].basis == "not iodised since it was made 1 May 2026"
    assert not any(one.now for one in due(bath(), [iodise], (), MAY_1 + DAY))


def test_only_what_is_used_needs_care() -> None:
    """A bottle that was set aside or discarded needs nothing; one that ripens does."""
    now = [care(After(at_once=True), "sunned")]
    for kind in (ev.SetAside, ev.Discarded):
        assert due(bath(entry(kind, n=3, instant=MAY_1 + DAY)), now, (), MAY_1 + 2 * DAY) == ()
    assert one(due(bath(ripens=7.0), now, (), MAY_1 + DAY)).now


def test_a_care_can_be_put_off() -> None:
    """A postponed care is not due before its day; answered since, it counts anew and the day is forgotten."""
    put_off = entry(
        ev.Postponed, n=3, instant=MAY_1 + 8 * DAY, care="filter", until=time_text(MAY_1 + 10 * DAY)
    )
    weekly = [care(After(seconds=7 * DAY))]
    found = one(due(bath(put_off), weekly, (), MAY_1 + 9 * DAY))
    assert (found.now, found.due, found.postponed) == (False, MAY_1 + 10 * DAY, MAY_1 + 10 * DAY)
    assert found.basis.startswith("put off until 11 May 2026")
    assert one(due(bath(put_off), weekly, (), MAY_1 + 10 * DAY)).now
    monthly = [care(After(seconds=30 * DAY))]
    assert one(due(bath(put_off), monthly, (), MAY_1 + 9 * DAY)).due == MAY_1 + 30 * DAY
    filtered = entry(ev.Treated, n=4, instant=MAY_1 + 8.5 * DAY, how="filtered")
    again = one(due(bath(put_off, filtered), weekly, (), MAY_1 + 9 * DAY))
    assert (again.postponed, again.due) == (None, MAY_1 + 15.5 * DAY)


def test_a_strength_below_the_recipe_is_due() -> None:
    """The strength as it was last said counts; where nobody said one, that is said and nothing is due."""
    weak = [care(After(percent_below=8.0), "topped_up")]
    assert "strength not known" in one(due(bath(), weak, (), MAY_1 + DAY)).basis
    measured = entry(ev.Measured, n=3, instant=MAY_1 + DAY, what="density", value=1.06, strength=7.4)
    assert one(due(bath(measured), weak, (), MAY_1 + 2 * DAY)).basis == (
        "hydrometer of 2 May 2026: 7.4 % w/v; its recipe: below 8 %"
    )
    topped = entry(ev.ToppedUp, n=4, instant=MAY_1 + 3 * DAY, grams=10.0, strength=9.0)
    assert not one(due(bath(measured, topped), weak, (), MAY_1 + 4 * DAY)).now


def test_a_test_goes_with_what_is_added() -> None:
    """What is tried before anything is added, and its cautions, are part of what is due."""
    acid = care(
        After(seconds=DAY), "measured", do="Add acid.", test="Try litmus first.", cautions=("Gloves.",)
    )
    found = one(due(bath(), [acid], (), MAY_1 + 3 * DAY))
    assert (found.test, found.cautions) == ("Try litmus first.", ("Gloves.",))


def recipe(name: str, makes: str, *cares: Care) -> Recipe:
    """Return an invented recipe, as if it were shipped."""
    volume = Amount(value=1000.0, unit="mL")
    parts: dict[str, Any] = {"makes": makes, "ingredients": (), "steps": (), "shipped": True}
    return Recipe(name=name, volume=volume, care=cares, **parts)


def test_a_bottle_without_a_recipe_has_the_cares_of_the_only_one_that_fits() -> None:
    """Its basis says that they are another's; where several fit, or an own one alone, nothing is claimed."""
    weekly = care(After(seconds=7 * DAY))
    baths = {"silver-bath": recipe("Silver bath", "bath", weekly)}
    found = one(due_of(bath(), baths, (), MAY_1 + 8 * DAY))
    assert found.now and "the recipe Silver bath, as this bottle names none" in found.basis
    lost = one(due_of(bath(recipe="lost"), baths, (), MAY_1 + 8 * DAY))
    assert "as its own, lost, is not at hand" in lost.basis
    own = msgspec.structs.replace(recipe("My bath", "bath"), shipped=False)
    assert one(due_of(bath(), {**baths, "my-bath": own}, (), MAY_1 + 8 * DAY)) == found
    assert due_of(bath(), {"my-bath": own}, (), MAY_1 + 8 * DAY) == ()
    two = {**baths, "weak-bath": recipe("Weak bath", "bath", weekly)}
    assert due_of(bath(), two, (), MAY_1 + 8 * DAY) == ()
    assert one(due_of(bath(recipe="weak-bath"), two, (), MAY_1 + 8 * DAY)).basis.endswith(
        "its recipe: after 7 days"
    )


def test_the_order_does_not_depend_on_where_a_care_came_from() -> None:
    """Cares of all bottles are in one order: un-iodised, due, then by the day on which they will be."""
    iodise = care(After(at_once=True), "iodised", id="iodise")
    new = fold("b2", [made(bottle="b2", name="B-2", instant=MAY_1)])
    assert new is not None
    soon, later = care(After(seconds=3 * DAY)), care(After(seconds=9 * DAY), id="sun")
    all_of_them = [
        *due(bath(), [later, soon], (), MAY_1 + 4 * DAY),
        *due(new, [later, iodise], (), MAY_1 + 4 * DAY),
    ]
    assert [(one.name, one.care) for one in in_order(all_of_them)] == [
        ("B-2", "iodise"),
        ("B-1", "filter"),
        ("B-1", "sun"),
        ("B-2", "sun"),
    ]


@pytest.mark.parametrize(("filled", "plates"), [(1000.0, 20), (500.0, 10), (2500.0, 50), (None, 20)])
def test_what_a_recipe_counts_is_in_proportion_to_the_bottle(filled: float | None, plates: int) -> None:
    """Half of the recipe's volume is due after half of its plates, an unknown volume as the recipe says."""
    recipe = Recipe(
        name="Bath",
        makes="bath",
        volume=Amount(value=1000.0, unit="mL"),
        ingredients=(),
        steps=(),
        care=(care(After(plates=20)),),
    )
    bottle = bath(recipe="bath", volume=filled)
    for count, is_due in ((plates - 1, False), (plates, True)):
        found = one(due_of(bottle, {"bath": recipe}, uses(count), MAY_1 + 90 * DAY))
        assert found.now is is_due
        size = "" if filled in (None, 1000.0) else f", for {filled:g} mL"
        assert found.basis.endswith(f"; its recipe{size}: after {plates}")
