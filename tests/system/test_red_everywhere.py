"""A whole day's screens at three colour depths at once, by keys in real terminals: every cell is red.

Three terminals are worked in step: 24-bit, 256 and 16 colours, each with NO_COLOR set. They end in
three ways: by the menu, by SIGTERM and by SIGHUP. The sequences are those of ECMA-48 and xterm.
"""

from __future__ import annotations

import re
import signal
import sys
import termios
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

import pytest

from tests.kit import crashing_tool
from tests.kit.audit import audit
from tests.kit.day import TITLE
from tests.kit.menu import FIRST, move_to
from tests.kit.photographer import ANSWERED, journal, shortened
from tests.kit.terminal import KEYS, Terminal

DEPTHS = (("xterm-256color", "truecolor", 24), ("xterm-256color", None, 8), ("linux", None, 4))


class Abreast:
    """Several terminals worked in step: each press goes to all, each wait is for all."""

    def __init__(self, terminals: list[Terminal]) -> None:
        self.terminals, self.last = terminals, 0.0

    def press(self, *keys: str, every: float = 0.8) -> None:
        """Press keys one after the other, `every` seconds apart."""
        for key in keys:
            time.sleep(max(0.0, self.last + every - time.monotonic()))
            for terminal in self.terminals:
                terminal.send(KEYS.get(key, key.encode()))
            self.last = time.monotonic()

    def wait(self, what: str | Callable[[str], bool], timeout: float = 30.0) -> None:
        """Wait until every terminal shows it."""
        for terminal in self.terminals:
            terminal.wait_for(what, timeout)
        # a key that was read late is nearer to the next one than it was typed
        self.last = max(self.last, time.monotonic() - ANSWERED)

    def strike(self, then: str) -> None:
        """Strike go and wait until the screen tells what comes `then`."""
        self.press("space")
        self.wait(then)

    def choose(self, label: str, shown: str) -> None:
        """Open the menu, go to the row with this label, choose it, and wait for what is `shown`."""
        self.press("escape")
        self.wait(FIRST)
        move_to(label, self.terminals)
        self.strike(shown)


@contextmanager
def abreast(tmp_path: Path, columns: int, rows: int) -> Iterator[tuple[Abreast, list[Path]]]:
    """Three terminals of this size, a home for each."""
    homes = [tmp_path / f"home-{depth}" for _, _, depth in DEPTHS]
    with ExitStack() as stack:
        terminals = [
            stack.enter_context(
                Terminal(columns, rows, term, colorterm,
                         {"DARKROOM_HOME": str(home), "XDG_STATE_HOME": str(home / "state"), "NO_COLOR": "1"})
            )
            for (term, colorterm, _), home in zip(DEPTHS, homes, strict=True)
        ]  # fmt: skip
        yield Abreast(terminals), homes


def given_back(terminal: Terminal) -> None:
    """Assert that modes, alternate screen and colours were left in this order, and that lines are edited."""
    data = terminal.data
    screen = data.rindex(b"\x1b[?1049l")
    colours = data.rindex(b"\x1b]R" if terminal.env["TERM"] == "linux" else b"\x1b]111\x1b\\")
    assert data.rindex(b"\x1b[?2004l") < screen < colours < data.rindex(b"\x1b[?25h")
    assert b"\x1b[0m" in data[screen:colours]
    assert not re.search(rb"\x1b\[[0-9;]*[1-9][0-9;]*m", data[colours:])
    local = terminal.attributes()[3]
    for flag in (termios.ECHO, termios.ICANON, termios.ISIG):
        assert local & flag


def all_red(terminals: list[Terminal]) -> None:
    """Assert that no byte of any of them was anything but red."""
    for terminal, (_, _, depth) in zip(terminals, DEPTHS, strict=True):
        assert audit(terminal.data, depth) == [], f"{depth} bits of colour"


@pytest.mark.slow
def test_every_screen_of_a_plate_is_red_at_every_depth(tmp_path: Path) -> None:
    """Form, error, cautions, cyanide, every state of the bench, every dialog, blackout, and the way out."""
    with abreast(tmp_path, 100, 36) as (three, homes):
        for home, terminal in zip(homes, three.terminals, strict=True):
            (home / "profiles").mkdir(parents=True)
            text = shortened(tmp_path).read_text().replace("time: 4 s", "time: 1 s")
            (home / "profiles" / "short.yaml").write_text(text.replace("time: 6 s", "time: 1 s"))
            terminal.spawn([sys.executable, "-m", "darkroom"])
        three.wait("to the bench")
        three.press(*["down"] * 10, "x", "enter", every=0.05)
        three.wait("cannot be read")
        three.press("backspace", *"1s,1s press", *["up"] * 10, "right", every=0.05)
        three.wait("clear-glass-cyanide")
        three.press("enter", every=0.05)
        three.wait(TITLE)
        three.press("end")
        three.wait("goes on")
        three.strike("No: no plate is put on the bench")
        three.press("space")
        three.wait(lambda screen: "No: no plate" not in screen)
        three.press(*["left"] * 4, every=0.05)
        three.wait("‹ short ›")
        three.press("enter", every=0.05)
        three.wait("then sensitise")  # ready, and not begun
        three.press("backspace")
        three.wait("has not begun")
        three.strike("take back")
        three.strike("then drain")
        three.wait(" over the ")
        three.strike("then expose")
        three.choose("Temperatures and humidity", "humidity: not read")
        three.press("space")
        three.wait("What the thermometer says")
        three.press(*"warm", "enter", every=0.05)
        three.wait("expected")
        three.press("escape")
        three.wait(lambda screen: "expected" not in screen)
        three.choose("Give this plate up", "Keep it")
        three.strike("then expose")
        three.choose("Keys", "handful")
        three.strike("then expose")
        three.choose("Blackout", "")
        three.wait(lambda screen: not screen.strip())
        three.press("f5")
        three.wait("then expose")
        three.choose("Home", "plate size")
        three.press("escape")
        three.wait("then expose")
        three.strike("then develop")
        three.strike("a press starts it now")  # lead-in
        three.wait("Cap on. Press")  # between two steps
        three.press("space")
        three.wait("developer 2")
        three.press("backspace")
        three.wait("Nobody saw it end")  # held
        three.strike("developer 2")
        three.press("space")
        three.wait(" over the ")
        three.strike("then fix")
        three.strike("then wash")
        three.strike("as long again")
        three.wait(" over the ")
        three.strike("then dry")
        three.wait(" over the ")
        three.strike("rack 1")
        three.choose("Take a plate from the rack", "finish unvarnished")
        three.press("escape")
        three.wait(lambda screen: "finish unvarnished" not in screen)
        three.choose("New plate like the last", "then sensitise")
        three.press("space")
        for home, terminal in zip(homes, three.terminals, strict=True):
            terminal.wait_until(lambda home=home: len(journal(home)) == 2)  # type: ignore[misc]
        three.strike("then drain")
        for columns, rows in ((30, 8), (200, 60), (100, 36)):
            for terminal in three.terminals:
                seen = len(terminal.data)
                terminal.resize(columns, rows)
                terminal.wait_until(lambda terminal=terminal, seen=seen: len(terminal.data) > seen)  # type: ignore[misc]
        three.wait("then drain")
        by_menu, by_term, by_hup = three.terminals
        by_term.kill(signal.SIGTERM)
        by_hup.kill(signal.SIGHUP)
        assert by_term.wait() == 128 + signal.SIGTERM
        assert by_hup.wait() == 128 + signal.SIGHUP
        last = Abreast([by_menu])
        last.choose("Leave", "Stay")
        last.press("down", "space")
        assert by_menu.wait() == 0
        all_red(three.terminals)
        for terminal in three.terminals:
            given_back(terminal)


@pytest.mark.parametrize(("stage", "crashes"), [("sensitise", 1), ("sensitise", 2), ("coat", 1)])
def test_a_crash_is_red_at_every_depth(stage: str, crashes: int, tmp_path: Path) -> None:
    """Sensitive: back on the bench by itself once; a second crash, or room light: a page until a key."""
    with abreast(tmp_path, 100, 30) as (three, homes):
        for terminal in three.terminals:
            terminal.spawn([sys.executable, crashing_tool.__file__, stage, str(crashes)])
        three.wait(TITLE)
        three.press("end")
        three.wait("goes on")
        three.press("space")
        if stage == "sensitise":
            three.wait("then sensitise")
            three.strike("take back")
            three.press("space")
        if (stage, crashes) == ("sensitise", 1):
            three.wait("then drain")
            for terminal in three.terminals:
                terminal.kill(signal.SIGHUP)
                assert terminal.wait() == 128 + signal.SIGHUP
        else:
            three.wait("Press a key.")
            for terminal in three.terminals:
                assert terminal.process is not None and terminal.process.poll() is None
                terminal.send("space")
                assert terminal.wait() == 1
        for home in homes:
            assert crashing_tool.WHAT in (home / "crash.txt").read_text()
        all_red(three.terminals)
        for terminal in three.terminals:
            given_back(terminal)
