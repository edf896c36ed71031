"""Every screen and dialog of the tool, and its crash, by keys in a real terminal: each cell is red."""

from __future__ import annotations

import sys
import time
from pathlib import Path

import pytest

from tests.audit import audit
from tests.terminal import KEYS, Terminal

MODES = [
    pytest.param("xterm-256color", "truecolor", 24, id="24 bit"),
    pytest.param("linux", None, 4, id="16 colours"),
]
CRASHING = """
import sys, time
from darkroom.screens.red import prepare_environment
prepare_environment()
from darkroom.screens import bench, tool
from darkroom import cli
whole, made = bench.BenchScreen.draw, tool.Tool.__init__
runs = []
def counted(self, parts):
    runs.append(self)
    made(self, parts)
tool.Tool.__init__ = counted
def draw(self, view, now):
    if view.large is not None and view.large.stage.name == "sensitise" and len(runs) <= int(sys.argv[1]):
        raise RuntimeError("made to fail")
    whole(self, view, now)
bench.BenchScreen.draw = draw
sys.exit(cli.main(["bench", "clear-glass"]))
"""


class Keys:
    """Presses keys one after the other, each a strike of its own, and waits for words."""

    def __init__(self, terminal: Terminal) -> None:
        self.terminal, self.last = terminal, 0.0

    def __call__(self, key: str, then: str = "", *, every: float = 0.9) -> None:
        """Press a key; wait for `then`, or for the screen to be quiet."""
        time.sleep(max(0.0, self.last + every - time.monotonic()))
        self.terminal.send(KEYS.get(key, key.encode()))
        self.last = time.monotonic()
        if then:
            self.terminal.wait_for(then)
        else:
            self.terminal.settle(0.15, 3)


def _choose(press: Keys, downs: int, then: str = "") -> None:
    """Choose the row of the menu so many rows down, those that cannot be chosen not counted."""
    press("escape", "New plate like the last")
    for _ in range(downs):
        press("down", every=0.2)
    press("space", then)


@pytest.mark.parametrize(("term", "colorterm", "depth"), MODES)
def test_every_screen_and_dialog_is_red(term: str, colorterm: str | None, depth: int, tmp_path: Path) -> None:
    """Form with an error, cautions, confirmation, bench, menu, choosers, prompts, keys, blackout, leaving."""
    env = {"DARKROOM_HOME": str(tmp_path), "NO_COLOR": "1"}
    with Terminal(100, 30, term, colorterm, env) as terminal:
        terminal.spawn([sys.executable, "-m", "darkroom"])
        terminal.wait_for("to the bench")
        press = Keys(terminal)
        for _ in range(10):
            press("down", every=0.05)
        press("x", every=0.05)
        press("enter", "expected", every=0.05)
        press("backspace", every=0.05)
        for _ in range(10):
            press("up", every=0.05)
        press("right", "clear-glass-cyanide", every=0.05)
        press("enter", "Before you begin")
        press("space", "No: back to the form")
        press("down", every=0.2)
        press("space", "Strike, pour")
        press("space", "then sensitise")
        press("h", "does nothing here")
        press("space", "then drain")
        press("f5")
        _choose(press, 2, "humidity")
        press("space", "What the thermometer says")
        terminal.send("warm\r")
        terminal.wait_for("expected")
        press("escape")
        _choose(press, 9)
        press("f6", "then drain")
        _choose(press, 10, "handful")
        press("space", "then drain")
        _choose(press, 6, "Keep it")
        press("space", "then drain")
        _choose(press, 12, "Stay")
        press("space", "then drain")
        terminal.resize(60, 20)
        terminal.settle(0.3, 3)
        terminal.resize(30, 8)
        terminal.settle(0.3, 3)
        terminal.resize(100, 30)
        terminal.settle(0.3, 3)
        terminal.kill(15)
        assert terminal.wait() == 128 + 15
        assert audit(terminal.data, depth) == []


@pytest.mark.parametrize("crashes", [1, 2])
def test_a_crash_while_the_plate_is_sensitive_comes_back_red(crashes: int, tmp_path: Path) -> None:
    """After one crash the bench is back by itself with its plate; after two a red page waits for a key."""
    script = tmp_path / "crashing.py"
    script.write_text(CRASHING)
    with Terminal(100, 30, env={"DARKROOM_HOME": str(tmp_path / "home")}) as terminal:
        terminal.spawn([sys.executable, str(script), str(crashes)])
        terminal.wait_for("Strike, pour")
        press = Keys(terminal)
        press("space", "then sensitise")
        time.sleep(0.9)
        terminal.send(b" ")
        if crashes == 1:
            terminal.wait_for("then drain")
            assert "made to fail" in (tmp_path / "home" / "crash.txt").read_text()
            terminal.kill(15)
            terminal.wait()
        else:
            terminal.wait_for("darkroom stopped")
            press("space")
            assert terminal.wait() == 1
        assert audit(terminal.data, 24) == []
