"""A press that is meant for a plate that cannot wait never begins another plate by way of an open list."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from pathlib import Path

import pytest

from darkroom.bench import clocks, large_place
from darkroom.bench.view import bench_view
from darkroom.screens.bench.menu import open_menu
from darkroom.screens.widgets.chooser import PLATE_FIRST, Choice, Chooser
from darkroom.screens.widgets.clock_strip import CLOSE_FIRST, clock_rows
from darkroom.screens.widgets.prompt import Prompt
from darkroom.session.actions import MENU
from tests.kit.bench import Hand
from tests.kit.review_hand import Looker, bring_to, large, looking


def developing(
    home: Path, then: Callable[[Looker], Awaitable[None]], stage: str = "develop", phase: str = "running"
) -> None:
    """Open the tool with a plate that stands in this stage, and do something."""

    async def steps(hand: Looker) -> None:
        await bring_to(hand, stage, phase)
        await hand.pilot.pause()
        await then(hand)

    looking(home, steps, text=None)


def menu_of(hand: Looker) -> Chooser:
    """Return the open menu."""
    screen = hand.tool.screen
    assert isinstance(screen, Chooser)
    return screen


async def open_it(hand: Looker) -> Chooser:
    """Open the menu and wait until it stands."""
    open_menu(hand.tool)
    await hand.wait(MENU[0].label)
    return menu_of(hand)


async def to_the_call(hand: Looker) -> None:
    """Let the time pass to just after the zero of the large plate."""
    while True:
        zero = clocks.zero(large(hand))
        assert zero is not None
        left = zero - hand.tool.session.now()
        if left < -0.1:
            return
        await hand.later(min(0.9, left + 0.2))


def test_one_press_in_the_menu_begins_no_other_plate_and_ends_no_developer(home: Path) -> None:
    """Before the call one press of go closes the menu; the plate develops on, and none stands beside it."""

    async def steps(hand: Looker) -> None:
        menu = await open_it(hand)
        assert menu.no_row and PLATE_FIRST in hand.text()
        await hand.press("space")
        await hand.until(lambda: hand.tool.screen is hand.tool.bench_screen)
        assert len(hand.tool.session.bench.plates) == 1
        assert (large(hand).stage.name, large(hand).phase) == ("develop", "running")

    developing(home, steps)


def test_the_menu_closes_at_the_developers_call(home: Path) -> None:
    """The menu is gone at the zero, its lists too, and the next press of go ends the developer."""

    async def steps(hand: Looker) -> None:
        menu = await open_it(hand)
        menu.dismiss("temperatures")
        await hand.wait("Temperatures and humidity")
        await to_the_call(hand)
        await hand.until(lambda: hand.tool.screen is hand.tool.bench_screen)
        await hand.press("space")
        await hand.until(lambda: large(hand).stage.name != "develop")
        assert large(hand).done[-1].how == "strike"

    developing(home, steps)


def test_a_menu_opened_during_the_call_stays_and_go_leads_back(home: Path) -> None:
    """Opened while the developer calls it stands; one press closes it, the next one ends the developer."""

    async def steps(hand: Looker) -> None:
        await to_the_call(hand)
        menu = await open_it(hand)
        await hand.pilot.pause(0.3)
        assert hand.tool.screen is menu
        assert CLOSE_FIRST in hand.text()
        await hand.press("space")
        await hand.until(lambda: hand.tool.screen is hand.tool.bench_screen)
        assert large(hand).stage.name == "develop" and len(hand.tool.session.bench.plates) == 1
        await hand.pilot.pause(0.75)
        await hand.press("space")
        await hand.until(lambda: large(hand).stage.name != "develop")

    developing(home, steps)


def test_escape_and_go_reach_the_plate(home: Path) -> None:
    """Escape closes the menu over a developing plate that calls, and go then ends the developer."""

    async def steps(hand: Looker) -> None:
        await to_the_call(hand)
        await open_it(hand)
        await hand.press("escape")
        await hand.until(lambda: hand.tool.screen is hand.tool.bench_screen)
        await hand.pilot.pause(0.2)
        await hand.press("space")
        await hand.until(lambda: large(hand).stage.name != "develop")

    developing(home, steps)


def test_the_menu_closes_when_a_lead_in_ends(home: Path) -> None:
    """The developer begins by itself while the menu is open: the menu is gone."""

    async def steps(hand: Looker) -> None:
        await open_it(hand)
        await to_the_call(hand)
        await hand.until(lambda: hand.tool.screen is hand.tool.bench_screen)
        assert (large(hand).stage.name, large(hand).phase) == ("develop", "running")

    developing(home, steps, phase="lead_in")


def test_the_menu_closes_when_an_exposure_ends(home: Path) -> None:
    """The lens is capped by the clock while the menu is open: the menu is gone."""

    async def steps(hand: Looker) -> None:
        await open_it(hand)
        for _ in range(30):
            await hand.later(0.9)
            if large(hand).stage.name == "develop":
                break
        await hand.until(lambda: hand.tool.screen is hand.tool.bench_screen)
        assert (large(hand).stage.name, large(hand).phase) == ("develop", "ready")

    developing(home, steps, "expose")


@pytest.mark.parametrize(("arrow", "row"), [("down", 0), ("up", len(MENU) - 1), ("home", 0)])
def test_an_arrow_takes_a_row_and_go_chooses_it(home: Path, arrow: str, row: int) -> None:
    """Rows keep their places: the first arrow takes the first or the last row, which go then chooses."""

    async def steps(hand: Looker) -> None:
        menu = await open_it(hand)
        await hand.press(arrow)
        await hand.until(lambda: not menu.no_row)
        assert menu.highlighted == row and PLATE_FIRST not in hand.text()

    developing(home, steps)


def test_without_a_plate_that_cannot_wait_go_takes_the_first_row(home: Path) -> None:
    """Over a plate in the bath the first row is under the hand, and a call there closes no menu."""

    async def steps(hand: Looker) -> None:
        menu = await open_it(hand)
        assert not menu.no_row and menu.highlighted == 0
        await to_the_call(hand)
        await hand.pilot.pause(0.3)
        assert hand.tool.screen is menu and not menu.no_row

    developing(home, steps, "sensitise")


def test_a_question_for_dry_hands_and_a_typed_line_stay(home: Path) -> None:
    """A list with a row that go never chooses and a line in which words are typed stand on at the call."""

    async def steps(hand: Looker) -> None:
        sure = Chooser("Sure?", [Choice("no", "No"), Choice("yes", "Yes", sure=True)])
        hand.tool.push_screen(sure)
        await hand.wait("Sure?")
        assert not sure.no_row
        line = Prompt("Note on this plate")
        hand.tool.push_screen(line)
        await hand.wait("Note on this plate")
        await to_the_call(hand)
        await hand.pilot.pause(0.3)
        assert hand.tool.screen is line
        line.dismiss(None)
        await hand.until(lambda: hand.tool.screen is sure)
        await hand.pilot.pause(0.3)
        assert hand.tool.screen is sure

    developing(home, steps)


@pytest.mark.parametrize("later", [0.5, 14.0, 16.0, 40.0])
@pytest.mark.parametrize(
    "stage", ["ready", "sensitise", "drain", "lead_in", "expose", "exposed", "develop", "fix"]
)
def test_the_clocks_above_a_list_ask_for_no_press(stage: str, later: float) -> None:
    """What stands above a list says to close it before a press; nothing else there asks for one."""
    hand = Hand()
    hand.to_stage(stage)
    state = hand.bench.shown
    assert state is not None
    view = bench_view(hand.bench, state.since + later)
    text = "\n".join("".join(part for part, _ in row) for row in clock_rows(view, 80, 24))
    assert "press" not in text.replace(CLOSE_FIRST, "").lower()
    assert view.large is not None
    asks = "press" in view.large.do.lower() or view.large.question is not None
    assert (CLOSE_FIRST in text) == asks, text


def test_what_cannot_wait_is_the_first_claim() -> None:
    """A lead-in, the developer and the water after it cannot wait; a bath and the fixer can."""
    waits = {}
    for stage in ("sensitise", "drain", "lead_in", "develop", "fix"):
        hand = Hand()
        hand.to_stage(stage)
        state = hand.bench.shown
        assert state is not None
        waits[stage] = large_place.cannot_wait(hand.bench, state.since + 0.5)
    assert waits == {"sensitise": False, "drain": False, "lead_in": True, "develop": True, "fix": False}
