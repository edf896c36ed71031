"""Screens on which nothing changes write nothing to the terminal: a slow line is idle, a battery lasts."""

from __future__ import annotations

import sys
import time
from pathlib import Path

import pytest

from tests.kit import season
from tests.kit.photographer import Photographer
from tests.kit.terminal import Terminal

pytestmark = pytest.mark.system

SETTLED = 1.5
"""Seconds without a byte after which a screen has what it asked for."""
QUIET = 3.0
"""Seconds in which no byte may come: more than ten looks at the clocks."""
PLATES = 12


def _written_idle(terminal: Terminal) -> bytes:
    """Return what is written in `QUIET` seconds to a screen that has settled."""
    terminal.settle(SETTLED, 30.0)
    before = len(terminal.data)
    time.sleep(QUIET)
    return terminal.data[before:]


def test_the_home_form_writes_nothing_while_nothing_is_typed(tmp_path: Path) -> None:
    """No byte comes from an idle home form; a letter typed after that is shown."""
    hand = Photographer(tmp_path)
    with hand.terminal as terminal:
        hand.open()
        terminal.wait_for("exposure")
        assert _written_idle(terminal) == b""
        before = len(terminal.data)
        terminal.send("down")
        terminal.wait_until(lambda: len(terminal.data) > before)


@pytest.mark.slow
def test_the_log_writes_nothing_while_nothing_is_asked(tmp_path: Path) -> None:
    """No byte comes from an idle list, an idle plate's page and idle trends."""
    season.write(tmp_path, PLATES)
    with Terminal(120, 40, env={"DARKROOM_HOME": str(tmp_path)}) as terminal:
        terminal.spawn([sys.executable, "-m", "darkroom", "log", "look"])
        terminal.wait_for("newest first")
        assert _written_idle(terminal) == b"", "the list"
        terminal.send("enter")
        terminal.wait_for("move a strike")
        assert _written_idle(terminal) == b"", "the plate's page"
        terminal.send("escape")
        terminal.wait_for("newest first")
        terminal.send("f4")
        terminal.wait_for("another trend")
        terminal.wait_for(lambda screen: "reading the log" not in screen)
        assert _written_idle(terminal) == b"", "trends"
