"""Types that msgspec knows when their modules are imported: no two threads are the first to use one."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from tests.kit import first_uses, season
from tests.kit.menu import move_to
from tests.kit.plates_in_a_row import LIKE_THE_LAST, THREE_STEPS, PlatesInARow

pytestmark = pytest.mark.system
PROGRAM = (sys.executable, first_uses.__file__)
COMMANDS = (
    "log list", "log show 1 --json", "log rate 1 --stars 3", "log compare 1 2", "log trends", "log check",
    "log export html --all --to out.html", "log export jsonl --all --to out.jsonl", "day --note cold", "day",
    "process times tintype", "log move 1 drain --by=-1s", "log rate 1 --fault=pinholes --nothing-else",
    "fault why 1", "fault list",
)  # fmt: skip


def test_commands_meet_no_type_late(tmp_path: Path) -> None:
    """Whatever a command reads and writes, it is the first to use no type of an event or a process."""
    told, home = tmp_path / "told", tmp_path / "home"
    season.write(home, 3, seed=1, days=2)
    for words in COMMANDS:
        done = subprocess.run(
            [*PROGRAM, str(told), *words.split()],
            env={**os.environ, "DARKROOM_HOME": str(home)}, cwd=tmp_path, capture_output=True, check=False,
        )  # fmt: skip
        assert b"Traceback" not in done.stderr, done.stderr
        assert (words, told.exists() and told.read_text()) == (words, False)


def test_the_tool_meets_no_type_late(tmp_path: Path) -> None:
    """A plate is worked, killed, brought back and done; the log, a page of it and trends are opened."""
    told = tmp_path / "told"
    season.write(tmp_path / "home", 20, seed=1, days=9)
    row, again = PlatesInARow(tmp_path, THREE_STEPS), PlatesInARow(tmp_path, THREE_STEPS)
    row.hand.program = again.hand.program = [*PROGRAM, str(told)]
    with row.hand.terminal:
        row.open()
        row.hand.press("space")
        row.hand.wait("6: mark")
        row.hand.terminal.kill(signal.SIGKILL)
        row.hand.terminal.wait()
    hand = again.hand
    with hand.terminal:
        hand.open()
        assert again.finish()
        hand.press("escape")
        hand.wait(LIKE_THE_LAST)
        move_to("The log", [hand.terminal])
        hand.press("space")
        hand.wait(lambda screen: "newest first" in screen and "Three steps" in screen)
        hand.press("enter")
        hand.wait("j judge")
        hand.press("escape")
        hand.wait("newest first")
        hand.press("f4")
        hand.wait("1 of ")
    assert not told.exists(), told.read_text()
