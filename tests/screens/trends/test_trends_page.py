"""The page of trends: worked out behind the screen, gone through with the arrows, red like all others."""

from __future__ import annotations

import threading
from datetime import datetime
from pathlib import Path

import pytest

from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.query import Query
from darkroom.screens.trends import screen as page_of_trends
from darkroom.screens.trends.screen import TrendsScreen
from tests.kit import fault_season, season
from tests.kit.review_hand import Looker, looking


@pytest.fixture
def plates(home: Path) -> list[Path]:
    """Return the journals of a season of 120 plates, in the catalogue already."""
    journals = season.write(home, 120, seed=5, days=20)
    with Catalogue(home) as catalogue:
        catalogue.check()
    return journals


def titles(hand: Looker) -> str:
    """Return the first row."""
    return hand.rows()[0]


async def opened(hand: Looker, query: Query | None = None) -> None:
    """Open the page and wait for the first trend."""
    hand.tool.push_screen(TrendsScreen(query or Query()))
    await hand.wait(lambda text: text.startswith(("1 of", "TRENDS  1 of")))


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (200, 60)])
def test_the_plot_fills_the_page(home: Path, plates: list[Path], size: tuple[int, int]) -> None:
    """Title, plot, words and keys: as many rows as the screen has, each as long."""

    async def steps(hand: Looker) -> None:
        await opened(hand)
        rows = hand.rows()
        assert [len(row) for row in rows] == [size[0]] * size[1]
        assert "over the temperature of the" in rows[0]
        assert any("┌" in row for row in rows[1:4]) and any("└" in row for row in rows[size[1] // 2 :])
        text = hand.text()
        assert "with an assumed temperature left out" in text and "°C" in text and "plates" in text
        assert "another trend" in rows[-1] and "escape back" in rows[-1]

    looking(home, steps, size=size)


def test_the_arrows_go_through_all_trends_and_around(home: Path, plates: list[Path]) -> None:
    """Right and down go on, left and up go back, the last is followed by the first; escape leaves."""

    async def steps(hand: Looker) -> None:
        await opened(hand)
        number = int(titles(hand).split(" of ")[1].split()[0])
        seen = {titles(hand)}
        for _ in range(number - 1):
            await hand.press("right")
            seen.add(titles(hand))
        assert len(seen) == number and titles(hand).startswith(f"{number} of {number}")
        await hand.press("down")
        assert titles(hand).startswith(f"1 of {number}")
        await hand.press("left")
        assert titles(hand).startswith(f"{number} of {number}")
        await hand.press("home")
        assert titles(hand).startswith(f"1 of {number}")
        for phrase in ("faults of drying over the share", "clearing time over the plates", "stars against"):
            assert any(phrase in title for title in seen)
        await hand.press("escape")
        await hand.wait("PLATES")

    looking(home, steps)


def test_the_last_page_says_what_the_speed_lacks(home: Path, plates: list[Path]) -> None:
    """Behind the trends stands what is missing for the speed of the plates, and what a speed takes."""

    async def steps(hand: Looker) -> None:
        await opened(hand)
        await hand.press("end")
        number = titles(hand).split()[0]
        assert titles(hand).startswith(f"{number} of {number}   speed of the plates")
        assert "what is missing for a trend" in titles(hand)
        assert "No judged plate tells its speed yet." in hand.text()
        assert "It takes the f-number, the light, and a judgement" in hand.text()
        await hand.press("right")
        assert titles(hand).startswith("1 of")

    looking(home, steps)


def test_page_down_goes_to_the_next_kind(home: Path, plates: list[Path]) -> None:
    """From times over temperature to faults, drying, fixer, stars, other times, what lacks, around."""

    async def steps(hand: Looker) -> None:
        await opened(hand)
        phrases = (
            "plates with",
            "faults of drying",
            "clearing time",
            "stars against",
            "over the temperature",
            "speed of the plates",
            "over the temperature",
        )
        for phrase in phrases:
            await hand.press("pagedown")
            assert phrase in titles(hand)
        assert titles(hand).startswith("1 of")
        await hand.press("pageup", "pageup", "pageup")
        assert "stars against" in titles(hand)

    looking(home, steps)


def test_a_console_without_signs_gets_ascii(home: Path, plates: list[Path]) -> None:
    """Where the terminal has no half blocks the whole plot is ASCII, but for the degree sign."""

    async def steps(hand: Looker) -> None:
        hand.tool.blocks = "spaces"
        await opened(hand)
        plot = "".join(hand.rows()[1:-1])
        assert all(sign.isascii() or sign in "°" for sign in plot)
        assert "*" in plot and "+----" in plot

    looking(home, steps)


def test_a_small_screen_has_the_words(home: Path, plates: list[Path]) -> None:
    """At 30 x 8 there is no room for a plot: what it says is told."""

    async def steps(hand: Looker) -> None:
        await opened(hand)
        assert [len(row) for row in hand.rows()] == [30] * 8
        assert "sensitise over the temp" in hand.text() and "┌" not in hand.text()
        assert "of what the process says" in hand.text()

    looking(home, steps, size=(30, 8))


def test_only_the_plates_of_the_filter_are_told_of(home: Path, plates: list[Path]) -> None:
    """Opened from a list filtered by process, the trends are of that process."""

    async def steps(hand: Looker) -> None:
        await opened(hand, Query(process="Tintype"))
        for _ in range(2):
            assert titles(hand).rstrip().endswith("Tintype")
            await hand.press("right")
        number = int(titles(hand).split(" of ")[1].split()[0])
        for _ in range(number):
            assert not titles(hand).rstrip().endswith(("ambrotype", "negative"))
            await hand.press("right")

    looking(home, steps)


def test_f4_on_the_list_opens_it(home: Path, plates: list[Path]) -> None:
    """The list's own key opens the trends of what it shows."""

    async def steps(hand: Looker) -> None:
        await hand.wait("120, newest first")
        await hand.type("process:tintype")
        await hand.wait("of 120")
        await hand.press("f4")
        await hand.wait(lambda text: text.startswith("1 of"))
        assert titles(hand).rstrip().endswith("Tintype")

    looking(home, steps)


def test_a_log_without_trends_says_what_is_needed(home: Path) -> None:
    """An empty log: what a trend needs, in words."""

    async def steps(hand: Looker) -> None:
        hand.tool.push_screen(TrendsScreen(Query()))
        await hand.wait("none yet")
        assert "temperature" in hand.text() and "0 rated plates" in hand.text()
        await hand.press("right", "left", "end")

    looking(home, steps)


def test_what_goes_wrong_is_said(home: Path, plates: list[Path], monkeypatch: pytest.MonkeyPatch) -> None:
    """A catalogue that cannot be asked ends in a sentence, and escape still leaves."""

    def fails(*_: object) -> None:
        raise OSError("the disk\x1b[31m is gone")

    monkeypatch.setattr(page_of_trends.TrendsScreen, "_read", fails)

    async def steps(hand: Looker) -> None:
        hand.tool.push_screen(TrendsScreen(Query()))
        text = await hand.wait("cannot be looked at")
        assert "is gone" in text and "\x1b" not in text
        await hand.press("right", "escape")
        await hand.wait("PLATES")

    looking(home, steps)


def test_nothing_waits_while_the_log_is_read(
    home: Path, plates: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """While a thread of its own reads, keys are taken; leaving the page drops what comes late."""
    may_read = threading.Event()
    done = threading.Event()
    read_trends = TrendsScreen._read

    def slow(self: TrendsScreen, where: Path) -> object:
        may_read.wait(20)
        trends = read_trends(self, where)
        done.set()
        return trends

    monkeypatch.setattr(TrendsScreen, "_read", slow)

    async def steps(hand: Looker) -> None:
        hand.tool.push_screen(TrendsScreen(Query()))
        await hand.wait("reading the log")
        await hand.press("right")
        assert hand.text().startswith("TRENDS")
        await hand.press("escape")
        await hand.wait("PLATES")
        may_read.set()
        assert done.wait(20)
        await hand.pilot.pause(0.1)
        assert hand.text().startswith("PLATES")

    looking(home, steps)


def test_a_plot_is_drawn_once_for_a_trend_and_a_size(
    home: Path, plates: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The page is painted twice a second for the bench's clocks; the plot is not drawn anew for that."""
    sizes: list[tuple[int, int]] = []
    draw_page = page_of_trends.page

    def counted(picture: object, columns: int, rows: int, *simple: bool) -> object:
        sizes.append((columns, rows))
        return draw_page(picture, columns, rows, *simple)  # type: ignore[arg-type]

    monkeypatch.setattr(page_of_trends, "page", counted)

    async def steps(hand: Looker) -> None:
        await opened(hand)
        for _ in range(5):
            hand.tool.screen.draw()  # type: ignore[attr-defined]
        assert len(sizes) == 1
        await hand.press("right")
        assert len(sizes) == 2

    looking(home, steps)


def test_a_log_never_read_is_filled_by_a_program_of_its_own(home: Path) -> None:
    """Without a catalogue the page fills it first, and then tells its trends."""
    season.write(home, 60, seed=5, days=20)

    async def steps(hand: Looker) -> None:
        await opened(hand)

    looking(home, steps, text=None)


def test_the_share_of_a_fault_is_a_trend_with_what_changed(home: Path) -> None:
    """At 80 × 24: the share by day, the new developer as a letter on the axis, its name and counts below."""
    last_day = datetime(2026, 5, 20, 10).astimezone()
    for number in range(1, fault_season.PLATES + 1):
        fault_season.shelve_plate(home, number, last_day, {})

    async def steps(hand: Looker) -> None:
        await opened(hand)
        await hand.press("pagedown", "pagedown")  # past the speed of the plates
        rows = hand.rows()
        assert [len(row) for row in rows] == [80] * 24
        assert "plates with general fog" in rows[0] and rows[0].rstrip().endswith("by day")
        (axis,) = [row for row in rows if "└" in row and "┘" in row]
        assert axis.count("a") == 1
        text = hand.text()
        assert "39 judged plates, 4 with it (10 %)" in text and "1 not judged left out" in text
        assert "most changed at a: 0 of the last 15 plates before it, 4 of 10 from it on" in text
        assert "a 05-19 developer D-4" in text

    looking(home, steps)
