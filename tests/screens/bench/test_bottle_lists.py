"""Bottles in the menu of the bench: a role, then its bottle; and the varnish at the rack."""

from __future__ import annotations

from pathlib import Path

from msgspec.structs import replace

from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.bench.all_plates import NEW
from darkroom.bench.bottles import Bottle, bottle_at
from darkroom.screens.bench import bottle_lists
from darkroom.screens.bench.menu import open_menu
from darkroom.screens.start import build
from darkroom.screens.widgets.chooser import Chooser
from darkroom.session.plate_form import PlateForm
from tests.kit.bottle_files import put_bottle
from tests.kit.review_hand import Looker, bring_to, large, looking, put_plate


async def choose(hand: Looker, name: str, heading: str) -> None:
    """Choose a row of the list with this heading."""
    await hand.wait(heading)
    screen = hand.tool.screen
    assert isinstance(screen, Chooser)
    choice = next(choice for choice in screen.choices if name in (choice.id, choice.label))
    assert choice.why_not is None, choice
    screen.dismiss(choice.id)
    await hand.until(lambda: hand.tool.screen is not screen)


async def with_book(hand: Looker) -> None:
    """Wait until the book was read."""
    hand.tool.services.bottles.ask(hand.tool.from_thread)
    await hand.until(lambda: bool(hand.tool.services.bottles.known.told))


def test_a_bottle_changed_at_noon(home: Path) -> None:
    """The plate that is not in the developer yet takes the other one, as do the plates after it."""
    bath, developer = put_bottle(home, "bath", "B-1"), put_bottle(home, "developer", "D-2")
    put_bottle(home, "bath", "B-2")
    put_bottle(home, "developer", "D-1")  # of two none is taken unasked

    async def steps(hand: Looker) -> None:
        await with_book(hand)
        await bring_to(hand, "sensitise", "running")
        first = large(hand).plate
        await hand.wait("1 plate came back")  # this answer must not take the place of the next
        open_menu(hand.tool)
        await choose(hand, "bottle", "Menu")
        await choose(hand, "developer", "Change a bottle")
        await choose(hand, "D-2", "Which bottle? Developer")
        await hand.wait("developer D-2: plate 1 and the plates after")
        assert hand.tool.screen is hand.tool.bench_screen
        open_menu(hand.tool)
        await choose(hand, "bottle", "Menu")
        assert "developer: D-2" in await hand.wait("Change a bottle")
        await choose(hand, "bath", "Change a bottle")
        await choose(hand, "B-1", "Which bottle? Silver bath")
        await hand.wait("silver bath B-1: the plates after")  # this one lies in its bath
        for step in range(200):
            if large(hand).stage.name == "develop" and large(hand).phase == "running":
                break
            hand.tool.session.intend(want.Go(f"20260301-130000-{step:06d}", 1))
            hand.at_once(2.0)
        begun = [line for line in large(hand).lines if isinstance(line, ev.StageStarted)]
        assert [line.bottle_ids for line in begun if line.bottle_ids] == [{"developer": developer}]
        assert bottle_at(large(hand), "bath") is None and large(hand).plate == first
        process = hand.tool.services.processes.read("clear-glass")
        start = hand.tool.services.plate_from(hand.tool.form, process)
        assert start.bottle_ids == {"developer": developer, "bath": bath}

    looking(home, steps, text=None)


def test_the_row_is_dead_without_bottles(home: Path) -> None:
    """It keeps its place and says why; with a book alone for other roles these say why."""
    put_bottle(home, "bath", "B-1")

    async def steps(hand: Looker) -> None:
        await bring_to(hand, "coat", "running")
        hand.tool.session.bench = replace(hand.tool.session.bench, bottles=())
        open_menu(hand.tool)
        await hand.wait("Menu")
        screen = hand.tool.screen
        assert isinstance(screen, Chooser)
        row = next(choice for choice in screen.choices if choice.id == "bottle")
        assert row.why_not == "the book has no bottle in use"
        screen.dismiss(None)
        await with_book(hand)
        open_menu(hand.tool)
        await choose(hand, "bottle", "Menu")
        await hand.wait("Change a bottle")
        roles = hand.tool.screen
        assert isinstance(roles, Chooser)
        assert {row.id: bool(row.why_not) for row in roles.choices} == {
            "collodion": True, "bath": False, "developer": True, "fixer": True, "varnish": True,
        }  # fmt: skip

    looking(home, steps, text=None)


def test_a_plate_from_the_rack_is_asked_for_its_varnish(home: Path) -> None:
    """The varnish taken last comes first; the start of varnishing says it, and a list of one is asked too."""
    varnish = put_bottle(home, "varnish", "V-1")
    put_bottle(home, "varnish", "V-2")

    async def steps(hand: Looker) -> None:
        await with_book(hand)
        await bring_to(hand, "wash", "running")
        hand.at_once(1800.0)
        hand.tool.session.intend(want.Go())
        hand.at_once(600.0)
        plate = hand.tool.session.bench.rack[0].plate
        for stage in ("rack", f"take {plate}"):
            if stage == "rack":
                open_menu(hand.tool)
            await choose(hand, stage, "Menu" if stage == "rack" else "From the rack")
        await choose(hand, "V-1", "Which bottle? Varnish")
        await hand.until(lambda: not hand.tool.session.bench.rack)
        for _ in range(3):
            hand.tool.session.intend(want.Go())
            hand.at_once(5.0)
            if large(hand).stage.name == "varnish":
                break
        assert bottle_at(large(hand), "varnish") == Bottle(id=varnish, name="V-1")
        assert large(hand).start.bottle_ids is None

    looking(home, steps, text=None)


def test_a_plate_that_has_not_begun_takes_the_change_itself(home: Path) -> None:
    """Its first line has the bottle: it was never put on the bench with another."""
    bath = put_bottle(home, "bath", "B-1")

    async def steps(hand: Looker) -> None:
        await with_book(hand)
        put_plate(hand.tool)
        hand.tool.to_bench()
        bottle = hand.tool.session.bench.bottles[0]
        hand.tool.change_bottle("bath", bottle)
        assert hand.tool.session.bench.plates[NEW].start.bottle_ids == {"bath": bath}
        bottle_lists._change(hand.tool, "bath", bottle)
        await hand.wait("silver bath B-1: this plate and the plates after")

    looking(home, steps, text=None)


def test_a_changed_bottle_outlives_the_program(home: Path) -> None:
    """Killed before the stage began, the tool still knows which bottle was chosen for it."""
    put_bottle(home, "developer", "D-2")
    plates: list[str] = []

    async def steps(hand: Looker) -> None:
        await with_book(hand)
        await bring_to(hand, "sensitise", "running")
        plates.append(large(hand).plate)
        hand.tool.change_bottle("developer", hand.tool.session.bench.bottles[0])
        await hand.pilot.pause(0.1)

    looking(home, steps, text=None)
    again = build(home)
    try:
        chosen = again.session.bench.changed_bottles
        assert list(chosen) == plates and list(chosen[plates[0]]) == ["developer"]
    finally:
        again.close()


def test_a_cyanide_bottle_is_in_no_list_of_a_hypo_plate(home: Path) -> None:
    """Its recipe tells what it holds: for hypo it is not offered, a bottle that nobody knows is."""
    put_bottle(home, "fixer", "K-1", recipe="cyanide")
    put_bottle(home, "fixer", "F-1", recipe="hypo")
    put_bottle(home, "fixer", "F-2")

    async def offered(hand: Looker, process: str) -> set[str]:
        hand.tool.session.put_on(
            hand.tool.services.plate_from(PlateForm(), hand.tool.services.processes.read(process))
        )
        hand.tool.to_bench()
        bottle_lists.change_bottle(hand.tool, NEW)
        await choose(hand, "fixer", "Change a bottle")
        await hand.wait("Which bottle? Fixer")
        screen = hand.tool.screen
        assert isinstance(screen, Chooser)
        names = {choice.label for choice in screen.choices}
        told = {choice.label: choice.help for choice in screen.choices}
        assert all("0 plates" in help_text for help_text in told.values())
        assert "K-1" not in told or told["K-1"].startswith("K-1: holds cyanide; ")
        screen.dismiss(None)
        hand.tool.session.take_off_new()
        return names

    async def steps(hand: Looker) -> None:
        await with_book(hand)
        assert await offered(hand, "clear-glass") == {"F-1", "F-2"}
        assert await offered(hand, "clear-glass-cyanide") == {"K-1", "F-2"}

    looking(home, steps, text=None)
