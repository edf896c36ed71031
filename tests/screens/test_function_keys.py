"""A function key means the same on every page; the bench knows none."""

from __future__ import annotations

from pathlib import Path

from darkroom.screens.judging.screen import JudgingScreen
from darkroom.screens.log_list.screen import PlateListScreen
from darkroom.screens.log_plate.screen import PlateScreen
from darkroom.screens.widgets.page import EXPOSURE_KEY, FUNCTION_KEYS, LOG_KEY, THEME_KEY
from darkroom.session.key_map import KeyMap
from tests.kit.plates import forgotten, put
from tests.kit.review_hand import Looker, looking

README = Path(__file__).parents[2] / "README.md"


def test_the_readme_has_the_table() -> None:
    """Every function key stands in the README with its one meaning."""
    text = README.read_text(encoding="utf-8")
    for key, meaning in FUNCTION_KEYS.items():
        assert f"| {key.upper()} | {meaning} |" in text


def test_no_function_key_is_live_at_the_bench() -> None:
    """The shipped key map gives none of them a zone."""
    keys = KeyMap()
    assert [key for key in FUNCTION_KEYS if keys.zone_of(key) is not None] == []


def test_f2_goes_to_the_log_from_every_page(home: Path) -> None:
    """From a plate's page back to the list that it was opened from; from one opened alone to a new list."""
    path = put(home, forgotten())

    async def steps(hand: Looker) -> None:
        await hand.wait("1, newest first")
        await hand.press("enter")
        await hand.wait("PLATE 12")
        stack = len(hand.tool.screen_stack)
        await hand.press("f2")
        await hand.until(lambda: isinstance(hand.tool.screen, PlateListScreen))
        assert len(hand.tool.screen_stack) == stack - 1
        await hand.press("f2")
        assert "this is the log" in hand.text()
        hand.tool.to_bench()
        await hand.tool.push_screen(PlateScreen(path))
        await hand.wait("PLATE 12")
        await hand.press("f2")
        await hand.until(lambda: isinstance(hand.tool.screen, PlateListScreen))

    looking(home, steps)


def test_what_is_typed_is_not_lost_to_a_function_key(home: Path) -> None:
    """In a form that was changed F2 says what to do; in one that was not it leaves."""
    path = put(home, forgotten())

    async def steps(hand: Looker) -> None:
        await hand.wait("1, newest first")
        await hand.press("enter", "j")
        await hand.wait("JUDGE PLATE 12")
        await hand.press("4", "f2")
        assert isinstance(hand.tool.screen, JudgingScreen)
        assert "what was typed is not saved: enter saves it" in hand.text()
        await hand.press("backspace", "f2")
        await hand.until(lambda: isinstance(hand.tool.screen, PlateListScreen))

    looking(home, steps)
    assert path.exists()


def test_a_key_that_does_nothing_here_says_where_it_does(home: Path) -> None:
    """On a plate's page sorting is named as the log's; the day's sheet opens, or says why not."""
    put(home, forgotten())

    async def steps(hand: Looker) -> None:
        await hand.wait("1, newest first")
        await hand.press("enter")
        await hand.wait("PLATE 12")
        for key, meaning in FUNCTION_KEYS.items():
            if key in (LOG_KEY, THEME_KEY, EXPOSURE_KEY, "f3"):
                continue
            await hand.press(key)
            assert f"{key.upper()}: {meaning}, in the log" in hand.text()
        await hand.press("f3")
        await hand.wait("BEFORE THE FIRST PLATE")

    looking(home, steps)
