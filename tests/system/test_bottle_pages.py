"""The pages of the bottles in a real terminal: what is entered by keys, the command tells."""

from __future__ import annotations

import json
from pathlib import Path

from tests.kit.audit import audit
from tests.kit.photographer import Photographer, run


def test_a_bottle_is_entered_and_filtered_by_keys(tmp_path: Path) -> None:
    """A new bottle, and that it was filtered twice: both are in the book, and every cell was red."""
    home = tmp_path / "home"
    home.mkdir()
    hand = Photographer(home, 80, 24)
    with hand.terminal:
        hand.open()
        hand.wait("to the bench")
        hand.terminal.send("f12")
        hand.wait("No bottle is in the book yet.")
        hand.terminal.send("n")
        hand.wait("NEW BOTTLE")
        hand.arrow("down")
        for sign in "B-2":
            hand.terminal.send(sign)
        hand.arrow("down")
        for _ in range(40):
            if "‹ silver-bath ›" in hand.terminal.screen():
                break
            hand.arrow("right")
        hand.press("enter")
        hand.wait("saved: made: bath B-2, recipe silver-bath, 1 L, 9 % w/v")
        hand.wait(lambda screen: "1 of 1 in use" in screen or "0 of 1 in use" in screen)
        hand.press("enter")
        hand.wait("Its life")
        hand.press("enter")
        hand.wait("what was done?")
        hand.arrow("down")
        hand.press("enter")
        hand.wait("B-2: filtered")
        for sign in "twice":
            hand.terminal.send(sign)
        hand.press("enter")
        hand.wait("saved: filtered, twice")
        hand.terminal.settle()
        assert audit(hand.terminal.data) == []
        assert "filtered, twice" in hand.terminal.screen()
    shown = run(home, "bottle", "show", "B-2", "--json")
    told = json.loads(shown.stdout)
    assert (told["what"], told["recipe"], told["volume_ml"]) == ("bath", "silver-bath", 1000.0)
    assert "filtered" in told["since"]
    words = run(home, "bottle", "show", "B-2").stdout
    assert "filtered, twice" in words
