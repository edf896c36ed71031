"""The page of trends in a real terminal: every byte is red at any depth of colour, and it tells its plots."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from tests.kit.audit import audit
from tests.kit.terminal import Terminal

F4 = b"\x1bOS"
"""xterm's control sequence of F4."""
MODES = [
    pytest.param("xterm-256color", "truecolor", 24, id="24 bit"),
    pytest.param("xterm-256color", None, 8, id="256 colours"),
    pytest.param("linux", None, 4, id="16 colours"),
]


@pytest.mark.parametrize(("term", "colorterm", "depth"), MODES)
def test_trends_are_red(
    home: Path, plates: list[Path], tmp_path: Path, term: str, colorterm: str | None, depth: int
) -> None:
    """From the list to the trends, through six of them, and back: nothing but red; a console gets ASCII."""
    env = {"DARKROOM_HOME": str(home), "XDG_STATE_HOME": str(tmp_path / "state"), "NO_COLOR": "1"}
    with Terminal(80, 24, term, colorterm, env) as terminal:
        terminal.spawn([sys.executable, "-m", "darkroom", "log", "look"])
        terminal.wait_for("60, newest first")
        terminal.send(F4)
        terminal.wait_for("over the temperature of the")
        terminal.settle(0.3, 2.0)
        shown = "\n".join("".join(cell.text for cell in row) for row in terminal.cells())
        assert "of what the process says" in shown
        assert ("+----" if term == "linux" else "┌────") in shown
        for number in range(2, 8):
            terminal.send("right")
            terminal.wait_for(f"{number} of ")
        terminal.send("escape")
        terminal.wait_for("newest first")
        terminal.settle(0.3, 2.0)
        assert audit(terminal.data, depth) == []
