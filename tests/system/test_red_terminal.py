"""A program on our base in a real terminal: red from first byte to last, and the terminal given back."""

from __future__ import annotations

import os
import re
import signal
import sys
from pathlib import Path

import pytest

from darkroom.screens.red.end_signals import stray_signals
from tests.kit.audit import audit, levels
from tests.kit.terminal import PATIENCE, Terminal

DEMO = str(Path(__file__).parents[1] / "kit" / "demo_app.py")
MODES = [
    pytest.param("xterm-256color", "truecolor", 24, id="24 bit"),
    pytest.param("xterm-256color", None, 8, id="256 colours"),
    pytest.param("linux", None, 4, id="16 colours, console"),
    pytest.param("xterm", None, 4, id="16 colours"),
]
WITHOUT_COLOUR = {"NO_COLOR": "1"}
HOSTILE = {
    "NO_COLOR": "1", "FORCE_COLOR": "1", "TEXTUAL_THEME": "nord", "TEXTUAL_FILTERS": "dim",
    "TEXTUAL_COLOR_SYSTEM": "truecolor", "TEXTUAL": "debug",
}  # fmt: skip


def _shown(terminal: Terminal) -> None:
    terminal.spawn([sys.executable, DEMO])
    terminal.wait_for("READY")


def _given_back(data: bytes, term: str) -> None:
    """Assert that every mode begun has been ended and the colours are the terminal's own again."""
    for begun, ended in ((b"?1049h", b"?1049l"), (b"?25l", b"?25h"), (b"?7l", b"?7h"), (b"?2004h", b"?2004l"),
                         (b"?1004h", b"?1004l"), (b">25u", b"<u")):  # fmt: skip
        assert data.rfind(b"\x1b[" + ended) > data.rfind(b"\x1b[" + begun) >= 0, begun
    own = b"\x1b]R" if term == "linux" else b"\x1b]111\x1b\\"
    assert data.rfind(own) > data.rfind(b"\x1b[?1049l")
    assert data.endswith(b"\x1b[?25h")


@pytest.mark.parametrize("env", [{}, HOSTILE], ids=["", "hostile environment"])
@pytest.mark.parametrize(("term", "colorterm", "depth"), MODES)
def test_every_cell_is_red(term: str, colorterm: str | None, depth: int, env: dict[str, str]) -> None:
    """From the first frame through toast, dialog and brightness to the end, each printed cell is red."""
    with Terminal(100, 36, term, colorterm, env) as terminal:
        _shown(terminal)
        terminal.send("f5")
        terminal.wait_for("a toast")
        for brightness in (4, 5):
            terminal.send("f9")
            terminal.wait_for(f"BRIGHTNESS {brightness}")
        terminal.send("f6")
        terminal.wait_for("a dialog")
        terminal.settle(0.3)
        terminal.send("f12")
        terminal.settle(0.3)
        terminal.send("f10")
        assert terminal.wait() == 0
        assert audit(terminal.data, depth) == []
        _given_back(terminal.data, term)


@pytest.mark.parametrize(("term", "colorterm", "depth"), MODES)
def test_without_colour_is_red_too(term: str, colorterm: str | None, depth: int) -> None:
    """NO_COLOR, which would turn reds to grey, changes no byte of the first frame but its timing."""
    with (
        Terminal(80, 24, term, colorterm, WITHOUT_COLOUR) as wishing,
        Terminal(80, 24, term, colorterm) as plain,
    ):
        for terminal in (wishing, plain):
            _shown(terminal)
            terminal.settle(0.3)
        assert plain.cells() == wishing.cells()
        assert audit(wishing.data, depth) == []


def test_the_default_is_dim_enough() -> None:
    """Nothing the demo shows, by theme or by stray colour, is brighter than the default's 175."""
    with Terminal(100, 36) as terminal:
        _shown(terminal)
        terminal.send("f5")
        terminal.wait_for("a toast")
        terminal.send("f6")
        terminal.wait_for("a dialog")
        assert max(levels(terminal.data)) == 175


def test_a_blackout_is_black() -> None:
    """At brightness 0 every cell on the screen is black on black."""
    with Terminal(80, 36) as terminal:
        _shown(terminal)
        terminal.send("f12")
        terminal.wait_until(
            lambda: {"000000"} == {colour for row in terminal.cells() for cell in row for colour in cell[1:]}
        )


@pytest.mark.parametrize(("term", "colorterm", "depth"), MODES)
@pytest.mark.parametrize("key", ["f7", "f8"], ids=["exception", "style sheet error"])
def test_a_crash_is_red(term: str, colorterm: str | None, depth: int, key: str) -> None:
    """The toolkit's own error page is printed in red once the screen is given up; the exit status is 1."""
    with Terminal(80, 36, term, colorterm) as terminal:
        _shown(terminal)
        terminal.send(key)
        assert terminal.wait() == 1
        assert audit(terminal.data, depth) == []
        told = terminal.data[terminal.data.rfind(b"\x1b[?1049l") :]
        assert (b"a crash on purpose" if key == "f7" else b"Error") in told
        _given_back(terminal.data, term)


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP, signal.SIGINT, signal.SIGQUIT])
def test_a_signal_gives_the_terminal_back(number: signal.Signals) -> None:
    """A program that is told to end leaves in order: modes, colours and line discipline are as before."""
    with Terminal(80, 24) as terminal:
        before = None

        def attributes() -> list[object]:
            return terminal.attributes()[:4]

        terminal.spawn([sys.executable, "-c", "import time; time.sleep(0.2)"])
        before = attributes()
        terminal.wait()
        _shown(terminal)
        assert before != attributes()
        terminal.kill(number)
        assert 128 + number == terminal.wait()
        assert audit(terminal.data, 24) == []
        _given_back(terminal.data, "xterm")
        assert before == attributes()


def test_stray_signals_end_nothing() -> None:
    """Signals that would end a program without a word are dropped; it goes on, and leaves in order later."""
    with Terminal(80, 24) as terminal:
        _shown(terminal)
        for number in stray_signals():
            terminal.kill(number)
        terminal.send("f5")
        terminal.settle(0.3)
        assert terminal.process is not None
        assert terminal.process.poll() is None
        terminal.kill(signal.SIGTERM)
        assert terminal.wait() == 128 + signal.SIGTERM
        _given_back(terminal.data, "xterm")


def test_a_program_that_hangs_still_gives_the_terminal_back() -> None:
    """When the application cannot leave, the terminal is given back within a few seconds all the same."""
    stuck = (
        "import sys, time\n"
        f"sys.argv = ['demo']; sys.path.insert(0, {str(Path(DEMO).parent)!r})\n"
        "import demo_app\n"
        "from darkroom.screens.red.terminal import red_terminal\n"
        "class Stuck(demo_app.Demo):\n"
        "    def on_key(self, event): time.sleep(600)\n"
        "with red_terminal(): Stuck().run()\n"
    )
    with Terminal(80, 24) as terminal:
        terminal.spawn([sys.executable, "-c", stuck])
        terminal.wait_for("READY")
        terminal.send("x")
        terminal.settle(0.3)
        terminal.kill(signal.SIGTERM)
        assert terminal.wait() == 128 + signal.SIGTERM
        assert audit(terminal.data, 24) == []
        _given_back(terminal.data, "xterm")


def test_a_closed_window_ends_the_program() -> None:
    """When its terminal goes away the program ends by itself."""
    with Terminal(80, 24) as terminal:
        _shown(terminal)
        terminal.hang_up()
        assert terminal.process is not None
        assert terminal.process.wait(PATIENCE) != 0


def test_an_error_outside_the_application_is_red() -> None:
    """An exception between the colours' setting and their return is printed in red, with exit status 1."""
    code = (
        "from darkroom.screens.red.terminal import red_terminal\n"
        "with red_terminal(): raise ValueError('outer')\n"
    )
    with Terminal(80, 24) as terminal:
        terminal.spawn([sys.executable, "-c", code])
        assert terminal.wait() == 1
        assert b"outer" in terminal.data
        assert audit(terminal.data, 24) == []


def test_a_red_page_waits_for_a_key() -> None:
    """The page for when nothing else can be shown is red, stays until a key, and is gone after it."""
    code = (
        "from darkroom.screens.red.terminal import red_page, red_terminal\n"
        "with red_terminal(): red_page(['It stopped twice.', 'Press a key.'])\n"
    )
    with Terminal(80, 24) as terminal:
        terminal.spawn([sys.executable, "-c", code])
        terminal.wait_for("Press a key.")
        terminal.send("space")
        assert terminal.wait() == 0
        assert audit(terminal.data, 24) == []
        assert terminal.screen().strip() == ""


def test_no_terminal_is_wrong_use() -> None:
    """Without a terminal to draw on the tool says so instead of drawing into a file."""
    code = (
        "import sys\nfrom darkroom.errors import WrongUse\n"
        "from darkroom.screens.red.terminal import red_terminal\n"
        "try:\n    with red_terminal(): pass\nexcept WrongUse: sys.exit(2)\n"
    )
    with open(os.devnull, "wb") as nowhere:
        import subprocess

        assert subprocess.run([sys.executable, "-c", code], stderr=nowhere, check=False).returncode == 2


def test_the_day_is_day_and_red_comes_back() -> None:
    """By day the filter is open; back in red every new cell is red again."""
    with Terminal(80, 36) as terminal:
        _shown(terminal)
        terminal.send("f11")
        terminal.wait_for("BY DAY")
        terminal.wait_until(lambda: "ffffff" in {cell.background for row in terminal.cells() for cell in row})
        by_day = len(terminal.data)
        terminal.send("f11")
        terminal.wait_for("BY RED")
        terminal.wait_until(
            lambda: all(re.fullmatch("..0000", cell.background) for row in terminal.cells() for cell in row)
        )
        after = terminal.data[terminal.data.index(b"\x1b]11;rgb:00/00/00", by_day) :]
        assert audit(after, 24) == []
