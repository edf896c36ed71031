"""The rows of the home form that choose bottles: there with the book, kept, taken by the plate."""

from __future__ import annotations

from pathlib import Path

import pytest

from darkroom.bench.all_plates import NEW
from darkroom.log.days.events import SeenTo
from darkroom.screens.app import Tool
from darkroom.screens.home.bottle_rows import labelled
from darkroom.screens.home.screen import HomeScreen
from darkroom.session.bottle_care import id_of
from darkroom.session.plate_form import PlateForm
from darkroom.solutions import events as ev
from tests.kit.bottle_files import add_line, put_bottle
from tests.kit.day import go_through_sheet
from tests.kit.review_hand import Looker, bring_to, looking

BATH = labelled("bath")


def on_form(hand: Looker) -> HomeScreen:
    """Return the home form that is shown."""
    screen = hand.tool.screen
    assert isinstance(screen, HomeScreen)
    return screen


def go_to(hand: Looker, field: str) -> None:
    """Put the hand on a field."""
    form = on_form(hand).form
    form.go_to(form.fields.index(form.at(field)))


def with_form(**members: object) -> object:
    """Return what gives the tool a form that was left on another day."""

    def begin(tool: Tool) -> None:
        tool.form = PlateForm(process="clear-glass", **members)  # type: ignore[arg-type]

    return begin


def test_without_a_book_the_form_is_as_it_was(home: Path) -> None:
    """No row for a bottle, and the collodion is typed."""

    async def steps(hand: Looker) -> None:
        await hand.wait("collodion")
        await hand.until(lambda: hand.tool.services.bottles.is_read)
        await hand.pilot.pause(0.1)
        assert "bottle" not in hand.text()
        assert on_form(hand).form.at("collodion").options == ()

    looking(home, steps, text=None)


def test_bottles_are_chosen_with_the_arrows_and_taken_by_the_plate(home: Path) -> None:
    """A row a role with a bottle: an only one is taken, of several one is chosen; the plate names them."""
    bath, other = put_bottle(home, "bath", "B-1", days=9), put_bottle(home, "bath", "B-2")
    collodion = put_bottle(home, "collodion", "C-4")
    fixer = put_bottle(home, "fixer", "F-1")
    put_bottle(home, "substratum", "S-1")  # clear glass uses none

    async def steps(hand: Looker) -> None:
        await hand.wait(BATH)
        form = on_form(hand).form
        ids = [field.id for field in form.fields if field.id.startswith("bottle ")]
        assert ids == ["bottle bath", "bottle fixer"] and len(form.fields) == 27 + 2
        assert "not chosen (2)" in hand.text()
        assert on_form(hand).values["bottle fixer"] == "F-1" and form.at("collodion").value == "C-4"
        go_to(hand, "bottle bath")
        await hand.press("right", "right")
        assert on_form(hand).values["bottle bath"] == "B-1"
        go_through_sheet(home, hand.tool.services.bench_id)
        await hand.press("enter")
        await hand.until(lambda: NEW in hand.tool.session.bench.plates)
        start = hand.tool.session.bench.plates[NEW].start
        assert start.bottles == {"bath": "B-1", "collodion": "C-4", "fixer": "F-1"}
        assert start.bottle_ids == {"bath": bath, "collodion": collodion, "fixer": fixer} and other != bath
        hand.tool.session.take_off_new()
        hand.tool.again()
        await hand.until(lambda: NEW in hand.tool.session.bench.plates)
        assert hand.tool.session.bench.plates[NEW].start.bottle_ids == start.bottle_ids

    looking(home, steps, text=None)


def test_the_collodion_can_still_be_typed(home: Path) -> None:
    """Typed words are no bottle of the book; the arrows go through the book's and come back to them."""
    put_bottle(home, "collodion", "C-4")

    async def steps(hand: Looker) -> None:
        await hand.wait(lambda text: on_form(hand).values["collodion"] == "C-4")
        go_to(hand, "collodion")
        await hand.press("right")
        await hand.type("old")
        field = on_form(hand).form.at("collodion")
        assert hand.tool.form.no_bottles == []
        assert field.value == "old" and field.options == ("C-4", "old")
        await hand.press("right")
        assert field.value == "C-4"

    looking(home, steps, text=None)


def test_the_choice_of_another_day_stands_and_a_discarded_bottle_is_dropped(home: Path) -> None:
    """The row is there at once with its bottle; when the book was read, what is gone is gone from it."""
    bath, fixer = put_bottle(home, "bath", "B-1"), put_bottle(home, "fixer", "F-1")
    put_bottle(home, "fixer", "F-2")
    add_line(home, fixer, ev.Discarded)
    chosen = {"bath": bath, "fixer": fixer}
    begin = with_form(bottles={"bath": "B-1", "fixer": "F-1"}, bottle_ids=chosen)

    async def steps(hand: Looker) -> None:
        await hand.until(lambda: hand.tool.services.bottles.is_read)
        await hand.wait(lambda text: on_form(hand).values["bottle fixer"] == "F-2")  # the only one now
        assert on_form(hand).values["bottle bath"] == "B-1"
        assert hand.tool.form.bottle_ids == {"bath": bath}

    looking(home, steps, text=None, begin=begin)  # type: ignore[arg-type]


def test_a_plate_that_waits_loses_a_bottle_that_is_gone(home: Path) -> None:
    """A plate put on before the book was read does not begin with a bottle that was discarded since."""
    bath = put_bottle(home, "bath", "B-1")
    add_line(home, bath, ev.Discarded)
    second = put_bottle(home, "bath", "B-2")
    begin = with_form(bottles={"bath": "B-1"}, bottle_ids={"bath": bath})

    async def steps(hand: Looker) -> None:
        services = hand.tool.services
        process = services.processes.read("clear-glass")
        hand.tool.session.put_on(services.plate_from(PlateForm(**_members(bath)), process))
        services.bottles.ask(hand.tool.from_thread)
        await hand.until(lambda: services.bottles.is_read and hand.tool.form.bottle_ids == {"bath": second})
        assert hand.tool.session.bench.plates[NEW].start.bottle_ids == {"bath": second}

    looking(home, steps, text=None, begin=begin)  # type: ignore[arg-type]


def _members(bath: str) -> dict[str, object]:
    return {"process": "clear-glass", "bottles": {"bath": "B-1"}, "bottle_ids": {"bath": bath}}


def test_what_ripens_is_marked(home: Path) -> None:
    """A collodion that is not ready can be chosen, and says that it is not."""
    put_bottle(home, "collodion", "C-5", days=2.0, ripens=7.0)
    put_bottle(home, "developer", "D-5", days=2.0, ripens=7.0)

    async def steps(hand: Looker) -> None:
        await hand.wait(labelled("developer"))
        assert on_form(hand).values["bottle developer"] == ""  # not taken unasked
        go_to(hand, "bottle developer")
        await hand.press("right")
        assert "D-5, ripening" in hand.text() and "D-5 ripens: it is not ready" in hand.text()
        go_to(hand, "collodion")
        await hand.press("right")
        assert "C-5 ripens: it is not ready" in hand.text()

    looking(home, steps, text=None)


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (60, 20)])
def test_every_row_can_be_reached(home: Path, size: tuple[int, int]) -> None:
    """With all that can be said and a bottle for each role the row under the hand is on the screen."""
    for what, name in (("bath", "B-1"), ("developer", "D-1"), ("fixer", "F-1"), ("collodion", "C-1")):
        put_bottle(home, what, name)
    begin = with_form(other="1", receiver="flat", sky="clear", subject="a")

    async def steps(hand: Looker) -> None:
        await hand.wait(lambda text: len(on_form(hand).form.fields) == 27 + 3 + 3)
        for field in list(on_form(hand).form.fields):
            go_to(hand, field.id)
            on_form(hand).draw()
            assert field.label in hand.text(), hand.text()
            assert "to the bench" in hand.rows()[-1]

    looking(home, steps, text=None, size=size, begin=begin)  # type: ignore[arg-type]


def test_what_is_due_stands_in_one_line_while_no_plate_runs(home: Path) -> None:
    """A new bath must be iodised: the form says so, and says nothing of it while a plate is on the bench."""
    put_bottle(home, "bath", "B-2", recipe="silver-bath")

    async def steps(hand: Looker) -> None:
        text = await hand.wait("due: ")
        assert "iodise" in text and "B-2" in text
        go_to(hand, "bottle bath")
        on_form(hand).draw()
        assert "B-2: 0 plates, iodise" in hand.text()
        await bring_to(hand, "sensitise", "running")
        hand.tool.home()
        await hand.wait("on the bench:")
        assert "due: " not in hand.text()

    looking(home, steps, text=None)


def test_none_is_chosen_by_hand_and_remembered(home: Path) -> None:
    """An only bottle can be left out: it stays out, and the bench says that it is not counted."""
    put_bottle(home, "fixer", "F-1")

    async def steps(hand: Looker) -> None:
        await hand.wait(lambda text: on_form(hand).form.fields[-1].id and "F-1" in text)
        go_to(hand, "bottle fixer")
        await hand.press("left")
        assert on_form(hand).values["bottle fixer"] == "" and "not chosen" in hand.text()
        assert hand.tool.form.no_bottles == ["fixer"]
        go_through_sheet(home, hand.tool.services.bench_id)
        await hand.press("enter")
        await hand.wait("no fixer bottle is chosen: it is not counted")
        assert hand.tool.session.bench.plates[NEW].start.bottle_ids is None
        hand.tool.session.take_off_new()
        hand.tool.home()
        await hand.wait("fixer bottle")
        await hand.pilot.pause(0.2)
        assert on_form(hand).values["bottle fixer"] == ""
        hand.tool.again()
        await hand.until(lambda: NEW in hand.tool.session.bench.plates)
        assert hand.tool.session.bench.plates[NEW].start.bottle_ids is None

    looking(home, steps, text=None)


def test_a_cyanide_bottle_is_offered_to_a_cyanide_process_alone(home: Path) -> None:
    """Chosen for it, it leaves the row with the process; what stood from another day is not taken either."""
    cyanide, hypo = put_bottle(home, "fixer", "K-1", recipe="cyanide"), put_bottle(home, "fixer", "F-1")
    begin = with_form(bottles={"fixer": "K-1"}, bottle_ids={"fixer": cyanide})

    async def steps(hand: Looker) -> None:
        await hand.wait(lambda text: on_form(hand).values.get("bottle fixer") == "F-1")
        field = on_form(hand).form.at("bottle fixer")
        assert "K-1" not in field.options and "K-1" not in hand.text()
        process = on_form(hand).form.at("process")
        go_to(hand, "process")
        while process.value != "clear-glass-cyanide":
            await hand.press("right")
        assert field.options == ("", "F-1", "K-1")  # what F-1 holds nobody knows
        go_to(hand, "bottle fixer")
        while field.value != "K-1":
            await hand.press("right")
        assert "K-1: holds cyanide" in hand.text()
        go_to(hand, "process")
        while process.value != "clear-glass":
            await hand.press("left")
        assert field.value == "F-1"
        assert on_form(hand)._plate_form().bottle_ids == {"fixer": hypo}

    looking(home, steps, text=None, begin=begin)  # type: ignore[arg-type]


def test_what_was_ticked_today_is_not_due_on_the_form(home: Path) -> None:
    """It was seen on the day's sheet; the bottle's own row still says it."""
    put_bottle(home, "bath", "B-2", recipe="silver-bath")

    async def steps(hand: Looker) -> None:
        await hand.wait("due: ")
        services = hand.tool.services
        for due in services.bottles.known.dues:
            at, line = services.now_at(), id_of(due)
            services.day_book.add(lambda n, at=at, line=line: SeenTo(n=n, at=at, up=0.0, id=line), at)  # type: ignore[misc]
        go_to(hand, "bottle bath")
        on_form(hand).draw()
        assert "due: " not in hand.text() and "B-2: 0 plates, iodise" in hand.text()

    looking(home, steps, text=None)
