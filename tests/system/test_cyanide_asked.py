"""`darkroom bench tintype-cyanide` in a real terminal: the question comes before the plate."""

from __future__ import annotations

from pathlib import Path

from tests.kit.photographer import Photographer, journal


def test_the_command_line_asks_about_cyanide(tmp_path: Path) -> None:
    """No leads to the form and writes nothing; yes leads to the bench, and the first strike writes it."""
    home = tmp_path / "home"
    hand = Photographer(home, 80, 24)
    with hand.terminal:
        hand.open("bench", "tintype-cyanide")
        hand.wait("Yes, confirmed")
        hand.press("space")
        hand.wait("to the bench")
        assert journal(home) == []
        hand.press("enter")
        hand.wait("Yes, confirmed")
        hand.press("down")
        hand.press("enter")
        hand.wait("Strike, pour, drain")
        hand.press("space")
        hand.terminal.wait_for(lambda _: journal(home) != [], 10)
    (lines,) = journal(home)
    assert [line["event"] for line in lines].count("acknowledged") == 1
