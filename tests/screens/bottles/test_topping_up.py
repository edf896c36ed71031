"""A bath is topped up on its page: what to add is reckoned and shown, asked, and written."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Any

import msgspec
import pytest

from darkroom.errors import NotSavedError
from darkroom.log.bottles import files
from darkroom.resources import checked_recipes
from darkroom.screens.bottles import topping
from darkroom.screens.bottles.asking import Known
from darkroom.screens.bottles.line_screen import LineScreen
from darkroom.screens.widgets.chooser import Chooser
from darkroom.screens.widgets.wrapped_text import wrapped
from darkroom.solutions import events as ev
from darkroom.solutions.bottle_account import account
from tests.kit import bottle_lives as kit
from tests.kit.book_of_bottles import bottle_of, put_bottle
from tests.kit.bottle_pages import fill, open_list, saved, to_bottle, to_form
from tests.kit.review_hand import Looker, looking


def words(screen: LineScreen) -> str:
    """Return all that is said on a form."""
    return " ".join(said.text for said in screen.said)


def test_what_to_add_is_shown_asked_and_written_once(home: Path) -> None:
    """8 to 9 % in a litre takes 10.16 g (the sums of the design, by hand); yes writes both lines at once."""
    bottle = put_bottle(home, "B-1", days=3, recipe="silver-bath", volume=1200.0, strength=8.0)

    async def steps(hand: Looker) -> None:
        await to_bottle(hand)
        screen = await to_form(hand, "top up")
        assert (screen.values["volume"], screen.values["wanted"]) == ("1.2 L", "9")
        fill(screen, volume="1 L")
        await hand.press("enter")
        text = await hand.wait("Has it gone in?")
        assert "add 10.2 g of silver nitrate" in text or "add 10.16 g of silver nitrate" in text
        assert "Goggles and gloves" in text and "safety sheet" in text, text
        assert len(bottle_of(home, bottle).entries) == 1
        await hand.press("enter", "enter")
        assert hand.tool.screen is screen and len(bottle_of(home, bottle).entries) == 1
        await hand.later(1.5)
        await hand.press("enter", "enter", "enter")
        await saved(hand)

    looking(home, steps, text=None)
    measured, added = (entry.event for entry in bottle_of(home, bottle).entries[1:])
    assert isinstance(measured, ev.Measured) and (measured.what, measured.value) == ("volume", 1000.0)
    assert isinstance(added, ev.ToppedUp) and added.grams == pytest.approx(10.16, abs=0.005)
    assert added.volume == pytest.approx(1001.8, abs=0.05) and added.strength == 9.0


def test_a_used_bath_reads_low_stands_before_the_grams(home: Path) -> None:
    """The reading of a bath that plates used is "at least": the warning is above what to add."""
    bottle = put_bottle(home, "B-1", days=3, recipe="silver-bath", volume=1000.0, strength=9.0)

    async def steps(hand: Looker) -> None:
        await to_bottle(hand)
        screen = await to_form(hand, "top up")
        made = screen.known.bottles[bottle].made
        use = kit.uses(1, of=bottle)[0]
        used = {bottle: (msgspec.structs.replace(use, instant=made + 3600.0),)}
        screen.known = msgspec.structs.replace(screen.known, uses=used)
        fill(screen, value="1.0626", celsius="20")
        await hand.press("enter")
        text = await hand.wait("Has it gone in?")
        assert -1 < text.index("A used bath reads low") < text.index("add at most")
        assert "at least" in text

    looking(home, steps, text=None)
    assert len(bottle_of(home, bottle).entries) == 1


def test_silver_never_goes_into_a_good_bath_without_a_warning(home: Path) -> None:
    """From 9 % to 10 % where the recipe has 9 %: the sentence stands there, and escape writes nothing."""
    bottle = put_bottle(home, "B-1", days=3, recipe="silver-bath", volume=1000.0, strength=9.0)

    async def steps(hand: Looker) -> None:
        await to_bottle(hand)
        screen = await to_form(hand, "top up")
        await hand.press("enter")
        await hand.wait("nothing to add")
        await hand.later(1.5)
        await hand.press("enter")
        await hand.wait("nothing to add")
        assert hand.tool.screen is screen
        fill(screen, wanted="10")
        await hand.later(1.5)
        await hand.press("enter")
        await hand.wait("Has it gone in?")
        assert "strong enough" in words(screen)
        await hand.press("escape")
        await hand.wait("escape again leaves it")

    looking(home, steps, text=None)
    assert len(bottle_of(home, bottle).entries) == 1


def test_a_stock_of_the_book_is_taken_in_place_of_crystals(home: Path) -> None:
    """8 to 9 % in a litre takes 90.9 mL of a 20 % stock (the sums of the design); whence it came is noted."""
    bottle = put_bottle(home, "B-1", days=3, recipe="silver-bath", volume=1000.0, strength=8.0)
    stock = put_bottle(home, "S-1", "stock", days=2, recipe="silver-bath", volume=500.0, strength=20.0)

    async def steps(hand: Looker) -> None:
        await to_bottle(hand)
        screen = await to_form(hand, "top up")
        fill(screen, **{"with": "stock"})
        await hand.press("enter")
        await hand.wait("the strength of the stock")
        fill(screen, **{"with": stock})
        await hand.later(1.5)
        await hand.press("enter")
        await hand.wait("Has it gone in?")
        await hand.later(1.5)
        await hand.press("enter")
        await saved(hand)

    looking(home, steps, text=None)
    drawn = bottle_of(home, stock).entries[-1].event
    assert isinstance(drawn, ev.DrawnOff) and drawn.to == bottle
    assert drawn.volume == pytest.approx(90.9, abs=0.1)
    added = bottle_of(home, bottle).entries[-1].event
    assert isinstance(added, ev.ToppedUp) and added.from_ == stock
    assert added.stock == pytest.approx(90.9, abs=0.1) and added.stock_strength == 20.0


def test_what_is_not_known_is_asked_for_in_its_field(home: Path) -> None:
    """No strength and no volume in the book: the hand goes to the field that tells it."""
    bottle = put_bottle(home, "B-1", days=3)

    async def steps(hand: Looker) -> None:
        await to_bottle(hand)
        screen = await to_form(hand, "top up")
        fill(screen, wanted="9")
        await hand.press("enter")
        await hand.wait("the strength of B-1 is not known")
        assert screen.form.current.id == "value"
        fill(screen, value="1.0643", celsius="20")
        await hand.later(1.5)
        await hand.press("enter")
        await hand.wait("how much B-1 holds is not known")
        assert screen.form.current.id == "volume"

    looking(home, steps, text=None)
    assert len(bottle_of(home, bottle).entries) == 1


def test_a_bottle_whose_strength_is_not_reckoned_cannot_be_topped_up_so(home: Path) -> None:
    """A varnish: the row of the list says why not."""
    put_bottle(home, "B-1", "varnish", days=3)

    async def steps(hand: Looker) -> None:
        await to_bottle(hand)
        chooser: Chooser = await open_list(hand, "top up")
        assert "its strength is not reckoned" in str(chooser.choices[chooser.highlighted].why_not)

    looking(home, steps, text=None)


def test_a_stock_whose_file_takes_no_line_is_said_and_nothing_is_written_twice(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The topping up is saved, and the message says that the stock's own line is not."""
    bottle = put_bottle(home, "B-1", days=3, recipe="silver-bath", volume=1000.0, strength=8.0)
    stock = put_bottle(home, "S-1", "stock", days=2, recipe="silver-bath", volume=500.0, strength=20.0)
    write = files.append

    def refuses(home: Path, to: str, *values: Any) -> Any:
        if to == stock:
            raise NotSavedError("the disk is full")
        return write(home, to, *values)

    monkeypatch.setattr(files, "append", refuses)

    async def steps(hand: Looker) -> None:
        await to_bottle(hand)
        screen = await to_form(hand, "top up")
        fill(screen, **{"with": stock})
        await hand.press("enter")
        await hand.wait("Has it gone in?")
        await hand.later(1.5)
        await hand.press("enter")
        await saved(hand)
        assert "S-1: not saved, the disk is full" in " ".join(hand.text().split())

    looking(home, steps, text=None)
    assert len(bottle_of(home, bottle).entries) == 2 and len(bottle_of(home, stock).entries) == 1


def test_what_went_in_already_is_added_up(home: Path) -> None:
    """5 g and 10 mL in a litre of 8 %: strength and volume are reckoned, by mass, and the line says so."""
    bottle = put_bottle(home, "B-1", days=3, recipe="silver-bath", volume=1000.0, strength=8.0)

    async def steps(hand: Looker) -> None:
        await to_bottle(hand)
        screen = await to_form(hand, "topped up")
        await hand.press("enter")
        await hand.wait("this is needed, or how much water")
        fill(screen, grams="5 g", water="10 mL")
        await hand.later(1.5)
        await hand.press("enter")
        await saved(hand)

    looking(home, steps, text=None)
    added = bottle_of(home, bottle).entries[-1].event
    assert isinstance(added, ev.ToppedUp) and added.reckoned
    # 80 g + 5 g in about 1010.9 mL: 8.41 % w/v, by hand
    assert added.strength == pytest.approx(8.41, abs=0.01) and added.volume == pytest.approx(1011, abs=1)


@pytest.mark.parametrize("with_", ["crystals", "s1"])
def test_the_longest_of_what_is_said_fits_on_the_smallest_screen(with_: str) -> None:
    """A used bath, a good bath, plates since, a stock that holds too little: 80 by 24 with a plate's row."""
    recipes = checked_recipes(Path("nowhere"))[0]
    bath = kit.bottle()
    stock = kit.bottle("s1", kit.lines((), name="S-1", what="stock", strength=20.0, volume=10.0))
    used = tuple(kit.uses(60))
    now = datetime.fromtimestamp(kit.MADE + 71 * kit.DAY, kit.ZONE)
    known = Known(
        bottles={"b1": bath, "s1": stock},
        accounts={
            "b1": account(bath, recipes, used, now.timestamp()),
            "s1": account(stock, recipes, (), now.timestamp()),
        },
        uses={"b1": used},
        dues=(),
        unknown=(),
        recipes=recipes,
        problems=(),
        now=now.timestamp(),
    )
    values = {"scale": "silver_imperial", "value": "38", "celsius": "72 F", "wanted": "10", "with": with_}
    entry = topping.reckoned(values, bath, known, now)
    said = [row for one in entry.said for row in wrapped(one.text, 78)]
    assert len(said) + 3 <= 24 - 3
    order = " ".join(said)
    assert 0 <= order.index("reads low") < order.index("safety sheet") < order.index("add at most")
    assert ("S-1 holds 10 mL by the book" in order) == (with_ == "s1")
