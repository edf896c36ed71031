"""What is said before a line of a bottle is written, and what cannot be entered now."""

from __future__ import annotations

from pathlib import Path

from darkroom.screens.bottles.bottle_screen import BottleScreen
from darkroom.solutions import events as ev
from tests.kit.book_of_bottles import bottle_of, put_bottle
from tests.kit.bottle_pages import fill, saved, to_bottle, to_form
from tests.kit.review_hand import Looker, looking


def test_what_can_hurt_is_said_before_it_is_written(home: Path) -> None:
    """Acid with a cyanide fixer about: a second enter writes it, one that is held does not."""
    put_bottle(home, "F-9", "fixer", 2, recipe="cyanide")
    bottle = put_bottle(home, "B-1", days=3, strength=9.0)

    async def steps(hand: Looker) -> None:
        await to_bottle(hand)
        screen = await to_form(hand, "acid")
        await hand.press("enter")
        text = await hand.wait("enter again writes it all the same")
        assert "The supplier's safety sheet first." in text and "hydrogen cyanide" in text
        assert len(bottle_of(home, bottle).entries) == 1
        await hand.type("drop")
        assert screen.said == ()
        await hand.press("enter")
        await hand.wait("enter again writes it all the same")
        await hand.press("enter", "enter", "enter")
        assert hand.tool.screen is screen and len(bottle_of(home, bottle).entries) == 1
        await hand.later(1.5)
        await hand.press("enter")
        await saved(hand)

    looking(home, steps, text=None)
    event = bottle_of(home, bottle).entries[-1].event
    assert isinstance(event, ev.Treated) and (event.how, event.amount) == ("acid", "drop")


def test_a_screen_too_small_for_what_must_be_said_writes_nothing(home: Path) -> None:
    """Cautions that nobody could read are not answered."""
    bottle = put_bottle(home, "B-1", days=3, strength=9.0)

    async def steps(hand: Looker) -> None:
        await to_bottle(hand)
        screen = await to_form(hand, "boiled_down")
        await hand.press("enter")
        await hand.wait("enter again writes it all the same")
        await hand.pilot.resize_terminal(40, 8)
        await hand.later(1.5)
        await hand.press("enter")
        await hand.wait("make the screen larger")
        assert hand.tool.screen is screen and len(bottle_of(home, bottle).entries) == 1
        await hand.pilot.resize_terminal(80, 24)
        await hand.wait("Hot silver nitrate")
        await hand.later(1.5)
        await hand.press("enter")
        await saved(hand)

    looking(home, steps, text=None)


def test_silver_for_a_good_bath_is_asked_about(home: Path) -> None:
    """A bath that is as strong as it should be: the sentence stands there before it is written."""
    bottle = put_bottle(home, "B-1", days=3, recipe="silver-bath", volume=1000.0, strength=9.0)

    async def steps(hand: Looker) -> None:
        await to_bottle(hand)
        fill(await to_form(hand, "topped up"), grams="10 g")
        await hand.press("enter")
        text = await hand.wait("enter again writes it all the same")
        assert "strong enough" in " ".join(text.split())
        await hand.press("escape")
        await hand.wait("escape again leaves it")
        await hand.later(1.5)
        await hand.press("escape")
        await hand.until(lambda: isinstance(hand.tool.screen, BottleScreen))

    looking(home, steps, text=None)
    assert len(bottle_of(home, bottle).entries) == 1


def test_a_discarded_bottle_says_where_its_content_goes(home: Path) -> None:
    """Before it is written; then the bottle is discarded, and can be taken up again."""
    bottle = put_bottle(home, "B-1", days=3)

    async def steps(hand: Looker) -> None:
        await to_bottle(hand)
        await to_form(hand, "discarded")
        await hand.press("enter")
        await hand.wait("collected, never poured away")
        await hand.later(1.5)
        await hand.press("enter")
        await saved(hand)
        await hand.wait(lambda text: "discarded" in text.splitlines()[0])
        await to_form(hand, "taken up")
        await hand.press("enter")
        await saved(hand)

    looking(home, steps, text=None)
    assert bottle_of(home, bottle).out_of_use is None
    assert isinstance(bottle_of(home, bottle).entries[-2].event, ev.Discarded)


def test_a_newer_darkrooms_bottle_is_only_looked_at(home: Path) -> None:
    """Its page says so, and nothing can be entered."""
    put_bottle(home, "B-1", days=3, schema=ev.SCHEMA + 1)

    async def steps(hand: Looker) -> None:
        await to_bottle(hand)
        await hand.press("enter")
        await hand.wait("a newer darkroom made this bottle")
        assert isinstance(hand.tool.screen, BottleScreen)

    looking(home, steps, text=None)


def test_a_rehearsal_enters_nothing(home: Path) -> None:
    """The real book is looked at; what a rehearsal does is not part of it."""
    put_bottle(home, "B-1", days=3)

    async def steps(hand: Looker) -> None:
        await to_bottle(hand)
        hand.tool.rehearsal = True
        await hand.press("enter")
        await hand.wait("a rehearsal enters nothing")
        await hand.press("escape", "n")
        await hand.wait("a rehearsal enters nothing")

    looking(home, steps, text=None)


def test_what_makes_no_sense_now_says_why(home: Path) -> None:
    """A developer is not iodised, a bottle in use is not taken up, and nothing is withdrawn before a line."""
    put_bottle(home, "D-4", "developer", days=3, happened=[(1, ev.Opened, {})])

    async def steps(hand: Looker) -> None:
        await to_bottle(hand, "D-4")
        await hand.press("enter")
        await hand.wait("what was done?")
        text = hand.text()
        assert "Iodised   this is no silver bath" in text and "Taken up again   it is in use" in text
        assert "Opened   it was opened" in text

    looking(home, steps, text=None)
