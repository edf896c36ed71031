"""A terminal that sends what no terminal should, and one that stops reading: no strike is lost."""

from __future__ import annotations

import re
import signal
import sys
import time
from pathlib import Path
from typing import Any

import pytest

from darkroom.session.key_map import KeyMap
from tests.kit.audit import audit
from tests.kit.nightly import size
from tests.kit.photographer import Photographer, journal, shortened
from tests.kit.terminal import KEYS, PATIENCE, Terminal

pytestmark = pytest.mark.system

STALL = size("DARKROOM_STALL", 12, 60)
"""Seconds for which the terminal reads nothing."""
MARK = next(key for key in ("6", "f6") if KeyMap().zone_of(key) == "mark")
BUSY_APP = str(Path(__file__).parents[1] / "kit" / "busy_app.py")
JUNK = [
    b"\xff", b"\xe9", b"\x1b[32;1:3u", b"\x1b[1114112u", b"\x1b[99999999999R", b"\x1b[48;99999;99999;0;0t",
]  # fmt: skip
"""Bytes and sequences each of which can end an input thread that trusts what it reads."""


def _marks(home: Path) -> list[dict[str, Any]]:
    """Return the marks in the journal of the only plate."""
    return [line for lines in journal(home) for line in lines if line["event"] == "mark"]


def _until_marked(home: Path, count: int) -> list[dict[str, Any]]:
    """Wait until the journal has so many marks; return them."""
    end = time.monotonic() + 20
    while len(marks := _marks(home)) < count:
        assert time.monotonic() < end, f"{len(marks)} marks of {count} in the journal"
        time.sleep(0.02)
    return marks


def _memory(terminal: Terminal) -> int:
    """Return the bytes that the program holds (VmRSS)."""
    assert terminal.process is not None
    status = Path(f"/proc/{terminal.process.pid}/status").read_text()
    found = re.search(r"VmRSS:\s+(\d+) kB", status)
    assert found is not None
    return int(found[1]) * 1024


def _up() -> float:
    """Return the instant on the journal's clock."""
    return time.clock_gettime(time.CLOCK_BOOTTIME)


def test_malformed_input_loses_no_strike(tmp_path: Path) -> None:
    """At the bench each stray byte and malformed sequence is followed by a mark, and each mark is kept."""
    hand = Photographer(tmp_path)
    with hand.terminal as terminal:
        hand.open("bench", str(shortened(tmp_path)), "--exposure", "1s")
        hand.strike("sensitise")
        for count, junk in enumerate(JUNK, 1):
            hand.press(MARK)
            _until_marked(tmp_path, 2 * count - 1)
            wait = hand.last + 0.9 - time.monotonic()
            time.sleep(max(0.0, wait))  # within 0.7 s it would be the same strike
            terminal.send(junk + KEYS.get(MARK, MARK.encode()))
            hand.last = time.monotonic()
            _until_marked(tmp_path, 2 * count)
        hand.strike("drain")
        stages = [line["stage"] for line in journal(tmp_path)[0] if line["event"] == "stage_started"]
        assert stages == ["coat", "sensitise"]
        terminal.kill(signal.SIGTERM)
        assert terminal.wait() == 128 + signal.SIGTERM
        assert audit(terminal.data, 24) == []


@pytest.mark.slow
@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="memory is read from /proc")
def test_a_terminal_that_stops_reading_loses_no_strike(tmp_path: Path) -> None:
    """Strikes and marks while nothing is read are saved at once with their own times; then all is shown."""
    hand = Photographer(tmp_path)
    with hand.terminal as terminal:
        hand.open("bench", str(shortened(tmp_path)), "--exposure", "1s")
        hand.strike("sensitise")
        memory = _memory(terminal)
        terminal.stop_reading()
        end = time.monotonic() + STALL
        sent: list[float] = []
        while time.monotonic() < end:
            wait = hand.last + 0.9 - time.monotonic()
            time.sleep(max(0.0, wait))
            sent.append(_up())
            hand.press(MARK)
            _until_marked(tmp_path, len(sent))
        hand.press("space")
        ended = time.monotonic() + 10
        while not any(line.get("stage") == "sensitise" for line in journal(tmp_path)[0]):
            assert time.monotonic() < ended, "the strike is not in the journal"
            time.sleep(0.02)
        grown = _memory(terminal) - memory
        terminal.go_on_reading()
        hand.wait("then drain")
        lines = journal(tmp_path)[0]
        instants = [line["up"] for line in lines if line["event"] == "mark"]
        assert len(instants) == len(sent)
        later = [*sent[1:], _up()]
        assert all(sent[n] <= instants[n] < later[n] for n in range(len(sent)))
        assert not [line for line in lines if line["event"] == "clock"]
        assert grown < 20_000_000
        hand.press("backspace")
        hand.wait("then sensitise")
        terminal.kill(signal.SIGTERM)
        assert terminal.wait() == 128 + signal.SIGTERM
        assert audit(terminal.data, 24) == []


@pytest.mark.slow
@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="memory is read from /proc")
def test_after_a_stall_the_screen_is_what_a_whole_redraw_shows() -> None:
    """A full screen that changes thirty times a second: memory stays flat, the last frame is right."""
    with Terminal(80, 24) as terminal:
        terminal.spawn([sys.executable, BUSY_APP])
        terminal.wait_for("READY")
        terminal.wait_for("3333333333")
        memory = _memory(terminal)
        terminal.stop_reading()
        time.sleep(STALL)
        grown = _memory(terminal) - memory
        terminal.send("s")
        shown = len(terminal.data)
        terminal.go_on_reading()
        terminal.wait_for("STANDS STILL")
        terminal.settle(0.5)
        assert len(terminal.data) - shown < 1_000_000, "frames of the stall were kept"
        after = terminal.cells()
        painted = len(terminal.data)
        terminal.send("r")
        terminal.wait_for(lambda _: len(terminal.data) > painted)
        terminal.settle(0.5)
        assert terminal.cells() == after
        assert "still 19 still 19" in terminal.screen()
        assert grown < 20_000_000
        terminal.kill(signal.SIGTERM)
        assert terminal.wait() == 128 + signal.SIGTERM
        assert audit(terminal.data, 24) == []


def test_a_stalled_terminal_holds_up_no_end() -> None:
    """A signal ends the tool while its terminal reads nothing."""
    with Terminal(80, 24) as terminal:
        terminal.spawn([sys.executable, BUSY_APP])
        terminal.wait_for("READY")
        terminal.wait_for("3333333333")
        terminal.stop_reading()
        time.sleep(2.0)  # long enough for the kernel's buffer to be full
        terminal.kill(signal.SIGTERM)
        assert terminal.process is not None
        assert terminal.process.wait(PATIENCE) == 128 + signal.SIGTERM
