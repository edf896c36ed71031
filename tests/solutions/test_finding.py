"""Which bottle a word means."""

from __future__ import annotations

import pytest

from darkroom.errors import NothingFound, WrongUse
from darkroom.solutions import events as ev
from darkroom.solutions.bottle import Bottle, fold
from darkroom.solutions.finding import find
from tests.kit.bottles import entry, made

NOW = 1e6


def bottle(number: int, name: str, *further: ev.BottleEntry, ripens: float | None = None) -> Bottle:
    """Return a bottle made `number` seconds in."""
    folded = fold(
        f"2026051{number}-0900-abc", [made(name=name, instant=float(number), ripens=ripens), *further]
    )
    assert folded is not None
    return folded


GONE = entry(ev.Discarded, n=2, instant=50.0)
ASIDE = entry(ev.SetAside, n=2, instant=50.0)


def test_a_bottle_is_found_by_id_by_name_and_by_the_start_of_its_id() -> None:
    """Case, hyphens and spaces of a name do not count; an id may be cut short while it is unique."""
    one, two = bottle(1, "Bath B-1"), bottle(2, "D-4")
    for word in (one.id, "bath b-1", " BATH  B 1 ", "20260511"):
        assert find([one, two], word, NOW).bottle is one
    with pytest.raises(WrongUse, match=r"several bottles"):
        find([one, two], "2026051", NOW)


def test_the_one_in_use_is_meant_and_the_others_are_told() -> None:
    """Of one name the bottle in use wins over one set aside, and that over one discarded."""
    old, aside, used = bottle(1, "B-1", GONE), bottle(2, "B-1", ASIDE), bottle(3, "b-1")
    found = find([old, aside, used], "B-1", NOW)
    assert found.bottle is used and found.passed_over == (old, aside)
    assert find([old, aside], "B-1", NOW).bottle is aside
    assert find([old], "B-1", NOW).bottle is old


def test_two_in_use_of_one_name_are_listed() -> None:
    """A bottle that ripens counts as one in use: the word says too little, and both are listed."""
    one, two = bottle(1, "C-1"), bottle(2, "C-1", ripens=100.0)
    with pytest.raises(WrongUse) as caught:
        find([one, two], "c-1", NOW)
    lines = str(caught.value).splitlines()
    assert len(lines) == 3 and one.id in lines[1] and "made 1 Jan 1970, in use" in lines[1]
    assert lines[2].endswith("ripening")


@pytest.mark.parametrize("word", ["", " ", "B-2", "zzzz"])
def test_a_miss_names_the_nearest(word: str) -> None:
    """What names no bottle says which name is near, where one is."""
    with pytest.raises(NothingFound) as caught:
        find([bottle(1, "B-1")], word, NOW)
    assert ("did you mean 'B-1'?" in str(caught.value)) == (word == "B-2")
