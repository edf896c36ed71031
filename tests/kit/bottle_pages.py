"""Going to a bottle's page and to its forms, for tests."""

from __future__ import annotations

from darkroom.screens.bottles.bottle_screen import BottleScreen
from darkroom.screens.bottles.line_kinds import KINDS
from darkroom.screens.bottles.line_screen import LineScreen
from darkroom.screens.bottles.screen import BottlesScreen
from darkroom.screens.widgets.chooser import Chooser
from tests.kit.review_hand import Looker

IDS = [kind.id for kind in KINDS]


async def to_bottle(hand: Looker, name: str = "B-1") -> None:
    """Open the only bottle of the book."""
    await hand.wait("to the bench")
    await hand.press("f12")
    await hand.wait(name)
    await hand.press("enter")
    await hand.wait("Its life")


async def open_list(hand: Looker, kind: str) -> Chooser:
    """Open the list of what was done on a bottle's page, and go to a kind."""
    await hand.later(1.5)
    await hand.press("enter")
    await hand.until(lambda: isinstance(hand.tool.screen, Chooser))
    chooser = hand.tool.screen
    assert isinstance(chooser, Chooser)
    chooser.highlighted = IDS.index(kind)
    return chooser


async def to_form(hand: Looker, kind: str) -> LineScreen:
    """Open the form of a kind from a bottle's page, once its plates are read."""
    await hand.wait(lambda text: "reading the plates" not in text)
    await open_list(hand, kind)
    return await _form(hand)


async def _form(hand: Looker) -> LineScreen:
    await hand.later(1.5)
    await hand.press("enter")
    await hand.until(lambda: isinstance(hand.tool.screen, LineScreen))
    screen = hand.tool.screen
    assert isinstance(screen, LineScreen)
    await hand.later(1.5)  # the key that chose is not held any more
    return screen


async def to_withdrawal(hand: Looker, words: str) -> LineScreen:
    """Open the form that takes back the line with these words, from a bottle's page."""
    first = await open_list(hand, "withdrawn")
    await hand.later(1.5)
    await hand.press("enter")
    await hand.until(lambda: isinstance(hand.tool.screen, Chooser) and hand.tool.screen is not first)
    chooser = hand.tool.screen
    assert isinstance(chooser, Chooser)
    places = [place for place, row in enumerate(chooser.choices) if words in row.label]
    chooser.highlighted = places[0]
    return await _form(hand)


def fill(screen: LineScreen, **values: str) -> None:
    """Type into the fields."""
    for name, value in values.items():
        screen.form.put(name, value)


async def saved(hand: Looker) -> None:
    """Wait until the form has closed and the page says that it is saved."""
    await hand.until(lambda: isinstance(hand.tool.screen, BottleScreen | BottlesScreen))
    await hand.wait("saved:")
