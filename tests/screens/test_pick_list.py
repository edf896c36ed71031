"""A list with many rows, found by typing: what is found, what is given back, how it is drawn at any size."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from darkroom.screens.widgets.pick_list import Pick, PickList, matching
from darkroom.screens.widgets.rows import width
from tests.kit.review_hand import Looker, looking

PICKS = [
    Pick("veil", "general veil", "a haze over the shadows"),
    Pick("streaks", "streaks of the dipper", "lines as the plate went into the bath"),
    Pick("comets", "comets", "a dark head with a tail"),
    Pick("shells", "oyster shells", "grey markings at the edges, like the shell"),
    *(Pick(f"other {number}", f"other mark {number}", "as invented for this test") for number in range(40)),
]


def values(typed: str) -> list[str]:
    """Return the values of the rows that are found."""
    return [pick.value for pick in matching(PICKS, typed)]


def test_what_begins_with_the_words_is_found_first() -> None:
    """A name's start, then the start of a word in it, then anywhere in the name, then what it means."""
    assert values("s")[:2] == ["streaks", "shells"]
    assert values("shel") == ["shells"]
    assert values("SHADOWS") == ["veil"]
    assert values("edges grey") == ["shells"]
    assert values("omets") == ["comets"]
    assert values("nothing like it") == []
    assert values("o")[:2] == ["shells", "other 0"] and "comets" not in values("o"), "not within a word"
    assert values("  ") == [pick.value for pick in PICKS]


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("peeling", True),
        ("peels", True),
        ("edge lifted", True),
        ("lift ed", True),
        ("pealing", False),
        ("eel", False),
    ],
)
def test_endings_of_words_do_not_count(typed: str, found: bool) -> None:
    """What is typed as it is said finds what the catalogue says in another form; another word does not."""
    picks = [Pick("lift", "film lifts", "the film peels from an edge"), Pick("veil", "eel skin", "a veil")]
    assert ("lift" in [pick.value for pick in matching(picks, typed)]) == found


def test_rows_out_of_sight_are_counted_on_both_sides(home: Path) -> None:
    """As many rows as are hidden above the list are named, and below it."""

    async def steps(hand: Looker) -> None:
        hand.tool.push_screen(PickList("Which fault?", PICKS))
        await hand.wait("more below")
        assert "more above" not in hand.text()
        await hand.press("pagedown", "pagedown")
        screen = hand.tool.screen
        assert isinstance(screen, PickList)
        above, below = (int(re.findall(rf"(\d+) more {side}", hand.text())[0]) for side in ("above", "below"))
        assert above + below + screen._room == len(PICKS)

    looking(home, steps, text=None)


def test_letters_find_and_enter_takes_the_row(home: Path) -> None:
    """What is typed leaves the rows that hold it; the meaning of the one under the hand stands whole."""
    given: list[str | None] = []

    async def steps(hand: Looker) -> None:
        hand.tool.push_screen(PickList("Which fault?", PICKS, "comets"), given.append)
        await hand.wait("a dark head with a tail")
        await hand.type("oyst")
        assert "streaks" not in hand.text()
        await hand.until(lambda: hand.rows()[-4].startswith(" grey markings at the edges, like"))
        assert "enter takes it" in hand.rows()[-1], "the keys stand below every list"
        await hand.press("enter")
        await hand.until(lambda: bool(given))
        hand.tool.push_screen(PickList("Which fault?", PICKS, "comets"), given.append)
        await hand.wait("Which fault?")
        await hand.press("down", "enter")
        await hand.until(lambda: len(given) == 2)
        hand.tool.push_screen(PickList("Which fault?", PICKS), given.append)
        await hand.wait("Which fault?")
        await hand.press("up", "escape")
        await hand.until(lambda: len(given) == 3)

    looking(home, steps, text=None)
    assert given == ["shells", "shells", None]


@pytest.mark.parametrize(("own", "taken"), [(None, []), ("no row has it: kept as words", ["wisps"])])
def test_own_words_are_taken_where_that_is_said(home: Path, own: str | None, taken: list[str]) -> None:
    """Words that no row has are a row of their own, or enter takes nothing."""
    given: list[str | None] = []

    async def steps(hand: Looker) -> None:
        hand.tool.push_screen(PickList("Which fault?", PICKS, own=own), given.append)
        await hand.wait("Which fault?")
        await hand.type("wisps")
        await hand.wait("nothing fits: backspace shows all")
        await hand.press("enter")
        if not taken:
            assert isinstance(hand.tool.screen, PickList) and not given
            return
        await hand.until(lambda: bool(given))

    looking(home, steps, text=None)
    assert given == taken


@pytest.mark.parametrize("size", [(1, 1), (9, 3), (20, 5), (30, 8), (60, 14), (80, 24), (120, 40)])
def test_the_list_fills_any_screen(home: Path, size: tuple[int, int]) -> None:
    """As many rows as the screen has, each as wide; the row under the hand is among them."""

    async def steps(hand: Looker) -> None:
        hand.tool.push_screen(PickList("Which fault?", PICKS, own="kept"))
        await hand.until(lambda: isinstance(hand.tool.screen, PickList) and bool(hand.rows()))
        for key in ("down", "pagedown", "pagedown", "up", "end", "o", "backspace", "pageup"):
            await hand.press(key)
            rows = hand.rows()
            assert [width(row) for row in rows] == [size[0]] * size[1]
            screen = hand.tool.screen
            assert isinstance(screen, PickList)
            if size[1] >= 5:
                label = screen.found[screen.under].label[: min(10, size[0] - 10)]
                assert any(label in row for row in rows)

    looking(home, steps, text=None, size=size)
