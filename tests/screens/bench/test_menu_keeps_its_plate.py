"""A list or a typed line acts on the plate for which it was opened, whichever is large by then."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from pathlib import Path

from darkroom.bench import clocks
from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.screens.bench.menu import open_menu
from darkroom.screens.widgets.chooser import Chooser
from darkroom.screens.widgets.prompt import Prompt
from darkroom.session.actions import MENU
from tests.kit.review_hand import Looker, bring_to, large, looking, put_plate

FIRST, SECOND = 1, 2


def _keys(hand: Looker) -> dict[int, str]:
    """Return the keys of the plates by their numbers."""
    return {state.number: key for key, state in hand.tool.session.bench.plates.items()}


async def _first_washes_second_in_the_bath(hand: Looker) -> None:
    """Bring plate 1 into its wash and plate 2 into the bath, with plate 1 looked at."""
    session = hand.tool.session
    await bring_to(hand, "wash", "running")
    put_plate(hand.tool)
    session.intend(want.Go("20260301-130000-000002", SECOND))
    for _ in range(60):
        hand.at_once(0.9)
        if (large(hand).number, large(hand).stage.name) == (SECOND, "sensitise"):
            break
        if hand.ahead % 3 < 0.9:
            session.intend(want.Go())
    session.intend(want.Look(1))
    assert large(hand).number == FIRST
    await hand.pilot.pause()


async def _until_the_second_is_large(hand: Looker) -> None:
    """Let time pass until the bath's call is near, and plate 2 large for more than a second."""
    zero = clocks.zero(hand.tool.session.bench.plates[_keys(hand)[SECOND]])
    assert zero is not None
    hand.at_once(zero - 8.0 - hand.tool.session.now())
    await hand.pilot.pause()
    assert large(hand).number == SECOND


def _two_plates(home: Path, then: Callable[[Looker], Awaitable[None]]) -> None:
    async def steps(hand: Looker) -> None:
        await _first_washes_second_in_the_bath(hand)
        await then(hand)

    looking(home, steps, text=None)


async def _choose(hand: Looker, name: str) -> None:
    """Open the menu for plate 1 and choose a row."""
    open_menu(hand.tool)
    await hand.wait(MENU[0].label)
    screen = hand.tool.screen
    assert isinstance(screen, Chooser)
    screen.dismiss(name)
    await hand.until(lambda: hand.tool.screen is not screen)


def _last(hand: Looker, number: int) -> ev.AnyEvent:
    return hand.tool.session.bench.plates[_keys(hand)[number]].lines[-1]


def test_a_plate_given_up_is_the_one_the_list_was_opened_for(home: Path) -> None:
    """The list of reasons of plate 1 says so while plate 2 is large, and gives up plate 1 alone."""

    async def steps(hand: Looker) -> None:
        await _choose(hand, "abandon")
        await hand.wait("Give this plate up: why?")
        assert "Plate 1: Give" not in hand.text()
        await _until_the_second_is_large(hand)
        await hand.wait("Plate 1: Give this plate up: why?")
        await hand.press("down")
        await hand.pilot.pause(0.2)
        await hand.press("enter")
        await hand.until(lambda: hand.tool.screen is hand.tool.bench_screen)
        assert isinstance(_last(hand, FIRST), ev.PlateEnded)
        second = hand.tool.session.bench.plates[_keys(hand)[SECOND]]
        assert (second.on_bench, second.stage.name, large(hand).number) == (True, "sensitise", SECOND)
        assert hand.tool.session.answer is not None
        assert hand.tool.session.answer.text == "plate 1: given up"

    _two_plates(home, steps)


def test_typed_words_go_to_the_plate_they_were_typed_for(home: Path) -> None:
    """A note begun over plate 1 is plate 1's, though plate 2 became large while it was typed."""

    async def steps(hand: Looker) -> None:
        await _choose(hand, "note")
        await hand.until(lambda: isinstance(hand.tool.screen, Prompt))
        await hand.type("a lint")
        await _until_the_second_is_large(hand)
        await hand.wait("Plate 1: Note on this plate")
        await hand.press("enter")
        await hand.until(lambda: hand.tool.screen is hand.tool.bench_screen)
        note = _last(hand, FIRST)
        assert isinstance(note, ev.Note) and note.text == "a lint"
        assert not any(
            isinstance(line, ev.Note) for line in hand.tool.session.bench.plates[_keys(hand)[SECOND]].lines
        )

    _two_plates(home, steps)


def test_a_row_of_the_menu_acts_on_its_own_plate(home: Path) -> None:
    """The menu opened over plate 1 leaves out plate 1's stage, not the bath of plate 2."""

    async def steps(hand: Looker) -> None:
        open_menu(hand.tool)
        await hand.wait(MENU[0].label)
        await _until_the_second_is_large(hand)
        await hand.wait("Plate 1: Menu")
        screen = hand.tool.screen
        assert isinstance(screen, Chooser)
        before = hand.tool.session.bench.plates[_keys(hand)[SECOND]].lines
        screen.dismiss("skip")
        await hand.until(lambda: hand.tool.screen is hand.tool.bench_screen)
        assert hand.tool.session.bench.plates[_keys(hand)[SECOND]].lines == before
        first = hand.tool.session.bench.plates[_keys(hand)[FIRST]]
        assert (first.done[-1].stage, first.done[-1].how) == ("wash", "skipped")

    _two_plates(home, steps)
