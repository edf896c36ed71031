"""Odd places in the tool, by keys in a real terminal: nothing is lost or done without a word."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from tests.kit.audit import audit
from tests.kit.menu import FIRST, move_to
from tests.kit.photographer import Photographer, journal, shortened
from tests.kit.terminal import KEYS

BLACK = {"000000", "default"}


def _menu(hand: Photographer, label: str) -> None:
    """Choose a row of the menu."""
    hand.press("escape")
    hand.wait(FIRST)
    move_to(label, [hand.terminal])
    hand.press("space")


def test_a_plate_that_waits_is_not_forgotten_without_a_word(tmp_path: Path) -> None:
    """Leaving asks first; giving the plate up takes it off, and the form comes back with its words."""
    hand = Photographer(tmp_path / "home", 80, 24)
    with hand.terminal:
        hand.open("bench", "clear-glass", "--subject", "Jug and pear")
        hand.press("escape")
        hand.wait("New plate like the last")
        hand.press("z")
        hand.wait("that key does nothing here")
        hand.press("escape")
        hand.wait(lambda screen: "New plate like the last" not in screen)
        _menu(hand, "Leave")
        hand.wait("waits for its first press")
        hand.press("space")
        hand.wait("Press, then pour")
        _menu(hand, "Give this plate up")
        hand.wait("nothing of it is recorded")
        hand.press("down")
        hand.press("space")
        hand.wait("to the bench")
        hand.wait("Jug and pear")
        assert not list((tmp_path / "home").glob("plates/*/*/*.jsonl"))


def test_a_process_of_ones_own_is_put_on_the_bench_from_the_form(tmp_path: Path) -> None:
    """A file in the profiles folder is offered with the shipped ones, and works like them."""
    home = tmp_path / "home"
    (home / "profiles").mkdir(parents=True)
    os.rename(shortened(tmp_path), home / "profiles" / "short.yaml")
    hand = Photographer(home, 80, 24)
    with hand.terminal:
        hand.open()
        for _ in range(3):
            hand.terminal.send(KEYS["left"])
        hand.wait("‹ short ›")
        hand.press("enter")
        hand.go_through_sheet()
        hand.wait("Press, then pour")


def test_blackout_is_black_on_a_screen_in_daylight_too(tmp_path: Path) -> None:
    """The day theme's ground is white: blackout shows none of it, and the next key brings it back."""
    hand = Photographer(tmp_path / "home", 80, 24)
    with hand.terminal:
        hand.terminal.spawn([sys.executable, "-m", "darkroom"])
        hand.wait("to the bench")
        hand.terminal.send(KEYS["up"])
        hand.wait("‹ no ›")
        hand.terminal.send(KEYS["right"])
        hand.wait("‹ yes ›")
        hand.press("enter")
        hand.go_through_sheet()
        hand.wait("Press, then pour")
        hand.terminal.wait_until(lambda: hand.terminal.cells()[10][0].background == "ffffff")
        _menu(hand, "Blackout")
        hand.terminal.wait_for(lambda screen: not screen.strip())
        hand.terminal.wait_until(
            lambda: (
                {cell.background for row in hand.terminal.cells() for cell in row} <= {"000000", "default"}
            )
        )
        assert hand.terminal.data.rfind(b"\x1b]11;rgb:00/00/00") > hand.terminal.data.rfind(
            b"\x1b]11;rgb:ff/ff/ff"
        )
        hand.press("z")
        hand.wait("does nothing here")
        hand.terminal.wait_until(lambda: hand.terminal.cells()[10][0].background == "ffffff")


def test_the_log_is_looked_at_beside_a_running_bench(tmp_path: Path) -> None:
    """A second terminal opens the log alone: red only, the bench's own files untouched, left by escape."""
    home = tmp_path / "home"
    hand = Photographer(home, 80, 24)
    other = Photographer(home, 80, 24)
    with hand.terminal, other.terminal:
        hand.open("bench", "clear-glass", "--subject", "Jug and pear")
        hand.strike("sensitise")
        hand.terminal.wait_until(lambda: journal(home) != [])
        (plate,) = [lines[0]["plate"] for lines in journal(home)]
        hand.terminal.wait_until(lambda: plate in (home / "bench.json").read_text())
        book = (home / "bench.json").read_bytes()
        other.terminal.spawn([sys.executable, "-m", "darkroom", "log", "look"])
        other.wait("another darkroom is at the bench")
        other.wait("1, newest first")
        other.wait("Jug and pear")
        other.terminal.send(KEYS["f9"])
        other.wait("red stays: another darkroom is at the bench")
        other.terminal.send(KEYS["escape"])
        assert other.terminal.wait() == 0
        assert (home / "bench.json").read_bytes() == book
        hand.strike("drain")
        assert audit(other.terminal.data) == []
        other.terminal.spawn([sys.executable, "-m", "darkroom"])
        assert other.terminal.wait() == 2
        assert "the bench is held by another darkroom" in other.terminal.screen()
