"""What is written, as it is said: words, numbers, and the recordings that say them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom.session.speech import SpokenSet, words_of

SET = SpokenSet(
    {"plate", "lift", "short", "minutes", "seconds", "again to", "it went on by itself", "went", "line"}
)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("2:10 short: again to lift", "2 minutes 10 short again to lift"),
        ("0:30 more", "30 seconds more"),
        ("1:02:05", "1 hour 2 minutes"),
        ("1:00", "1 minute"),
        ("9 min 34 s", "9 minutes 34 seconds"),
        ("2.5 s", "2 point 5 seconds"),
        ("bath: 18 °C, 50 %", "bath 18 degrees 50 per cent"),
        ("Supplier’s sheet", "suppliers sheet"),
        ("plate 007", "plate 7"),
        ("…", ""),
    ],
)
def test_a_text_is_said_in_plain_words(text: str, said: str) -> None:
    """Clock times, units and signs become the words that a person says."""
    assert said.split() == list(words_of(text))


def test_a_text_is_said_with_the_fewest_recordings() -> None:
    """A phrase that is recorded as a whole is taken before its words."""
    assert SET.phrases("It went on by itself.") == ("it went on by itself",)
    assert SET.phrases("2:10 short: again to lift") == ("2", "minutes", "10", "short", "again to", "lift")
    assert SET.phrases("again") is None and SET.phrases("plate 1000") is None
    assert SET.phrases("") == ()


def test_something_else_is_said_for_a_word_without_a_recording() -> None:
    """The text that cannot be said gives way to the first alternative that can, and the rest is said."""
    assert SET.say(["plate 2", "swirl"], ["tone", "line 4"]) == ("plate", "2", "line", "4")
    assert SET.say(["plate 2", "swirl", "lift"]) == ("plate", "2", "lift")
    assert SET.say(["plate 2", "lift"], ["line 4"]) == ("plate", "2", "lift")


def test_missing_words_are_named() -> None:
    """Only words that are in no recording that fits are missing."""
    assert SET.missing("plate 2, swirl again to lift") == ("swirl",)
    assert SET.missing("plate 2, lift") == ()
    assert SET.missing("again lift") == ("again",)


@given(st.text(max_size=60))
def test_any_text_has_words(text: str) -> None:
    """Whatever is written: words have no sign and no space, and said again they are the same."""
    words = words_of(text)
    assert all(word.isalnum() for word in words)
    SET.say([text], ["line 1"])
