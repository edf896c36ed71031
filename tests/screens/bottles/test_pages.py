"""The list of bottles and one bottle on the screen: reached from anywhere, read in a thread."""

from __future__ import annotations

import os
import threading
from pathlib import Path

import pytest

from darkroom.log.bottles import files
from darkroom.log.catalogue import bottle_book
from darkroom.screens.bottles.bottle_screen import BottleScreen
from darkroom.screens.bottles.screen import BottlesScreen
from darkroom.screens.home.screen import HomeScreen
from darkroom.screens.log_list.screen import PlateListScreen
from darkroom.solutions import events as ev
from tests.kit.book_of_bottles import BENCH, put_bottle, put_shelf
from tests.kit.review_hand import Looker, bring_to, looking, put_plate


async def opened(hand: Looker) -> None:
    """Go to the list of bottles from the home screen, and wait until it is read."""
    await hand.wait("to the bench")
    await hand.press("f12")
    await hand.wait(lambda text: text.startswith("BOTTLES") and "reading" not in text.splitlines()[0])


def under_hand(hand: Looker) -> str:
    """Return the row that is reversed."""
    rows = hand.tool.screen.face._rows  # type: ignore[attr-defined]
    return next(
        ("".join(text for text, _ in row) for row in rows[:-1] if any(kind == "reversed" for _, kind in row)),
        "",
    )


def test_bottles_in_use_stand_first_and_say_what_is_due(home: Path) -> None:
    """States as headings, the discarded behind a key, what is due loud, a count in the heading."""
    put_shelf(home)

    async def steps(hand: Looker) -> None:
        await opened(hand)
        rows = [row.rstrip() for row in hand.rows()]
        assert [row.strip() for row in rows if row[1:4] in ("in ", "rip", "set", "dis")][:3] == [
            "in use  4",
            "ripening  1",
            "set aside  1",
        ]
        assert rows[0].endswith("4 of 7 in use, 2 due")
        assert "Filter" in hand.text() and " B-0 " not in hand.text()
        await hand.press("d")
        assert " B-0 " in hand.text() and "discarded  1" in hand.text()
        await hand.press("d")
        assert " B-0 " not in hand.text()

    looking(home, steps, text=None)


def held_back(monkeypatch: pytest.MonkeyPatch, module: object, name: str) -> threading.Event:
    """Let a function of a module wait for the event that is returned."""
    may_go = threading.Event()
    function = getattr(module, name)

    def slow(*args: object, **kwargs: object) -> object:
        may_go.wait(20)
        return function(*args, **kwargs)

    monkeypatch.setattr(module, name, slow)
    return may_go


def test_the_book_is_read_behind_the_page(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """While the disk is slow the page says so and keys work; the clocks of the bench do not wait."""
    put_shelf(home)
    may_go = held_back(monkeypatch, files, "read_shelf")

    async def steps(hand: Looker) -> None:
        await hand.wait("to the bench")
        await hand.press("f12")
        await hand.wait("reading the book …")
        await hand.press("n", "down", "enter", "p", "d")
        assert "BOTTLES" in hand.text()
        may_go.set()
        await hand.wait("of 7 in use")

    try:
        looking(home, steps, text=None)
    finally:
        may_go.set()


def test_the_bottles_are_there_before_the_plates_are_read(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A log that takes long to read keeps no bottle back; that nothing is known of plates is said."""
    put_shelf(home)
    may_go = held_back(monkeypatch, bottle_book, "bottle_book")

    async def steps(hand: Looker) -> None:
        await hand.wait("to the bench")
        await hand.press("f12")
        await hand.wait("reading the plates …")
        assert " B-1 " in hand.text() and " due" not in hand.rows()[0]
        await hand.press("down", "enter")
        text = await hand.wait("Its life")
        assert "reading the plates …" in text.splitlines()[0] and "plates     being read …" in text
        may_go.set()
        await hand.wait(lambda text: "reading" not in text.splitlines()[0])
        assert "due" in hand.rows()[0]

    try:
        looking(home, steps, text=None)
    finally:
        may_go.set()


def test_an_empty_book_says_how_a_bottle_comes_into_it(home: Path) -> None:
    """The key that enters one, and the commands."""

    async def steps(hand: Looker) -> None:
        await opened(hand)
        text = hand.text()
        assert "No bottle is in the book yet." in text and "n enters one here" in text
        assert "darkroom bottle new bath B-1" in text
        await hand.press("up", "down", "end", "enter", "space")
        assert "No bottle is in the book yet." in hand.text()

    looking(home, steps, text=None)


def test_a_bottle_opens_with_its_life_and_scrolls(home: Path) -> None:
    """Enter opens the bottle under the hand; arrows scroll; escape goes back to the same one."""
    put_shelf(home)

    async def steps(hand: Looker) -> None:
        await opened(hand)
        await hand.press("down")
        assert under_hand(hand).split()[0] == "B-1"
        await hand.press("enter")
        text = await hand.wait("Its life")
        assert text.startswith("B-1  bath") and "hydrometer of" in text and "rows more below" in text
        await hand.press("end")
        text = await hand.wait("made: bath B-1, recipe silver-bath")
        assert "more below" not in text
        await hand.press("home")
        await hand.wait("content    bath")
        await hand.press("escape")
        await hand.until(lambda: isinstance(hand.tool.screen, BottlesScreen))
        assert under_hand(hand).split()[0] == "B-1"

    looking(home, steps, text=None)


def test_the_page_reads_anew_what_another_program_wrote(home: Path) -> None:
    """A line of the commands stands there when the page is asked again; the same bottle is under the hand."""
    shelf = put_shelf(home)

    async def steps(hand: Looker) -> None:
        await opened(hand)
        await hand.press("down", "enter")
        await hand.wait("Its life")
        from darkroom.log.bottles.files import append

        append(
            home,
            shelf["B-1"],
            BENCH,
            lambda n: [ev.Note(n=n, at="2026-11-28T10:00:00.000+00:00", up=None, text="smells of ether")],
        )
        screen = hand.tool.screen
        assert isinstance(screen, BottleScreen) and screen.asker is not None
        screen.asker.ask()
        await hand.press("end")
        await hand.until(lambda: any("smells of ether" in t for row in screen._rows(80) for t, _ in row))

    looking(home, steps, text=None)


def test_function_keys_go_around_and_never_pile_up(home: Path) -> None:
    """F12 on a bottle goes back to the list, F2 to the log, F12 from there back to the list that stands."""
    put_shelf(home)

    async def steps(hand: Looker) -> None:
        await opened(hand)
        depth = len(hand.tool.screen_stack)
        await hand.press("f12")
        assert "this is the list of bottles" in hand.text()
        await hand.press("enter")
        await hand.wait("Its life")
        await hand.press("f12")
        await hand.until(lambda: isinstance(hand.tool.screen, BottlesScreen))
        assert len(hand.tool.screen_stack) == depth
        for _ in range(3):
            await hand.press("f2")
            await hand.until(lambda: isinstance(hand.tool.screen, PlateListScreen))
            await hand.press("f12")
            await hand.until(lambda: isinstance(hand.tool.screen, BottlesScreen))
        assert len(hand.tool.screen_stack) == depth
        await hand.press("escape")
        await hand.until(lambda: isinstance(hand.tool.screen, HomeScreen))

    looking(home, steps, text=None)


def test_what_cannot_be_read_is_one_line_and_a_key_shows_it_all(home: Path) -> None:
    """Torn files, a folder without a beginning: the others stand there, p shows every sentence."""
    put_shelf(home)
    for number, text in enumerate(("no line\n", '{"n":1}\n', "\x00\x1b[31m\n")):
        folder = home / "bottles" / f"20250101-000000-00000{number}"
        folder.mkdir()
        (folder / f"{BENCH}.jsonl").write_text(text, encoding="utf-8")
    os.mkfifo(home / "bottles" / "pipe")

    async def steps(hand: Looker) -> None:
        await opened(hand)
        assert "problems (p shows them)" in hand.text() and " B-1 " in hand.text()
        await hand.press("p")
        text = hand.text()
        told = " ".join(text.split())  # a long path breaks its sentence anywhere
        assert "What cannot be read" in told and told.count("not a line of a journal") >= 2
        assert "\x1b" not in text
        await hand.press("down", "pagedown", "home", "escape")
        assert " B-1 " in hand.text()

    looking(home, steps, text=None)


def test_calls_of_the_bench_stand_over_the_bottles(home: Path) -> None:
    """A plate on the bench is told of in the last rows; when it calls, escape goes straight to it."""
    put_shelf(home)

    async def steps(hand: Looker) -> None:
        await bring_to(hand, "sensitise", "running")
        hand.tool.home()
        await opened(hand)
        assert "safelight" in hand.text().lower() and " 1 " in hand.rows()[-2]
        await hand.later(600)
        await hand.wait("escape: to the bench")
        await hand.press("enter")
        await hand.wait("Its life")
        assert "escape: to the bench" in hand.text()
        await hand.press("escape")
        await hand.until(lambda: hand.tool.screen is hand.tool.bench_screen)

    looking(home, steps, text=None)


def test_at_the_bench_the_key_is_dead(home: Path) -> None:
    """F12 opens nothing over a plate."""
    put_shelf(home)

    async def steps(hand: Looker) -> None:
        put_plate(hand.tool)
        hand.tool.to_bench()
        await hand.press("f12")
        assert hand.tool.screen is hand.tool.bench_screen

    looking(home, steps, text=None)


def test_five_hundred_bottles_are_gone_through(home: Path) -> None:
    """Home and end, a page at a time, each bottle once; the hand is always in sight."""
    for number in range(500):
        put_bottle(home, f"B-{number}", ("bath", "fixer", "collodion")[number % 3], number % 90)

    async def steps(hand: Looker) -> None:
        await opened(hand)
        assert hand.rows()[0].rstrip().endswith("500 of 500 in use, 167 due")
        await hand.press("end")
        assert under_hand(hand)
        await hand.press("home")
        seen = [under_hand(hand).split()[0]]
        for _ in range(16):
            await hand.press("pagedown")
            seen.append(under_hand(hand).split()[0])
        assert len(set(seen)) == 16 and under_hand(hand)
        await hand.press("up", "pageup", "down", "space")
        assert under_hand(hand)

    looking(home, steps, text=None, size=(120, 40))
