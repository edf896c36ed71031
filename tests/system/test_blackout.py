"""Keys in a blackout, in a real terminal: tell shows and writes nothing, go acts and ends it."""

from __future__ import annotations

from pathlib import Path

from tests.kit.menu import FIRST, move_to
from tests.kit.photographer import Photographer, journal, shortened
from tests.kit.terminal import Terminal

BLACK = {"000000", "default"}
QUIET = 0.5
"""Seconds without a byte after which a key has shown all that it shows: a clock on the screen shows more."""


def _is_dark(terminal: Terminal) -> bool:
    """Return whether every cell is empty on black."""
    cells = [cell for row in terminal.cells() for cell in row]
    return all(cell.text.isspace() and cell.background in BLACK for cell in cells)


def test_tell_leaves_a_blackout_dark_and_go_ends_it(tmp_path: Path) -> None:
    """Tell changes neither the black screen nor the journal; go begins the stage and the screen is back."""
    home = tmp_path / "home"
    hand = Photographer(home, 80, 24)
    with hand.terminal:
        hand.open("bench", str(shortened(tmp_path)))
        hand.strike("sensitise")
        hand.strike("drain")
        hand.called_to("LIFT")
        hand.press("escape")
        hand.wait(FIRST)
        move_to("Blackout", [hand.terminal])
        hand.press("space")
        hand.terminal.wait_until(lambda: _is_dark(hand.terminal))
        hand.terminal.settle(QUIET)
        before = journal(home)
        shown = len(hand.terminal.data)

        hand.press("0")
        hand.terminal.settle(QUIET)
        assert _is_dark(hand.terminal)
        hand.press("0")
        hand.terminal.settle(QUIET)
        assert _is_dark(hand.terminal)
        assert len(hand.terminal.data) == shown, "not a byte is drawn"
        assert journal(home) == before

        hand.press("space")
        hand.terminal.wait_until(lambda: len(journal(home)[0]) > len(before[0]))
        hand.wait("then expose")
        assert not _is_dark(hand.terminal)

    (lines,) = journal(home)
    told = lines[len(before[0]) :]
    assert [(line["event"], line["stage"]) for line in told if "stage" in line] == [
        ("stage_ended", "sensitise"),
        ("stage_started", "drain"),
    ]
