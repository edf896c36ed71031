"""The page of one plate in the tool: scrolled, as the journal is now; a late strike moved from it."""

from __future__ import annotations

import errno
from pathlib import Path

import pytest

from darkroom.bench import events as ev
from darkroom.log.journal.merge import read_plate
from darkroom.log.plate.account import account
from darkroom.log.store import durable
from darkroom.screens.app import Tool
from darkroom.screens.log_plate.screen import PlateScreen
from darkroom.screens.widgets.chooser import Chooser
from darkroom.screens.widgets.prompt import Prompt
from tests.kit.catalogue import by_hand, note
from tests.kit.log_commands import journal
from tests.kit.plates import forgotten, judged, put
from tests.kit.review_hand import Looker, looking


async def opened(hand: Looker, path: Path) -> str:
    """Open the page of a plate; return its text."""
    hand.tool.push_screen(PlateScreen(path))
    return await hand.wait("PLATE 12  Trial: Apple tree")


@pytest.mark.parametrize("size", [(30, 8), (80, 24), (120, 40), (200, 60)])
def test_the_page_fills_any_screen(home: Path, size: tuple[int, int]) -> None:
    """Every row has as many cells as the screen has columns; scrolled to either end there is no gap."""
    path = put(home, judged(forgotten()))

    async def steps(hand: Looker) -> None:
        hand.tool.push_screen(PlateScreen(path))
        await hand.wait(lambda text: text.startswith("PLATE 12"))
        seen = ""
        for _ in range(80):
            assert [len(row) for row in hand.rows()] == [size[0]] * size[1]
            seen += hand.text()
            if "more below" not in hand.text():
                break
            await hand.press("pagedown")
        assert "ITS JOURNAL" in seen and "STAGES" in seen
        await hand.press("home")
        assert "4 of 5 stars" in hand.text()
        await hand.press("end", "up", "down")
        assert "more below" not in hand.text()

    looking(home, steps, text=None, size=size)


def test_the_first_screen_tells_the_judgement_and_the_line(home: Path) -> None:
    """At 80 x 24: plate, process, day and end in the heading; stars, advice, all stages without a scroll."""
    path = put(home, judged(forgotten()))

    async def steps(hand: Looker) -> None:
        text = await opened(hand, path)
        assert hand.rows()[0].rstrip().endswith("1 Mar 2026  done")
        for phrase in (
            "4 of 5 stars",
            "next time  pour faster",
            "coat",
            "warm",
            "9:10, usual 0:15–0:30, late",
        ):
            assert phrase in text
        assert " ".join(hand.rows()[-1].split()).startswith("j judge m move a strike")

    looking(home, steps, text=None)


def test_a_console_without_blocks_gets_plain_signs(home: Path) -> None:
    """Where the terminal has no block characters the page is drawn without them."""
    path = put(home, judged(forgotten()))

    async def steps(hand: Looker) -> None:
        text = await opened(hand, path)
        assert "sensitise" in text and "usual 0:10-0:30" in text
        assert set(text) <= set(map(chr, range(32, 127))) | {"\n"}

    def begin(tool: Tool) -> None:
        tool.blocks = "spaces"

    looking(home, steps, text=None, begin=begin)


def test_a_line_added_elsewhere_shows(home: Path) -> None:
    """A note appended to the journal by another program is on the page within seconds, where one stands."""
    path = put(home, judged(forgotten()))

    async def steps(hand: Looker) -> None:
        assert "through a loupe" not in await opened(hand, path)
        by_hand(path, note(len(journal(path)) + 1, "seen through a loupe"))
        await hand.wait("note       seen through a loupe", 5)

    looking(home, steps, text=None)


def test_a_late_strike_is_moved_from_the_page(home: Path) -> None:
    """m offers the late strike first; eight minutes later it is no longer late, and "back" puts it back."""
    path = put(home, judged(forgotten()))
    before = path.read_bytes()

    async def steps(hand: Looker) -> None:
        assert "drain looks late: 9:10" in await scrolled(hand, path)
        await _chosen(hand)
        await hand.type("20 min")
        await hand.press("enter")
        assert isinstance(hand.tool.screen, Prompt), "no further than the strike before it"
        assert path.read_bytes() == before
        await hand.press("ctrl+u")
        await hand.type("8 min")
        await hand.press("enter")
        text = await hand.wait("end of drain moved 8 min earlier")
        assert "1:10, usual 0:15–0:30\n" in text and "drain looks late" not in text
        line = read_plate(path).events[-1]
        assert isinstance(line, ev.Moved) and (line.up, line.seconds) == (None, -480.0)
        assert path.read_bytes().startswith(before)
        await hand.press("m")
        await hand.pilot.pause(0.1)
        labels = [choice.label for choice in hand.tool.screen.choices]  # type: ignore[attr-defined]
        assert labels[0].startswith("clearing of fix: looks late")
        assert "end of drain, moved 8 min earlier" in labels
        for _ in range(len(labels) - labels.index("end of drain, moved 8 min earlier")):
            await hand.press("up")
            await hand.pilot.pause(0.4)  # the list takes a handful of keys for one
        await hand.press("enter")
        await hand.pilot.pause(0.2)
        await hand.type("back")
        await hand.press("enter")
        await hand.wait("9:10, usual 0:15–0:30, late")
        assert account(read_plate(path)).stages[2].seconds == 550.0

    looking(home, steps, text=None)


async def scrolled(hand: Looker, path: Path) -> str:
    """Open the page and go to where late strikes are told; return all that was seen."""
    seen = await opened(hand, path)
    for _ in range(3):
        await hand.press("down", "down", "down", "down")
        seen += hand.text()
    await hand.press("home")
    return seen


async def _chosen(hand: Looker) -> None:
    await hand.press("m")
    await hand.pilot.pause(0.1)
    screen = hand.tool.screen
    assert isinstance(screen, Chooser)
    assert screen.choices[0].label == "end of drain: looks late: 9:10, usually 0:15 to 0:30"
    await hand.pilot.pause(0.2)
    await hand.press("enter")
    await hand.pilot.pause(0.2)
    assert isinstance(hand.tool.screen, Prompt)


def test_a_move_the_disk_does_not_take_is_told(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A full disk: the page says so and shows the journal as it is."""
    path = put(home, judged(forgotten()))
    before = path.read_bytes()

    def full(fd: int, data: bytes) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    async def steps(hand: Looker) -> None:
        await opened(hand, path)
        await _chosen(hand)
        monkeypatch.setattr(durable, "write_once", full)
        await hand.type("1 min")
        await hand.press("enter")
        await hand.wait("not saved")
        assert path.read_bytes() == before
        assert "9:10, usual 0:15–0:30, late" in hand.text()

    looking(home, steps, text=None)
