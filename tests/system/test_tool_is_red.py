"""The whole tool in a real terminal: every byte from its start on the bench or at home to its end is red."""

from __future__ import annotations

import signal
import sys
from pathlib import Path

import pytest

from tests.kit.audit import audit, levels
from tests.kit.day import TITLE
from tests.kit.terminal import Terminal

MODES = [
    pytest.param("xterm-256color", "truecolor", 24, id="24 bit"),
    pytest.param("xterm-256color", None, 8, id="256 colours"),
    pytest.param("linux", None, 4, id="16 colours"),
]


def _env(tmp_path: Path) -> dict[str, str]:
    return {"DARKROOM_HOME": str(tmp_path), "XDG_STATE_HOME": str(tmp_path / "state"), "NO_COLOR": "1"}


@pytest.mark.parametrize(("term", "colorterm", "depth"), MODES)
def test_a_plate_is_red(tmp_path: Path, term: str, colorterm: str | None, depth: int) -> None:
    """On the bench, through a strike, a dead key and the menu, until a signal ends it: nothing but red."""
    with Terminal(80, 24, term, colorterm, _env(tmp_path)) as terminal:
        terminal.spawn([sys.executable, "-m", "darkroom", "bench", "clear-glass", "--exposure", "8s"])
        terminal.wait_for(TITLE)
        terminal.send("end")
        terminal.wait_for("goes on")
        terminal.settle(0.3, 1.0)
        terminal.send("space")
        terminal.wait_for("room light is safe")
        for key in ("space", "g", "escape", "escape"):
            terminal.send(key)
            terminal.settle(0.3, 1.0)
        terminal.kill(signal.SIGTERM)
        assert terminal.wait() == 128 + signal.SIGTERM
        assert audit(terminal.data, depth) == []
        assert max(levels(terminal.data), default=0) <= 175


@pytest.mark.parametrize(("term", "colorterm", "depth"), MODES)
def test_the_home_screen_is_red(tmp_path: Path, term: str, colorterm: str | None, depth: int) -> None:
    """At home, moving through the form and typing an emoji, nothing but red."""
    with Terminal(80, 24, term, colorterm, _env(tmp_path)) as terminal:
        terminal.spawn([sys.executable, "-m", "darkroom"])
        terminal.wait_for("subject")
        terminal.send("down")
        terminal.send("a \U0001f4f7 ewer")
        terminal.wait_for("ewer")
        terminal.kill(signal.SIGHUP)
        assert terminal.wait() == 128 + signal.SIGHUP
        assert audit(terminal.data, depth) == []
