"""Home, keys, menu and the pages of the review at any size of the terminal."""

from __future__ import annotations

from pathlib import Path

from darkroom.screens.bench.key_help import KeysScreen
from darkroom.screens.bench.menu import open_menu
from tests.kit.book_of_bottles import put_shelf
from tests.kit.review_hand import Looker, looking

SIZES = [
    (1, 1),
    (2, 30),
    (9, 3),
    (20, 5),
    (30, 8),
    (39, 11),
    (41, 12),
    (60, 14),
    (75, 19),
    (80, 24),
    (300, 90),
]


async def _through_all(hand: Looker) -> None:
    for columns, rows in SIZES:
        await hand.pilot.resize_terminal(columns, rows)
        await hand.pilot.pause(0.05)
        screen = hand.tool.screen
        if hasattr(screen, "face"):
            assert [len(row) for row in hand.rows()] == [columns] * rows, (
                type(screen).__name__,
                columns,
                rows,
            )


def test_home_keys_and_menu_bear_any_size(home: Path) -> None:
    """Just as many rows as the screen has, each as wide; the menu opens over all."""

    async def steps(hand: Looker) -> None:
        await hand.wait("to the bench")
        await _through_all(hand)
        await hand.tool.push_screen(KeysScreen())
        await _through_all(hand)
        await hand.press("x")
        open_menu(hand.tool)
        await _through_all(hand)

    looking(home, steps, text=None)


def test_the_bottles_bear_any_size(home: Path) -> None:
    """The list, a bottle, what can be said of it, a form with its cautions, and a new bottle."""
    put_shelf(home)

    async def steps(hand: Looker) -> None:
        await hand.wait("to the bench")
        await hand.press("f12")
        await hand.wait("of 7 in use")
        await _through_all(hand)
        await hand.press("enter")
        await hand.wait("Its life")
        await _through_all(hand)
        await hand.press("enter")
        await hand.wait("what was done?")
        await _through_all(hand)
        await hand.press("escape")
        await hand.wait("enter say what was done")
        await hand.press("f12")
        await hand.wait("of 7 in use")
        await hand.press("n")
        await hand.wait("NEW BOTTLE")
        await _through_all(hand)

    looking(home, steps, text=None)


def test_the_review_bears_any_size(home: Path, plates: list[Path]) -> None:
    """The list, two plates side by side, one plate, its judging form and the trends."""

    async def steps(hand: Looker) -> None:
        await hand.wait("60, newest first")
        await _through_all(hand)
        await hand.wait("60, newest first")
        await hand.press("f5", "down", "f5")
        await hand.wait("SIDE BY SIDE")
        await _through_all(hand)
        await hand.press("escape", "enter")
        await hand.wait("PLATE 59")
        await _through_all(hand)
        await hand.press("j")
        await hand.pilot.pause(0.1)
        await _through_all(hand)
        await hand.pilot.resize_terminal(80, 24)
        while hand.tool.screen.form.current.kind != "fault":  # type: ignore[attr-defined]
            await hand.press("down")
        await hand.wait("space list")
        await hand.press("space")
        await hand.wait("What is wrong with the plate?")
        await _through_all(hand)
        await hand.press("escape")
        await hand.later(0.8)
        await hand.press("escape")
        await hand.wait("j judge")
        await hand.press("escape", "f4")
        await hand.wait("1 of")
        await _through_all(hand)

    looking(home, steps)
