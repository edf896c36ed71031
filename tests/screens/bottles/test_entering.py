"""What is said of a bottle on its page becomes a line of the book: typed, written, told."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from darkroom.errors import NotSavedError
from darkroom.log.bottles import files
from darkroom.screens.bottles.line_screen import LineScreen
from darkroom.solutions import events as ev
from tests.kit import bottle_lives
from tests.kit.book_of_bottles import bottle_of, put_bottle
from tests.kit.bottle_pages import fill, saved, to_bottle, to_form, to_withdrawal
from tests.kit.review_hand import Looker, looking


@pytest.mark.parametrize(
    ("kind", "values", "expected"),
    [
        ("opened", {}, {"event": "opened"}),
        ("filtered", {"amount": "twice"}, {"event": "treated", "how": "filtered", "amount": "twice"}),
        ("sunned", {}, {"event": "treated", "how": "sunned"}),
        ("iodised", {}, {"event": "treated", "how": "iodised"}),
        (
            "reading",
            {"value": "1.072", "celsius": "24", "reason": "before the weekend"},
            {"event": "measured", "what": "density", "value": 1.072, "celsius": 24.0, "strength": 9.022},
        ),
        ("measured", {"value": "4.5"}, {"event": "measured", "what": "ph", "value": 4.5}),
        ("volume", {"value": "940 mL"}, {"event": "measured", "what": "volume", "value": 940.0}),
        (
            "topped up",
            {"water": "57 mL", "volume": "1 L", "strength": "8.6"},
            {"event": "topped_up", "water": 57.0, "volume": 1000.0, "strength": 8.6},
        ),
        ("drawn off", {"value": "50 mL"}, {"event": "drawn_off", "volume": 50.0}),
        ("recipe", {"recipe": "silver-bath"}, {"event": "recipe_named", "recipe": "silver-bath"}),
        ("note", {"text": "smells of ether"}, {"event": "note", "text": "smells of ether"}),
        ("postponed", {"until": "3 days"}, {"event": "postponed"}),
        ("set aside", {"reason": "to settle"}, {"event": "set_aside", "reason": "to settle"}),
    ],
)
def test_a_filled_form_is_a_line_of_the_book(
    home: Path, kind: str, values: dict[str, str], expected: dict[str, Any]
) -> None:
    """Enter writes it to the file of this bench; the page says what is saved and shows it."""
    bottle = put_bottle(home, "B-1", days=3, recipe="silver-bath", volume=1000.0, strength=9.0)

    async def steps(hand: Looker) -> None:
        await to_bottle(hand)
        fill(await to_form(hand, kind), **values)
        await hand.press("enter")
        await saved(hand)

    looking(home, steps, text=None)
    last = bottle_of(home, bottle).entries[-1].event
    assert not isinstance(last, ev.Made)
    found = {name: getattr(last, name) for name in expected if name != "event"}
    assert (type(last).__struct_config__.tag, found) == (
        expected["event"],
        {name: value for name, value in expected.items() if name != "event"},
    )


def test_what_is_set_aside_is_not_offered_to_plates_any_more(home: Path) -> None:
    """The bench knows it when the line is saved, and not only when the next form opens."""
    put_bottle(home, "B-1", days=3)

    async def steps(hand: Looker) -> None:
        await to_bottle(hand)
        await hand.until(lambda: [b.name for b in hand.tool.session.bench.bottles] == ["B-1"])
        screen = await to_form(hand, "set aside")
        fill(screen, reason="to settle")
        await hand.press("enter")
        await hand.until(lambda: hand.tool.session.bench.bottles == ())

    looking(home, steps, text=None)


def test_what_happened_yesterday_is_written_so(home: Path) -> None:
    """The time typed is when it happened; what is still to come and what cannot be read stay typed."""
    bottle = put_bottle(home, "B-1", days=3)

    async def steps(hand: Looker) -> None:
        await to_bottle(hand)
        screen = await to_form(hand, "filtered")
        fill(screen, when="3000-01-01")
        await hand.press("enter")
        await hand.wait("expected")
        fill(screen, when="in the evening")
        await hand.press("enter")
        await hand.wait("cannot be read")
        assert screen.values["when"] == "in the evening"
        fill(screen, when="2020-01-01")
        await hand.press("enter")
        await hand.wait("before the bottle was made")
        fill(screen, when="yesterday")
        await hand.press("enter")
        await saved(hand)

    looking(home, steps, text=None)
    entry = bottle_of(home, bottle).entries[-1]
    event = entry.event
    assert isinstance(event, ev.Treated) and event.when is not None and event.when < event.at


def test_whatever_fails_in_saving_is_said_and_the_form_lets_go(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What nobody foresaw is said as any other trouble; what was typed stays, and escape leaves."""
    bottle = put_bottle(home, "B-1", days=3)

    def fails(*words: object) -> None:
        raise ValueError("the unforeseen")

    monkeypatch.setattr("darkroom.log.bottles.files.append", fails)

    async def steps(hand: Looker) -> None:
        await to_bottle(hand)
        screen = await to_form(hand, "note")
        fill(screen, text="amber")
        await hand.press("enter")
        await hand.wait("the unforeseen")
        assert screen.values["text"] == "amber" and not screen.saving
        await hand.press("escape")
        await hand.later(1.5)
        await hand.press("escape")
        await hand.until(lambda: hand.tool.screen is not screen)

    looking(home, steps, text=None)
    assert len(bottle_of(home, bottle).entries) == 1


def test_any_line_is_taken_back(home: Path) -> None:
    """The line is chosen from a list, said and asked; it stays in the book, marked, and does not count."""
    bottle = put_bottle(home, "B-1", days=70, happened=bottle_lives.BATH)

    async def steps(hand: Looker) -> None:
        await to_bottle(hand)
        screen = await to_withdrawal(hand, "clearer after")
        assert screen.values["line"].endswith(":13")
        await hand.press("enter")
        text = await hand.wait("enter again writes it all the same")
        assert "withdrawn: note: clearer after the weekend. It stays in the book" in text
        await hand.press("enter", "enter")
        assert bottle_of(home, bottle).withdrawn == ()
        await hand.later(1.5)
        await hand.press("enter")
        await saved(hand)
        await hand.wait("saved: withdrawn: note: clearer after the weekend")
        await hand.later(1.5)
        await hand.press("down")
        await to_withdrawal(hand, "withdrawn: note")
        await hand.press("enter")
        await hand.wait("counts again: note: clearer")
        await hand.later(1.5)
        await hand.press("enter")
        await saved(hand)

    looking(home, steps, text=None)
    told = bottle_of(home, bottle)
    assert [type(entry.event) for entry in told.withdrawn] == [ev.Withdrawn]
    assert any(isinstance(entry.event, ev.Note) for entry in told.entries)


def test_a_reading_begins_with_the_scale_that_was_used_last(home: Path) -> None:
    """Of this bottle, else of the book; and what is long to say when it is saved stands whole in the foot."""
    grains = {"what": "silver_us", "value": 36.0, "strength": 7.9, "celsius": 20.0}
    put_bottle(home, "B-1", days=3, recipe="silver-bath", volume=1000.0)
    put_bottle(home, "B-2", days=9, happened=[(1, ev.Measured, grains)], recipe="silver-bath")

    async def steps(hand: Looker) -> None:
        await to_bottle(hand)
        screen = await to_form(hand, "reading")
        assert screen.values["scale"] == "silver_us"
        why = "as the stock of the summer was poured in, and the bath was warm from the sun"
        fill(screen, value="36", celsius="20", reason=why)
        await hand.press("enter")
        await saved(hand)
        text = " ".join(hand.text().split())
        assert "saved: silver hydrometer 36 grains to the US ounce at 20 °C: 7.9 % w/v" in text
        assert why in text

    looking(home, steps, text=None)


def test_a_disk_that_does_not_take_it_loses_nothing(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Why it is not saved is said, what was typed stays, and enter tries again."""
    bottle = put_bottle(home, "B-1", days=3)
    write = files.append

    def refuses(*values: Any) -> Any:
        raise NotSavedError("the book of bottles is not saved: the disk is full")

    monkeypatch.setattr(files, "append", refuses)

    async def steps(hand: Looker) -> None:
        await to_bottle(hand)
        screen = await to_form(hand, "note")
        await hand.type("cloudy")
        await hand.press("enter")
        await hand.wait("the disk is full")
        assert screen.values["text"] == "cloudy"
        await hand.press("f2")
        await hand.wait("what was typed is not saved")
        await hand.press("escape")
        await hand.wait("escape again leaves it")
        monkeypatch.setattr(files, "append", write)
        await hand.press("enter")
        await saved(hand)

    looking(home, steps, text=None)
    event = bottle_of(home, bottle).entries[-1].event
    assert isinstance(event, ev.Note) and event.text == "cloudy"


def test_a_bottle_is_entered_on_the_list(home: Path) -> None:
    """What, name and recipe; what is left out is the recipe's; a name that another has is asked about."""
    first = put_bottle(home, "B-1", days=3)

    async def steps(hand: Looker) -> None:
        await hand.wait("to the bench")
        await hand.press("f12")
        await hand.wait("B-1")
        await hand.press("n")
        await hand.until(lambda: isinstance(hand.tool.screen, LineScreen))
        screen = hand.tool.screen
        assert isinstance(screen, LineScreen)
        await hand.later(1.5)
        await hand.press("enter")
        await hand.wait("this is needed")
        recipes = screen.form.at("recipe")
        assert "silver-bath" in recipes.options and "hypo" not in recipes.options
        screen.form.go_to(0)
        await hand.press("right", "right")
        assert screen.values["what"] == "fixer"
        assert "hypo" in recipes.options and "silver-bath" not in recipes.options
        await hand.press("left", "left")
        fill(screen, name="B-1", recipe="hypo")
        await hand.press("enter")
        await hand.wait("the recipe hypo makes fixer, not bath")
        fill(screen, recipe="silver-bath", strength="400")
        await hand.press("enter")
        await hand.wait("out of range")
        fill(screen, strength="")
        await hand.press("enter")
        await hand.wait("Another bottle has the name B-1")
        fill(screen, name="B-2", used="yes")
        await hand.later(1.5)
        await hand.press("enter")
        await saved(hand)
        await hand.wait("B-2")

    looking(home, steps, text=None)
    shelf = files.read_shelf(home)
    (made,) = [bottle for bottle in shelf.bottles.values() if bottle.id != first]
    event = made.entries[0].event
    assert isinstance(event, ev.Made)
    assert (made.name, made.what, made.recipe, event.strength) == ("B-2", "bath", "silver-bath", 9.0)
    assert event.used and made.volume == 1000.0 and shelf.problems == ()
