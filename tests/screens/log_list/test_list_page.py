"""The list of plates in the tool: filtered as one types, sorted, scrolled, always as the log is now."""

from __future__ import annotations

import os
import re
import shutil
from pathlib import Path

import pytest

from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.query import Query
from tests.kit import season
from tests.kit.catalogue import by_hand, note
from tests.kit.review_hand import Looker, looking


def numbers(text: str) -> list[int]:
    """Return the plate numbers on a page, from above."""
    return [int(number) for number in re.findall(r"^.(?:.{11}) \d\d:\d\d +(\d+) ", text, re.MULTILINE)]


def test_the_newest_plate_comes_first_and_each_day_is_said_once(home: Path, plates: list[Path]) -> None:
    """At 80 x 24 the first page has the nineteen newest plates, newest first; a day stands by its first."""

    async def steps(hand: Looker) -> None:
        text = await hand.wait("60, newest first")
        assert numbers(text) == list(range(60, 41, -1))
        days = [row[1:12].strip() for row in hand.rows()[3:22]]
        assert [day for day in days if day] == list(dict.fromkeys(day for day in days if day))
        assert days[0] == "20 Apr 2026"
        assert all(len(row) == 80 for row in hand.rows())

    looking(home, steps)


@pytest.mark.parametrize("size", [(30, 8), (80, 24), (120, 40), (200, 60)])
def test_the_page_fills_any_screen(home: Path, plates: list[Path], size: tuple[int, int]) -> None:
    """Every row has just as many cells as the screen has columns, and there are just as many rows."""

    async def steps(hand: Looker) -> None:
        await hand.wait(lambda text: "60" in text)
        assert [len(row) for row in hand.rows()] == [size[0]] * size[1]

    looking(home, steps, size=size)


def test_typing_filters_and_escape_clears_before_it_leaves(home: Path, plates: list[Path]) -> None:
    """Words and names narrow the list to what the catalogue says; escape brings all back, then leaves."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        meant = [row["number"] for row in catalogue.plates(Query(words="ferns", stars=(3, 5)))]
    assert 0 < len(meant) < 19

    async def steps(hand: Looker) -> None:
        await hand.wait("60, newest first")
        await hand.type("ferns stars:3..")
        text = await hand.wait(f"{len(meant)} of 60")
        assert numbers(text) == meant
        await hand.press("escape")
        await hand.wait("60, newest first")
        await hand.press("escape")
        assert type(hand.tool.screen).__name__ == "HomeScreen"

    looking(home, steps)


def test_half_a_word_is_told_of_and_the_rest_still_counts(home: Path, plates: list[Path]) -> None:
    """While "stars:" has no value the page says what it takes, and shows what the other words leave."""

    async def steps(hand: Looker) -> None:
        await hand.wait("60, newest first")
        await hand.type("tintype stars:")
        text = await hand.wait("stars: 4, or 3..5")
        assert " of 60, newest first" in text
        await hand.type("x")
        await hand.wait("'x' is neither")
        await hand.type(" zzzz")
        await hand.wait("no plate answers to that")

    looking(home, steps)


def test_sorting_by_stars_puts_the_best_first(home: Path, plates: list[Path]) -> None:
    """The sort key goes through the orders; by stars, five stars stand above four and unjudged last."""

    async def steps(hand: Looker) -> None:
        await hand.wait("60, newest first")
        await hand.press("f6")
        text = await hand.wait("oldest first")
        assert numbers(text)[:3] == [1, 2, 3]
        await hand.press("f6")
        await hand.wait("by stars")
        await hand.press("end")
        await hand.press("home")
        text = await hand.wait(lambda text: "*****" in text.splitlines()[3])
        stars = [row.count("*") for row in hand.rows()[3:22]]
        assert stars == sorted(stars, reverse=True) and stars[0] == 5

    looking(home, steps)


def test_a_jump_goes_to_the_day_or_the_nearest_before(home: Path, plates: list[Path]) -> None:
    """Jumping to a day puts its newest plate under the cursor; a month goes to its end."""

    async def steps(hand: Looker) -> None:
        await hand.wait("60, newest first")
        await hand.press("f7")
        await hand.pilot.pause(0.1)
        await hand.type("2026-04-05")
        await hand.press("enter")
        await hand.wait("5 Apr 2026")
        under = hand.tool.screen.row_at(hand.tool.screen.place)  # type: ignore[attr-defined]
        assert under["day"] == "2026-04-05"
        await hand.press("f7")
        await hand.pilot.pause(0.1)
        await hand.type("2027")
        await hand.press("enter")
        await hand.wait(lambda text: numbers(text)[:1] == [60])

    looking(home, steps)


def test_the_end_of_a_long_list_is_asked_for_by_itself(home: Path) -> None:
    """End shows the oldest plates, page up the ones before, and no more is held than three screens."""
    season.write(home, 400, seed=7, days=30)

    async def steps(hand: Looker) -> None:
        await hand.wait("400, newest first")
        await hand.press("end")
        text = await hand.wait(lambda text: numbers(text)[-1:] == [1])
        assert numbers(text) == list(range(19, 0, -1))
        await hand.press("pageup", "pageup")
        text = await hand.wait(lambda text: numbers(text)[-1:] > [19] and len(numbers(text)) == 19)
        shown = numbers(text)
        assert shown == list(range(shown[0], shown[0] - 19, -1))
        assert len(hand.tool.screen.page.rows) <= 3 * 19  # type: ignore[attr-defined]

    looking(home, steps)


def test_what_others_write_shows_within_seconds(home: Path, plates: list[Path], tmp_path: Path) -> None:
    """A journal copied in and a line added by hand show by themselves; the cursor stays on its plate."""
    other = season.write(tmp_path / "other", 3, seed=9, days=1)

    async def steps(hand: Looker) -> None:
        await hand.wait("60, newest first")
        await hand.press(*["down"] * 3)
        before = hand.tool.screen.row_at(3)["path"]  # type: ignore[attr-defined]
        for path in other:
            folder = home / "plates" / "2027" / "2027-01-01"
            folder.mkdir(parents=True, exist_ok=True)
            name = path.name.replace("2026", "2027", 1)
            shutil.copy(path, folder / name)
        await hand.wait("63, newest first", 4)
        screen = hand.tool.screen
        assert screen.row_at(screen.place)["path"] == before  # type: ignore[attr-defined]
        count = plates[-1].read_bytes().count(b"\n")
        by_hand(plates[-1], note(count + 1, "seen through a loupe"))
        os.utime(plates[-1])
        await hand.type("loupe")
        await hand.wait("1 of 63", 4)

    looking(home, steps)


def test_an_empty_log_says_so(home: Path) -> None:
    """Nothing made yet: the page says how the first journal begins."""

    async def steps(hand: Looker) -> None:
        await hand.wait("No plate has been made yet")

    looking(home, steps)


def test_a_log_that_cannot_keep_its_index_is_still_listed(home: Path, plates: list[Path]) -> None:
    """Where the catalogue cannot be written its place is memory: the list is the same, and it is said."""
    (home / "catalogue.sqlite").mkdir()

    async def steps(hand: Looker) -> None:
        await hand.wait("60, newest first")
        await hand.wait("nowhere to keep the index")
        await hand.type("stars:")
        await hand.wait("stars: 4, or 3..5")
        await hand.type("3 zzzz")
        await hand.wait("no plate answers to that")

    looking(home, steps)


def test_two_plates_held_stand_side_by_side(home: Path, plates: list[Path]) -> None:
    """F5 on two plates shows in what they differ as `log compare` has it; left exchanges them."""
    from darkroom.log.plate.comparison import differences
    from darkroom.log.plate.record import read_record

    async def steps(hand: Looker) -> None:
        await hand.wait("60, newest first")
        await hand.press("f5")
        assert "plate 60 is held" in hand.text()
        await hand.press("down", "down", "f5")
        text = await hand.wait("SIDE BY SIDE")
        expected = differences(read_record(plates[-1]), read_record(plates[-3]))
        assert f"{len(expected)} things differ" in text
        first = [row.split("  ")[0].strip() for row in text.splitlines()[4:12]]
        assert first == [
            difference.what[: len(label)] for difference, label in zip(expected, first, strict=False)
        ]
        assert text.index("Plate 60") < text.index("Plate 58")
        await hand.press("left")
        assert hand.text().index("Plate 58") < hand.text().index("Plate 60")
        await hand.press("end")
        assert "more below" not in hand.text()
        await hand.press("escape")
        await hand.wait("60, newest first")

    looking(home, steps)
