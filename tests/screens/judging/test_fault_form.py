"""Faults in the judging form, by keys: lists with letters, questions, tests, nothing else, the image seen."""

from __future__ import annotations

import threading
from pathlib import Path
from typing import Any

import pytest
from textual import events

from darkroom import resources
from darkroom.faults.catalogue import Catalogue
from darkroom.screens.judging.screen import JudgingScreen
from darkroom.screens.widgets.pick_list import PickList
from tests.kit.log_commands import journal
from tests.kit.own_faults import put_own_faults
from tests.kit.plates import forgotten, put
from tests.kit.review_hand import Looker, looking

DRY = "Is the sheen there when the plate is dry?"


async def opened(hand: Looker, path: Path) -> JudgingScreen:
    """Open the form; wait until the faults are read."""
    hand.tool.open_screen("judging", path)
    await hand.wait("JUDGE PLATE 12")
    screen = hand.tool.screen
    assert isinstance(screen, JudgingScreen)
    await hand.until(lambda: "violet-bloom" in screen.judgement.catalogue.faults)
    return screen


async def to(hand: Looker, screen: JudgingScreen, name: str) -> None:
    """Go to a field by its id."""
    for _ in range(60):
        if screen.form.current.id == name:
            return
        await hand.press("down")
    raise AssertionError(f"no field {name}")


def said(path: Path, before: int) -> list[dict[str, Any]]:
    """Return the lines that were added, without number, time and sum."""
    return [
        {key: value for key, value in line.items() if key not in ("n", "at", "up", "sum")}
        for line in journal(path)[before:]
    ]


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
def test_a_fault_is_judged_from_lists(home: Path, size: tuple[int, int]) -> None:
    """Space opens the lists, letters find, a question is answered with the arrows; enter saves ids."""
    put_own_faults(home)
    path = put(home, forgotten())
    before = len(journal(path))

    async def steps(hand: Looker) -> None:
        screen = await opened(hand, path)
        await to(hand, screen, "first seen")
        await hand.type("4 s")
        await to(hand, screen, "fault 0")
        assert "space list" in hand.rows()[-1]
        await hand.press("space")
        await hand.wait("What is wrong with the plate?")
        await hand.type("violet")
        await hand.wait(lambda text: "corner and is seen best against black" in " ".join(text.split()))
        await hand.press("enter")
        await hand.wait(DRY)
        assert screen.form.current.id == "fault 0"
        await hand.press("down", "space")
        await hand.wait("Where on the plate?")
        assert "thumb's corner" in hand.rows()[4], "the usual place comes first"
        await hand.press("down", "enter")
        await hand.wait("thumb's corner")
        await hand.press("down", "right")
        await hand.wait(f"yes: {DRY}")
        await to(hand, screen, "cause 0")
        await hand.press("space")
        await hand.wait("What did it come from?")
        await hand.type("lid")
        await hand.press("enter")
        await hand.wait("lid of the box not closed")
        await to(hand, screen, "nothing else")
        await hand.press("right")
        await hand.wait("none, I looked for all")
        await hand.press("enter")
        await hand.until(lambda: hand.tool.screen is not screen)

    looking(home, steps, text=None, size=size)
    rating, fault, seen = said(path, before)
    assert fault == {
        "event": "fault",
        "name": "violet-bloom",
        "where": "thumb's corner",
        "cause": "loose lid",
        "answers": {DRY: "yes"},
    }
    assert seen == {"event": "detail", "key": "first seen", "value": "4 s"}
    assert {"violet-bloom", "crazed rim"} <= set(rating["nothing_else"])


def test_a_space_before_the_faults_are_read_is_no_word(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A hand that is faster than the disk is told so; once they are read space opens the list, and after
    letters that were deleted too."""
    put_own_faults(home)
    path = put(home, forgotten())
    disk = threading.Event()
    read = resources.fault_catalogue

    def slow(where: Path | None = None) -> tuple[Catalogue, list[str]]:
        assert disk.wait(30)
        return read(where)

    monkeypatch.setattr("darkroom.resources.fault_catalogue", slow)

    async def steps(hand: Looker) -> None:
        hand.tool.open_screen("judging", path)
        await hand.wait("JUDGE PLATE 12")
        screen = hand.tool.screen
        assert isinstance(screen, JudgingScreen)
        await to(hand, screen, "fault 0")
        await hand.press("space", "space")
        await hand.wait("the faults to choose from are not there yet")
        assert screen.form.current.value == "" and not screen.judgement.changed
        disk.set()
        await hand.until(lambda: "violet-bloom" in screen.judgement.catalogue.faults)
        await hand.type("v")
        await hand.press("backspace", "space")
        await hand.wait("What is wrong with the plate?")

    looking(home, steps, text=None)


def test_letters_are_letters_and_space_is_a_space(home: Path) -> None:
    """While a name is typed space belongs to it; own words are saved as they are, and it is said."""
    put_own_faults(home)
    path = put(home, forgotten())
    before = len(journal(path))

    async def steps(hand: Looker) -> None:
        screen = await opened(hand, path)
        await to(hand, screen, "fault 0")
        await hand.type("smoke in the sky")
        await hand.wait("not in the catalogue: kept as your words, nothing is inferred")
        await hand.press("ctrl+u", "space")
        await hand.wait("What is wrong with the plate?")
        await hand.type("grey wisps")
        await hand.press("enter")
        await hand.wait("fault         ‹ grey wisps")
        assert not isinstance(hand.tool.screen, PickList)
        await hand.press("enter")
        await hand.until(lambda: hand.tool.screen is not screen)

    looking(home, steps, text=None)
    assert said(path, before) == [{"event": "fault", "name": "grey wisps"}]


def test_left_and_right_step_through_the_faults(home: Path) -> None:
    """Each step names another fault, says how it looks, and asks what belongs to it."""
    put_own_faults(home)
    path = put(home, forgotten())

    async def steps(hand: Looker) -> None:
        screen = await opened(hand, path)
        await to(hand, screen, "fault 0")
        await hand.press("left")
        await hand.wait("a net of fine lines along the rim")
        assert DRY not in hand.text()
        await hand.press("left")
        await hand.wait(DRY)
        await hand.press("space")
        await hand.wait("What is wrong with the plate?")
        assert "crazed rim" in hand.text() and "violet bloom" in hand.text()
        await hand.press("escape")
        await hand.wait(DRY)
        assert screen.judgement.at("fault 0").value == "violet bloom"

    looking(home, steps, text=None)


def test_a_name_near_to_the_typed_one_is_taken_by_right(home: Path) -> None:
    """The hint says so; left only moves in the words, and where no name is near they stay as they are."""
    put_own_faults(home)
    path = put(home, forgotten())

    async def steps(hand: Looker) -> None:
        screen = await opened(hand, path)
        await to(hand, screen, "fault 0")
        await hand.type("Voilet blom")
        await hand.wait("Do you mean “violet bloom”? Right takes it.")
        await hand.press("left")
        assert screen.form.current.value == "Voilet blom"
        await hand.press("right")
        await hand.wait(DRY)
        assert screen.form.current.value == "violet bloom"
        await hand.press("ctrl+u")
        await hand.type("xqzk")
        await hand.press("right", "left")
        assert screen.form.current.value == "xqzk"

    looking(home, steps, text=None)


def test_what_was_answered_is_not_lost_by_left_and_right(home: Path) -> None:
    """A fault whose question is answered stays; space opens its list. Space answers no question."""
    put_own_faults(home)
    path = put(home, forgotten())

    async def steps(hand: Looker) -> None:
        screen = await opened(hand, path)
        await to(hand, screen, "fault 0")
        await hand.type("violet bloom")
        await to(hand, screen, "asked 0.0")
        await hand.press("space")
        await hand.wait("left and right choose")
        assert screen.form.current.value == ""
        await hand.press("right")
        await hand.wait(f"yes: {DRY}")
        for key in ("left", "right"):
            await to(hand, screen, "fault 0")
            await hand.press(key)
            await hand.wait("space changes the fault")
            assert screen.form.current.value == "violet bloom"
            assert screen.judgement.at("asked 0.0").value == "yes"
        await hand.press("space")
        await hand.wait("What is wrong with the plate?")

    looking(home, steps, text=None)


def test_a_broken_file_of_faults_is_named_and_the_rest_holds(home: Path) -> None:
    """The foot names the file with its line; the shipped faults are there all the same."""
    put_own_faults(home)
    broken = home / "profiles" / "faults" / "broken.yaml"
    broken.write_text("faults:\n  haze:\n    lokks: grey\n", encoding="utf-8")
    path = put(home, forgotten())

    async def steps(hand: Looker) -> None:
        await opened(hand, path)
        await hand.wait("broken.yaml")

    looking(home, steps, text=None)


def at_once(hand: Looker, *keys: str) -> None:
    """Press keys faster than a screen is opened or closed."""
    for key in keys:
        hand.tool.post_message(events.Key(key, {"space": " ", "enter": "\r"}.get(key, key)))


def test_keys_faster_than_a_list_opens_are_for_the_list(home: Path) -> None:
    """Space, letters and enter in one go take the row; nothing is typed into the form, or saved."""
    put_own_faults(home)
    path = put(home, forgotten())
    before = path.read_bytes()

    async def steps(hand: Looker) -> None:
        screen = await opened(hand, path)
        await to(hand, screen, "fault 0")
        at_once(hand, "space", *"violet", "enter")
        await hand.wait(DRY)
        assert hand.tool.screen is screen and screen.form.current.value == "violet bloom"
        assert not screen.saving and path.read_bytes() == before

    looking(home, steps, text=None)


@pytest.mark.parametrize("keys", [("enter", "escape"), ("escape", "enter")])
def test_a_key_faster_than_a_list_closes_closes_nothing_beneath(home: Path, keys: tuple[str, str]) -> None:
    """What was typed in the form stays typed."""
    put_own_faults(home)
    path = put(home, forgotten())

    async def steps(hand: Looker) -> None:
        screen = await opened(hand, path)
        await to(hand, screen, "fault 0")
        await hand.press("space")
        await hand.wait("What is wrong with the plate?")
        await hand.later(0.8)  # enter that is held acts once
        at_once(hand, *keys)
        await hand.until(lambda: not isinstance(hand.tool.screen, PickList))
        await hand.pilot.pause(0.1)
        assert hand.tool.screen is screen

    looking(home, steps, text=None)
