"""The day theme is one key away in the review, and gone as soon as the bench needs its safelight."""

from __future__ import annotations

from pathlib import Path

from darkroom.screens.red.palette import DAY_STEPS, LEVELS
from darkroom.screens.widgets.chooser import Choice, Chooser
from tests.kit.review_hand import Looker, looking, make_sensitive, put_plate


def test_one_key_makes_it_day_and_red_again(home: Path, plates: list[Path]) -> None:
    """F9 shows paper and black; F9 again is red; so it is on every page of the review."""

    async def steps(hand: Looker) -> None:
        await hand.wait("60, newest first")
        assert not hand.tool.day
        await hand.press("f9")
        assert hand.tool.day and "F9 red" in hand.text()
        assert hand.tool.style_of("text").bgcolor.name == "#ffffff"  # type: ignore[union-attr]
        await hand.press("f5", "down", "f5")
        await hand.wait("SIDE BY SIDE")
        await hand.press("f9")
        assert not hand.tool.day and "F9 day" in hand.text()

    looking(home, steps, size=(120, 40))


def test_the_day_is_refused_while_the_bench_needs_the_safelight(home: Path, plates: list[Path]) -> None:
    """With a plate in the bath F9 leaves all red and says why; the plate stands in a row of the page."""

    async def steps(hand: Looker) -> None:
        put_plate(hand.tool)
        await make_sensitive(hand)
        assert hand.tool.session.needs_safelight
        await hand.press("f9")
        assert not hand.tool.day
        assert "red stays: the bench needs the safelight" in hand.text()
        assert any("safelight" in row and "1 " in row for row in hand.rows()[-2:-1])

    looking(home, steps)


def test_it_turns_red_by_itself_when_the_bench_comes_to_need_it(home: Path, plates: list[Path]) -> None:
    """Daylight shown while the bench is empty is gone with the strike that makes a plate sensitive."""

    async def steps(hand: Looker) -> None:
        put_plate(hand.tool)
        await hand.press("f9")
        assert hand.tool.day
        await make_sensitive(hand)
        assert not hand.tool.day and hand.tool.theme.startswith("red")

    looking(home, steps)


def test_a_call_leads_straight_to_the_bench(home: Path, plates: list[Path]) -> None:
    """While a plate calls, its row says so on every page, and escape shows the bench from any depth."""

    async def steps(hand: Looker) -> None:
        await hand.wait("60, newest first")
        await hand.press("f5", "down", "f5")
        await hand.wait("SIDE BY SIDE")
        put_plate(hand.tool)
        await make_sensitive(hand)
        session = hand.tool.session
        clock = session.clock.up
        session.clock.up = lambda: clock() + 3600.0  # an hour on: the bath calls
        await hand.wait("escape: to the bench")
        await hand.press("escape")
        assert hand.tool.screen is hand.tool.bench_screen

    looking(home, steps)


def _luminance(colour: str) -> float:
    """Return the relative luminance of a colour (WCAG 2.1, definition of relative luminance)."""
    channels = [int(colour[start : start + 2], 16) / 255 for start in (1, 3, 5)]
    linear = [
        channel / 12.92 if channel <= 0.03928 else ((channel + 0.055) / 1.055) ** 2.4 for channel in channels
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_text_by_day_can_be_read() -> None:
    """Every meaning that carries text has a contrast of 4.5 : 1 by day (WCAG 2.1, 1.4.3)."""
    for meaning in ("quiet", "text", "loud", "reversed"):
        fore, back, _ = LEVELS[meaning]
        light, dark = sorted((_luminance(DAY_STEPS[fore]), _luminance(DAY_STEPS[back])), reverse=True)
        assert (light + 0.05) / (dark + 0.05) >= 4.5, meaning


def test_the_chosen_row_of_a_list_can_be_read_in_red_and_by_day(home: Path, plates: list[Path]) -> None:
    """The highlighted row of a list is drawn in another colour than its ground, in either theme."""

    async def steps(hand: Looker) -> None:
        await hand.wait("60, newest first")
        chooser = Chooser("Which?", [Choice("first", "The first row"), Choice("second", "The second row")])
        hand.tool.push_screen(chooser)
        await hand.pilot.pause()
        for day in (False, True):
            hand.tool.day = day
            await hand.pilot.pause()
            chosen = next(
                row for row in chooser.face._rows if any("The first row" in text for text, _ in row)
            )
            meaning = next(meaning for text, meaning in chosen if "The first row" in text)
            style = hand.tool.style_of(meaning)
            assert style.bgcolor != hand.tool.style_of("text").bgcolor
            assert style.color != style.bgcolor, "day" if day else "red"

    looking(home, steps)
