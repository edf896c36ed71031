"""What is said of a bottle on its page becomes a line of the book: typed, warned of, written, told."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from darkroom.errors import NotSavedError
from darkroom.log.bottles import files
from darkroom.screens.bottles.bottle_screen import BottleScreen
from darkroom.screens.bottles.line_kinds import KINDS
from darkroom.screens.bottles.line_screen import LineScreen
from darkroom.screens.bottles.screen import BottlesScreen
from darkroom.screens.widgets.chooser import Chooser
from darkroom.solutions import events as ev
from tests.kit import bottle_lives
from tests.kit.book_of_bottles import bottle_of, put_bottle
from tests.kit.review_hand import Looker, looking

IDS = [kind.id for kind in KINDS]


async def to_bottle(hand: Looker, name: str = "B-1") -> None:
    """Open the only bottle of the book."""
    await hand.wait("to the bench")
    await hand.press("f12")
    await hand.wait(name)
    await hand.press("enter")
    await hand.wait("Its life")


async def to_form(hand: Looker, kind: str) -> LineScreen:
    """Open the form of a kind from a bottle's page."""
    await hand.later(1.5)
    await hand.press("enter")
    await hand.until(lambda: isinstance(hand.tool.screen, Chooser))
    chooser = hand.tool.screen
    assert isinstance(chooser, Chooser)
    chooser.highlighted = IDS.index(kind)
    await hand.later(1.5)
    await hand.press("enter")
    await hand.until(lambda: isinstance(hand.tool.screen, LineScreen))
    screen = hand.tool.screen
    assert isinstance(screen, LineScreen)
    await hand.later(1.5)  # the key that chose is not held any more
    return screen


def fill(screen: LineScreen, **values: str) -> None:
    """Type into the fields."""
    for name, value in values.items():
        screen.form.put(name, value)


async def saved(hand: Looker) -> None:
    """Wait until the form has closed and the page says that it is saved."""
    await hand.until(lambda: isinstance(hand.tool.screen, BottleScreen | BottlesScreen))
    await hand.wait("saved:")


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
        ("drawn off", {"value": "50 mL"}, {"event": "drawn_off", "volume": 50.0}),
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


def test_the_last_line_is_taken_back(home: Path) -> None:
    """The form names the line; it stays in the book, marked, and does not count."""
    bottle = put_bottle(home, "B-1", days=70, happened=bottle_lives.BATH)

    async def steps(hand: Looker) -> None:
        await to_bottle(hand)
        await to_form(hand, "withdrawn")
        await hand.wait("taken up again")
        await hand.press("enter")
        await saved(hand)
        await hand.press("end")
        await hand.wait("Its lines")

    looking(home, steps, text=None)
    told = bottle_of(home, bottle)
    assert [type(entry.event) for entry in told.withdrawn] == [ev.TakenUp]
    assert told.out_of_use == "set aside"


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
        fill(screen, name="B-1", recipe="hypo")
        await hand.press("enter")
        await hand.wait("the recipe hypo makes fixer, not bath")
        fill(screen, recipe="silver-bath", strength="400")
        await hand.press("enter")
        await hand.wait("out of range")
        fill(screen, strength="")
        await hand.press("enter")
        await hand.wait("Another bottle has the name B-1")
        fill(screen, name="B-2")
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
    assert made.volume == 1000.0 and shelf.problems == ()


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
