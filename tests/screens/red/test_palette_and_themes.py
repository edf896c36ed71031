"""The table of meanings and the themes made from it."""

from __future__ import annotations

import asyncio
import re

import pytest
from textual.color import Color

from darkroom.screens.red.palette import BRIGHTEST, DAY_STEPS, LEVELS, step, style
from darkroom.screens.red.red_app import RedApp
from darkroom.screens.red.themes import day_theme, red_theme
from tests.kit.audit import luminance

CUBE = (0, 95, 135, 175, 215, 255)
"""The levels of the 6 × 6 × 6 cube of 256 colours (xterm's 256colres.pl)."""


def _reds(meaning: str, brightness: int) -> tuple[int, int]:
    meaning_style = style(meaning, brightness)
    assert meaning_style.color is not None and meaning_style.bgcolor is not None
    fore, back = meaning_style.color.triplet, meaning_style.bgcolor.triplet
    assert fore is not None and back is not None
    assert (0, 0) == (fore.green, fore.blue) == (back.green, back.blue)
    return fore.red, back.red


@pytest.mark.parametrize("brightness", range(BRIGHTEST + 1))
@pytest.mark.parametrize("meaning", [*LEVELS, "text reversed", "loud reversed", "quiet reversed"])
def test_every_meaning_is_a_red_that_256_colours_have(meaning: str, brightness: int) -> None:
    """Each meaning at each brightness is pure red on pure red, in levels of the 256-colour cube."""
    assert set(_reds(meaning, brightness)) <= set(CUBE)


def test_nothing_is_brighter_than_an_eighth_by_default() -> None:
    """At the default brightness no red has a relative luminance above 0.12 (sRGB, IEC 61966-2-1)."""
    brightest = max(max(_reds(meaning, 3)) for meaning in LEVELS)
    assert 0.08 < luminance(brightest) <= 0.12


@pytest.mark.parametrize("brightness", range(1, BRIGHTEST + 1))
def test_text_can_be_told_from_its_ground(brightness: int) -> None:
    """Every meaning but the ground differs from what is under it, at any brightness but blackout."""
    for meaning in LEVELS:
        fore, back = _reds(meaning, brightness)
        assert (fore != back) == (meaning != "ground"), meaning


def test_brightness_goes_up_in_every_step() -> None:
    """Text gets brighter with each of the five steps, and a blackout is black."""
    reds = [_reds("text", brightness)[0] for brightness in range(BRIGHTEST + 1)]
    assert reds == [0, 95, 135, 175, 215, 255]
    assert _reds("reversed", 0) == (0, 0)


def test_quiet_and_loud_differ_twofold_from_the_line() -> None:
    """Text is at least twice as bright as the line under it."""
    assert luminance(step(3, 3)) >= 2 * luminance(step(1, 3))


def test_an_unknown_meaning_is_an_error() -> None:
    """A word that is not in the table is no colour."""
    with pytest.raises(KeyError):
        style("purple")
    with pytest.raises(KeyError):
        style("text sideways")


class _Plain(RedApp):
    pass


def _variables(brightness: int) -> dict[str, str]:
    async def run() -> dict[str, str]:
        app = _Plain()
        app.brightness = brightness
        async with app.run_test():
            return app.get_css_variables()

    return asyncio.run(run())


@pytest.mark.parametrize("brightness", [0, 1, 3, 5])
def test_every_variable_of_the_theme_is_red(brightness: int) -> None:
    """Every colour among the toolkit's variables, derived ones too, has neither green nor blue."""
    variables = _variables(brightness)
    text_styles = re.compile(r"none|bold|underline|bold underline")
    colours = {name: value for name, value in variables.items() if not text_styles.fullmatch(value)}
    assert len(colours) > 120
    impure = {}
    for name, value in colours.items():
        colour = Color.parse(value)
        if colour.ansi is not None or colour.g or colour.b or "auto" in value:
            impure[name] = value
    assert impure == {}


def test_themes_are_known_to_the_application() -> None:
    """The application begins red at the default brightness and can be red at any, or day."""
    app = _Plain()
    assert "red-3" == app.theme == red_theme().name
    assert {f"red-{n}" for n in range(6)} | {day_theme().name} <= set(app.available_themes)


def test_day_text_can_be_read() -> None:
    """By day text and quiet text have a contrast of 4.5 : 1 on the paper (WCAG 2.1, 1.4.3)."""

    def lum(colour: str) -> float:
        rgb = Color.parse(colour)
        channels = [value / 255 for value in (rgb.r, rgb.g, rgb.b)]
        linear = [
            channel / 12.92 if channel <= 0.04045 else ((channel + 0.055) / 1.055) ** 2.4
            for channel in channels
        ]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    paper = lum(DAY_STEPS[0])
    for meaning in ("text", "loud", "quiet"):
        ink = lum(DAY_STEPS[LEVELS[meaning][0]])
        ratio = (max(paper, ink) + 0.05) / (min(paper, ink) + 0.05)
        assert ratio >= 4.5, meaning


def test_the_day_can_be_refused() -> None:
    """The owner of the application refuses the day, and it stays red."""

    class Refusing(RedApp):
        def day_refused(self) -> str | None:
            return "a plate is sensitive"

    app = Refusing(day=True)
    assert not app.day
    app.day = True
    assert not app.day and app.theme == "red-3"


def test_the_toolkits_own_keys_are_gone() -> None:
    """Neither ctrl+q nor ctrl+c nor the command palette is bound."""
    app = _Plain()
    assert list(app._bindings.key_to_bindings) == []
    assert not app.ENABLE_COMMAND_PALETTE and not app.ALLOW_SELECT
