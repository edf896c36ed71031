"""`darkroom bench tintype-cyanide` in a real terminal: the question comes before the plate, once a day."""

from __future__ import annotations

import signal
from pathlib import Path

from tests.kit.photographer import Photographer, journal


def test_the_command_line_asks_about_cyanide_once_a_day(tmp_path: Path) -> None:
    """No leads to the form and writes nothing; a yes is written on the plate, and stands after a restart."""
    home = tmp_path / "home"
    env = {"XDG_STATE_HOME": str(tmp_path / "state")}
    hand = Photographer(home, 80, 24, **env)
    with hand.terminal:
        hand.open("bench", "tintype-cyanide")
        hand.wait("Yes, confirmed")
        hand.press("space")
        hand.wait("to the bench")
        assert journal(home) == []
        hand.press("enter")
        hand.wait("Yes, confirmed")
        hand.press("down")
        hand.press("space")
        hand.wait("Go does not choose this")
        hand.press("enter")
        hand.wait("then sensitise")
        hand.strike_until("take back")
        hand.terminal.wait_until(lambda: journal(home) != [])
        hand.press("escape")
        hand.wait("New plate like the last")
        hand.press("space")
        hand.wait("coat ready")
        assert "Yes, confirmed" not in hand.terminal.whole_screen()
        hand.terminal.kill(signal.SIGKILL)
    hand = Photographer(home, 80, 24, **env)
    with hand.terminal:
        hand.open("bench", "tintype-cyanide")
        hand.wait("coat ready")
        assert "Yes, confirmed" not in hand.terminal.whole_screen()
    (lines,) = journal(home)
    (yes,) = home.glob("days/*.jsonl")
    assert [line["since"] for line in lines if line["event"] == "acknowledged"] == [
        line["at"] for line in day_lines(yes) if line.get("id") == "confirm"
    ]


def day_lines(path: Path) -> list[dict[str, str]]:
    """Return the lines of a day's file."""
    import json

    return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]
