"""The words for marks: a file that is checked, and that grows by what is typed."""

from __future__ import annotations

from pathlib import Path

import pytest

from darkroom import resources
from darkroom.errors import DarkroomError, MarkWordsError, NotSavedError
from darkroom.log.review.mark_words import LONGEST, parse


def _own(home: Path, text: str) -> Path:
    path = resources.own_mark_words_file(home)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


def test_shipped_words_come_first_and_one_s_own_after_them(home: Path) -> None:
    """The list begins with the shipped words; the same words in other letters are not offered twice."""
    shipped, wrong = resources.mark_words(home)
    assert len(shipped) > 10 and "the slide stuck" in shipped and wrong is None
    _own(home, "marks:\n  - the cat came in\n  - The Slide Stuck\n")
    words, wrong = resources.mark_words(home)
    assert words == (*shipped, "the cat came in") and wrong is None


@pytest.mark.parametrize(
    ("text", "line", "telling"),
    [
        ("mark:\n  - dust\n", 1, "unknown key 'mark' (did you mean 'marks'?)"),
        ("marks: dust\n", 1, "a list"),
        ("marks:\n  - dust\n  - Dust\n", 3, "stands twice, first on line 2"),
        ("marks:\n  - dust\n  - ''\n", 3, "nothing is written here"),
        ("marks:\n  - dust\n  - '\u202e'\n", 3, "no words"),
        (f"marks:\n  - {'x' * (LONGEST + 1)}\n", 2, f"at most {LONGEST}"),
        ("marks:\n  - what: dust\n", 2, "a single value"),
        ("", None, ""),
    ],
)
def test_a_mistake_is_told_with_its_place(home: Path, text: str, line: int | None, telling: str) -> None:
    """File, line, key and the nearest right word; the shipped words are offered all the same."""
    with pytest.raises(MarkWordsError) as caught:
        parse(text, "marks.yaml")
    assert telling in str(caught.value)
    assert line is None or f"marks.yaml:{line}:" in str(caught.value)
    _own(home, text)
    words, wrong = resources.mark_words(home)
    assert "the slide stuck" in words and wrong is not None and "marks.yaml" in wrong


def test_typed_words_are_kept_once(home: Path) -> None:
    """The file is made; what stood in it stays, with its remarks; the same words are not added again."""
    resources.keep_mark_words(home, 'a "drop": of # it')
    own = resources.own_mark_words_file(home)
    own.write_text("# my words\n" + own.read_text("utf-8").rstrip("\n"), encoding="utf-8")
    resources.keep_mark_words(home, "späte Pfütze")
    resources.keep_mark_words(home, "Späte Pfütze")
    assert own.read_text("utf-8").startswith("# my words\nmarks:\n")
    assert parse(own.read_bytes(), "own") == ('a "drop": of # it', "späte Pfütze")


def test_what_cannot_be_kept_changes_nothing(home: Path) -> None:
    """A file that is wrong, a list in brackets and words without end are refused, each with its reason."""
    for text, new, kind in (
        ("marks: [dust, fog]\n", "glass", NotSavedError),
        ("marks:\n- dust\n", "glass", NotSavedError),
        ("words:\n", "glass", MarkWordsError),
        ("marks:\n  - dust\n", "x" * (LONGEST + 1), DarkroomError),
    ):
        path = _own(home, text)
        with pytest.raises(kind):
            resources.keep_mark_words(home, new)
        assert path.read_text("utf-8") == text
