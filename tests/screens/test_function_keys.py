"""A function key means the same on every page; the bench knows none."""

from __future__ import annotations

from pathlib import Path

from darkroom.screens.bottles.screen import BottlesScreen
from darkroom.screens.exposure.screen import ExposureScreen
from darkroom.screens.home.screen import HomeScreen
from darkroom.screens.judging.screen import JudgingScreen
from darkroom.screens.log_list.screen import PlateListScreen
from darkroom.screens.log_plate.screen import PlateScreen
from darkroom.screens.trends.screen import TrendsScreen
from darkroom.screens.widgets.page import (
    BOTTLES_KEY,
    COMPARE_KEY,
    EXPOSURE_KEY,
    FUNCTION_KEYS,
    JUMP_KEY,
    LOG_KEY,
    SORT_KEY,
    THEME_KEY,
    TRENDS_KEY,
)
from darkroom.session.key_map import KeyMap
from tests.kit.plates import forgotten, put
from tests.kit.review_hand import Looker, looking, make_sensitive, put_plate

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


def test_on_the_home_screen_they_mean_the_same(home: Path) -> None:
    """F4 opens the trends, F9 turns day and red, keys of the list say where they work; typed text stays."""
    put(home, forgotten())

    async def steps(hand: Looker) -> None:
        await hand.wait("to the bench")
        screen = hand.tool.screen
        assert isinstance(screen, HomeScreen)
        screen.form.go_to(screen.form.fields.index(screen.form.at("subject")))
        await hand.press("o", "a", "k", TRENDS_KEY)
        await hand.until(lambda: isinstance(hand.tool.screen, TrendsScreen))
        await hand.press("escape")
        await hand.until(lambda: hand.tool.screen is screen)
        assert screen.values["subject"] == "oak"
        screen.form.mistakes = {"subject": "this cannot be read"}
        for key in (COMPARE_KEY, SORT_KEY, JUMP_KEY):
            await hand.press(key)
            await hand.wait(f"{key.upper()}: {FUNCTION_KEYS[key]}, in the log")
        assert not hand.tool.day
        await hand.press(THEME_KEY)
        assert hand.tool.day
        await hand.press(THEME_KEY)
        assert not hand.tool.day
        await hand.press(EXPOSURE_KEY)
        await hand.until(lambda: isinstance(hand.tool.screen, ExposureScreen))
        await hand.press("escape", BOTTLES_KEY)
        await hand.until(lambda: isinstance(hand.tool.screen, BottlesScreen))

    looking(home, steps, text=None)


def test_day_waits_on_the_home_screen_while_a_plate_needs_the_safelight(home: Path) -> None:
    """F9 on the form says why it stays red, and stays red."""

    async def steps(hand: Looker) -> None:
        put_plate(hand.tool)
        await make_sensitive(hand)
        hand.tool.home()
        await hand.until(lambda: isinstance(hand.tool.screen, HomeScreen))
        await hand.press(THEME_KEY)
        await hand.wait("red stays: the bench needs the safelight")
        assert not hand.tool.day

    looking(home, steps, text=None)


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
            if key in (LOG_KEY, THEME_KEY, EXPOSURE_KEY, BOTTLES_KEY, "f3"):
                continue
            await hand.press(key)
            assert f"{key.upper()}: {meaning}, in the log" in hand.text()
        await hand.press("f3")
        await hand.wait("BEFORE THE FIRST PLATE")

    looking(home, steps)
