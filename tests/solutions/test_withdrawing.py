"""Which line of a bottle is taken back, and what its age says."""

from __future__ import annotations

import pytest

from darkroom.errors import NothingFound, WrongUse
from darkroom.solutions import events as ev
from darkroom.solutions.ageing import age_band
from darkroom.solutions.bottle import DAY, fold, standing
from darkroom.solutions.withdrawing import line_at
from tests.kit.bottles import entry, made

LINES = [
    made(),
    entry(ev.Opened, n=2),
    entry(ev.Note, n=3, text="x"),
    entry(ev.Withdrawn, n=4, corrects="a:3"),
    entry(ev.Opened, n=1, of="b", instant=90.0),
]


@pytest.mark.parametrize(
    ("word", "bench", "place"),
    [("2", "a", "a:2"), ("a:2", "b", "a:2"), ("last", "a", "a:2"), ("LAST", "b", "b:1"), ("last", "c", "b:1"),
     ("4", "a", "a:4"), ("1", "b", "b:1")],
)  # fmt: skip
def test_a_line_is_named_by_its_place(word: str, bench: str, place: str) -> None:
    """A whole place, a number of this bench, or the last line of this bench that is no withdrawal."""
    assert line_at(word, bench, *standing(LINES)).place == place


@pytest.mark.parametrize("word", ["9", "c:1", "", "-1", "a:", "²"])
def test_no_such_line(word: str) -> None:
    """A place where no line is leads to an error that says where places are seen."""
    with pytest.raises(NothingFound):
        line_at(word, "a", *standing(LINES))


def test_a_line_that_is_withdrawn_is_not_withdrawn_again() -> None:
    """It does not count already, and that is said."""
    with pytest.raises(WrongUse, match="already"):
        line_at("3", "a", *standing(LINES))


@pytest.mark.parametrize(
    ("what", "days", "word"),
    [("collodion", -1.0, "unripe"), ("collodion", 6.9, "unripe"), ("collodion", 7.0, "good"),
     ("collodion", 180.0, "ageing"), ("developer", 8.0, "ageing"), ("bath", 8.0, None)],
)  # fmt: skip
def test_bands_of_age(what: str, days: float, word: str | None) -> None:
    """Collodion is ready in a week and improves to six months (Wilkinson, Photo-engraving, 1890s)."""
    bottle = fold("b1", [made(what=what, instant=0.0)])
    assert bottle is not None
    band = age_band(bottle, days * DAY)
    assert (band and band.word) == word
    assert band is None or (band.says and band.source)
