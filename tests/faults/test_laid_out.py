"""The rows of an answer at any width."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom.faults.laid_out import WIDEST, laid_out, wrap
from darkroom.faults.words import Line

ANSWER = [
    Line(kind="fault", text="general fog"),
    Line(kind="began", text="First with plate 31 of 14 May; new since plate 30: developer D-4."),
    Line(kind="cause", text="developer too warm", strength="about 65 %"),
    Line(kind="for", text="developer +6.0 °C against your usual", strength="strongly"),
    Line(kind="cause", text="developer left on too long", strength="about 20 %"),
    Line(kind="against", text="developed 16 s, planned 15 s", strength="a little"),
    Line(kind="silent", text="not recorded: how soon the image showed"),
    Line(kind="none", text="none of these", strength="about 10 %"),
    Line(kind="advice", text="Change one thing: cool the developer to your usual temperature."),
]


def test_the_answer_is_set_in_columns() -> None:
    """Causes are numbered, reasons stand below them, chances and strengths at the right edge."""
    assert [text for _, text in laid_out(ANSWER, 72)] == [
        "general fog",
        "First with plate 31 of 14 May; new since plate 30: developer D-4.",
        "",
        "1  developer too warm                                         about 65 %",
        "     for        developer +6.0 °C against your usual            strongly",
        "2  developer left on too long                                 about 20 %",
        "     against    developed 16 s, planned 15 s                    a little",
        "     not recorded: how soon the image showed",
        "   none of these                                              about 10 %",
        "",
        "Change one thing: cool the developer to your usual temperature.",
    ]


@given(
    st.lists(
        st.builds(
            Line,
            kind=st.sampled_from(["fault", "tally", "cause", "for", "neither", "silent", "none", "caution"]),
            text=st.text(st.sampled_from("xz °%z "), max_size=90),
            strength=st.sampled_from(["", "strongly", "about 65 %"]),
        ),
        max_size=8,
    ),
    st.integers(20, 120),
)
def test_no_row_is_too_wide_and_no_letter_is_lost(lines: list[Line], columns: int) -> None:
    """At any width every row fits, and every letter of every line is told once."""
    rows = laid_out(lines, columns)
    assert max((len(text) for _, text in rows), default=0) <= min(columns, WIDEST)
    told = "".join(text for _, text in rows)
    for sign in "xz":
        assert told.count(sign) == sum(line.text.count(sign) for line in lines)


@pytest.mark.parametrize("columns", [20, 30, 40, 60])
def test_every_word_of_the_answer_is_told_at_any_width(columns: int) -> None:
    """However narrow, the words of each line are there in their order."""
    told = "".join(text for _, text in laid_out(ANSWER, columns)).replace(" ", "")
    for line in ANSWER:
        if not line.strength:
            assert line.text.replace(" ", "") in told


def test_a_number_stays_with_its_unit_and_a_long_word_is_broken() -> None:
    """+6.0 °C is not parted; a word without spaces is cut at the width, measured in cells."""
    assert wrap("developer +6.0 °C warm", 15) == ["developer", "+6.0 °C warm"]
    assert wrap("abcdefgh", 3) == ["abc", "def", "gh"]
    assert wrap("日本日本", 4, width=lambda text: 2 * len(text)) == ["日本", "日本"]
    assert wrap("", 10) == [""]
