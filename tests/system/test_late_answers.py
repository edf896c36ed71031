"""A terminal that answers late, as over a slow network: its answers are the tool's, never the shell's."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.kit import keys_left_over
from tests.kit.photographer import ARGV, Photographer, shortened
from tests.kit.status_answers import QUESTION
from tests.kit.stopped_tool import only_child
from tests.kit.terminal import Terminal

pytestmark = [
    pytest.mark.system,
    pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="the process is looked for in /proc"),
]
LATER = 2.0
"""Seconds beside the delay in which an answer that is late would come."""


@pytest.fixture(params=[0.3, 1.5])
def hand(tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[Photographer]:
    """Return a hand at a terminal that answers late; what it sends after the tool's end is kept in `keys`."""
    home = tmp_path / "home"
    home.mkdir(mode=0o700)
    hand = Photographer(home, 80, 24, XDG_STATE_HOME=str(tmp_path / "state"))
    hand.terminal = Terminal(80, 24, env=hand.terminal.env, answers=True, delay=request.param)
    seconds = str(request.param + LATER)
    hand.program = [sys.executable, "-I", keys_left_over.__file__, str(tmp_path / "keys"), seconds, *ARGV]
    with hand.terminal:
        yield hand


def _by_the_menu(hand: Photographer) -> None:
    hand.press("escape")
    hand.wait("Leave")
    hand.press("up")
    hand.press("enter")
    hand.wait("Stay")
    hand.press("down")
    hand.press("enter")


def _by_a_signal(hand: Photographer) -> None:
    assert hand.terminal.process is not None
    os.kill(only_child(hand.terminal.process.pid), signal.SIGTERM)


@pytest.mark.parametrize(("leave", "status"), [(_by_the_menu, 0), (_by_a_signal, 128 + signal.SIGTERM)])
def test_nothing_is_left_for_the_shell(
    hand: Photographer, tmp_path: Path, leave: Callable[[Photographer], None], status: int
) -> None:
    """Answers are on their way when the tool is left while a plate counts: it waits for each of them."""
    hand.open("bench", str(shortened(tmp_path)), "--exposure", "1s")
    hand.strike("sensitise")
    hand.strike("drain")
    leave(hand)
    assert hand.terminal.wait() == status
    assert (tmp_path / "keys").read_bytes() == b""
    assert hand.terminal.data.count(QUESTION) > 1, "nothing was asked"
