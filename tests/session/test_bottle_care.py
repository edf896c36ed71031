"""What the bottles need, as lines of the sheet and in one line."""

from __future__ import annotations

from typing import Any

from darkroom.bench.bottles_at_hand import BottleAtHand
from darkroom.resources import checked_recipes
from darkroom.session.bottle_care import NOTE_IT, care_items, due_line, id_of, told_apart, with_care
from darkroom.session.day_sheet import LONGEST_TEXT, Item
from darkroom.solutions.care import Due


def a_due(care: str = "filter", **more: Any) -> Due:
    """Return a care of the bath B-1 that is due now."""
    usual: dict[str, Any] = {
        "bottle": "b1", "name": "B-1", "care": care, "says": "Filter the bath", "now": True, "due": None,
        "basis": "31 plates since filtered 12 May 2026; its recipe: after 20",
    }  # fmt: skip
    return Due(**{**usual, **more})


SHEET = [
    Item(id="goggles", text="Goggles on", reason="They blind."),
    Item(id="bottle-care", text="B", reason="R"),
]


def test_each_due_care_is_a_line_with_its_reason() -> None:
    """The reason says what was counted, then the test that comes first, then the cautions."""
    acid = a_due("acid", says="Test the acidity", test="Blue litmus must redden", cautions=("Acid burns.",))
    lines = care_items([a_due(), acid, a_due("measure", now=False)])
    assert [line.text for line in lines] == ["B-1: filter the bath", "B-1: test the acidity"]
    assert lines[0].reason == f"31 plates since filtered 12 May 2026; its recipe: after 20. {NOTE_IT}"
    assert lines[1].reason.endswith(f"First: Blue litmus must redden. Acid burns. {NOTE_IT}")
    assert len({line.id for line in lines}) == 2


def test_tests_and_cautions_are_never_cut() -> None:
    """Of a long reason what was counted is cut: every test and caution of a shipped recipe stands whole."""
    recipes, _ = checked_recipes()
    for recipe in recipes.values():
        for care in recipe.care:
            due = a_due(care.id, says=care.do, test=care.test, cautions=care.cautions, basis="counted " * 60)
            reason = care_items([due])[0].reason
            assert reason.startswith("Counted counted") and "…" in reason
            assert all(text in reason for text in (care.test or "", *care.cautions, NOTE_IT))


def test_an_uniodised_bath_heads_the_sheet() -> None:
    """The rest stands behind the line about the bottles; on a sheet without that line, at the end."""
    iodise = a_due("iodise", says="Iodise the new bath", heads=True)
    ids = [item.id for item in with_care(SHEET, [a_due(), iodise])]
    assert ids == ["care:b1:iodise", "goggles", "bottle-care", "care:b1:filter"]
    assert [item.id for item in with_care(SHEET[:1], [a_due()])] == ["goggles", "care:b1:filter"]
    assert with_care(SHEET, []) == SHEET


def test_the_closing_sheet_says_that_it_is_tomorrow() -> None:
    """What is due a day later stands there as tomorrow's."""
    line = care_items([a_due()], tomorrow=True)[0]
    assert line.text == "Tomorrow, B-1: filter the bath"
    assert due_line([a_due()], {line.id}) == "due: filter the bath, B-1"  # its tick says nothing of today


def test_the_home_form_has_one_short_line() -> None:
    """The first in order, and how many more; nothing where nothing is due."""
    assert due_line([a_due(), a_due("acid")]) == "due: filter the bath, B-1, and 1 more"
    assert due_line([a_due(now=False)]) == "" and due_line([]) == ""


def test_long_words_are_cut() -> None:
    """A name or a reason of any length leaves the sheet its room."""
    line = care_items([a_due(name="x" * 300, basis="y" * 3000)])[0]
    assert (
        len(line.text) <= LONGEST_TEXT
        and len(line.reason) <= 400
        and line.reason.endswith(NOTE_IT)
        and line.text.endswith("…")
    )


def test_what_was_ticked_today_leaves_the_home_form() -> None:
    """It was seen: what is left comes first, and is counted."""
    acid, measure = a_due("acid", says="Test the acidity"), a_due("measure", says="Measure it")
    ticked = {id_of(a_due()): "12:00"}
    assert due_line([a_due(), acid, measure], ticked) == "due: test the acidity, B-1, and 1 more"
    assert due_line([a_due()], ticked) == ""


def test_two_bottles_of_one_name_are_told_apart() -> None:
    """By the name that each has at hand; one that is not at hand keeps its own."""
    bottle = BottleAtHand(id="b1", name="B-1 2026-05-02", what="bath", made="2026-05-02")
    dues = told_apart([a_due(), a_due(bottle="b9")], [bottle])
    assert [due.name for due in dues] == ["B-1 2026-05-02", "B-1"]
    assert due_line(dues[:1]) == "due: filter the bath, B-1 2026-05-02"
