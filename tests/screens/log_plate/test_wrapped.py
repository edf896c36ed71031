"""Words broken over rows, whatever hands wrote."""

from __future__ import annotations

import itertools

import pytest

from darkroom.screens.widgets import wrapped_text
from darkroom.screens.widgets.rows import width


@pytest.mark.parametrize("word", ["y", "漢", "é", "a\u0301", "👩", "\u0301", "a漢\u200b"])
@pytest.mark.parametrize("columns", [2, 7, 60])
def test_a_long_word_is_broken_where_it_is_full(word: str, columns: int) -> None:
    """No sign is lost, no row is wider than the page, and no row but the last could take the next sign."""
    text = word * 150
    rows = wrapped_text.wrapped(text, columns)
    assert "".join(rows) == text
    assert all(width(row) <= columns for row in rows)
    for row, following in itertools.pairwise(rows):
        assert width(row + following[0]) > columns


def test_a_word_of_a_hundred_thousand_signs_is_looked_at_a_few_times(monkeypatch: pytest.MonkeyPatch) -> None:
    """The work grows with the text, not with its square: the screen's thread draws the clocks too."""
    looked = 0

    def counted(text: str) -> int:
        nonlocal looked
        looked += len(text)
        return width(text)

    monkeypatch.setattr(wrapped_text, "width", counted)
    for text in ("漢" * 100_000, ("a" + "\u0301" * 50) * 2_000):
        looked = 0
        assert len(wrapped_text.wrapped(text, 60)) > 10
        assert looked < 20 * len(text)
