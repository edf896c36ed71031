"""The one form of all screens, without a screen: what keys do to its fields, and how a field is drawn."""

from __future__ import annotations

import pytest

from darkroom.errors import QuantityError
from darkroom.process.text.durations import duration
from darkroom.screens.widgets.form import Field, Form
from darkroom.screens.widgets.rows import width


def mixed_form() -> Form:
    """Return a form with a closed choice, a pick list, a checked text and a free one."""
    return Form(
        [
            Field("light", "light", options=("", "sun", "shade"), closed=True, empty="not said"),
            Field("where", "where", options=("left", "right")),
            Field("time", "time", check=duration),
            Field("note", "note", max_length=5),
        ]
    )


def type_into(form: Form, text: str) -> None:
    """Type characters into the field under the hand."""
    for character in text:
        form.key(character, character)


def row_text(form: Form, name: str, columns: int = 40) -> str:
    """Return a field's row as text."""
    field = form.at(name)
    return "".join(part for part, _ in form.line(field, [(f"{field.label} ", "text")], columns)).rstrip()


def test_keys_move_round_the_form() -> None:
    """Up from the first field is the last; tab, shift+tab, page up and page down move too."""
    form = mixed_form()
    places = []
    for key in ("up", "down", "tab", "shift+tab", "pagedown", "pageup"):
        form.key(key, None)
        places.append(form.active)
    assert places == [3, 0, 1, 0, 3, 0]


def test_a_closed_choice_takes_only_its_options() -> None:
    """Left, right and space go through them, backspace empties it, and other characters do nothing."""
    form = mixed_form()
    values = []
    for key, character in (("right", None), ("space", " "), ("x", "x"), ("left", None), ("backspace", None)):
        form.key(key, character)
        values.append(form.at("light").value)
    assert values == ["sun", "shade", "shade", "sun", ""]
    assert row_text(form, "light") == "light  ‹ not said ›"


def test_a_pick_list_is_typed_or_picked() -> None:
    """Right picks the first option and left the last where none stands there; own words may be typed."""
    form = mixed_form()
    form.go_to(1)
    form.key("left", None)
    assert form.at("where").value == "right"
    form.key("ctrl+u", None)
    form.key("right", None)
    assert form.at("where").value == "left"
    type_into(form, "er")
    assert form.at("where").value == "lefter" and row_text(form, "where") == "where  ‹ lefter  ›"


def test_what_is_typed_is_checked_when_it_is_left() -> None:
    """A mistake is known when the field is left, checked again at each key, and gone when it is right."""
    form = mixed_form()
    form.go_to(2)
    type_into(form, "3 mi")
    assert form.mistake is None, "no mistake is told while a word is half typed"
    form.key("down", None)
    form.key("up", None)
    with pytest.raises(QuantityError) as expected:
        duration("3 mi")
    assert form.mistake == str(expected.value)
    type_into(form, "n")
    assert form.mistake is None and form.check()


def test_a_form_with_a_mistake_is_not_sent() -> None:
    """The hand is at the end of the first field that cannot be read, and what was typed stands in it."""
    form = mixed_form()
    form.at("time").value = "soon"
    assert not form.check()
    assert (form.current.id, form.cursor, form.at("time").value) == ("time", 4, "soon")


def test_a_value_that_stood_there_is_not_checked() -> None:
    """What was in the field when it was opened is nobody's mistake of now."""
    field = Field("time", "time", value="soon", was="soon", check=duration)
    assert field.mistake() is None
    field.value = "later"
    assert field.mistake() is not None


def test_text_is_pasted_up_to_its_first_line_end_and_the_most() -> None:
    """A paste types the first line, as much as the field takes."""
    form = mixed_form()
    form.go_to(3)
    form.paste("abcdefgh\nij")
    assert form.at("note").value == "abcde"


@pytest.mark.parametrize("value", ["", "x" * 500, "銀" * 200, "two\tparts"])
def test_a_row_is_as_wide_as_it_is_told(value: str) -> None:
    """Long, wide and odd texts take just the cells there are, and the place of the cursor is in sight."""
    form = Form([Field("note", "note", value=value, max_length=1000)])
    for columns in (12, 40, 120):
        for cursor in (0, 1, len(value) // 2, len(value)):
            form.cursor = cursor
            row = form.line(form.current, [("note ", "text")], columns)
            assert columns == sum(width(part) for part, _ in row)
            assert any(kind == "text" for part, kind in row[1:] if part.strip() or len(part) == 1)


def test_a_choice_that_just_fits_is_not_cut() -> None:
    """The free cell behind its last mark goes first; only then is it cut, and says so."""
    form = mixed_form()
    assert row_text(form, "light", 20) == "light  ‹ not said ›"
    assert row_text(form, "light", 19) == "light  ‹ not said ›"
    assert row_text(form, "light", 18).endswith("…")
