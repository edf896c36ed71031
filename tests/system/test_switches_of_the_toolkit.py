"""The environment switches of the toolkit and of its language: none has an effect at the bench."""

from __future__ import annotations

import signal
from pathlib import Path

import pytest

from tests.kit import season, switches
from tests.kit.audit import audit
from tests.kit.photographer import ARGV
from tests.kit.stopped_tool import OWN_COLOURS, StoppedTool

pytestmark = [
    pytest.mark.system,
    pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="the state is read from /proc"),
]


def test_no_switch_presses_keys_writes_files_or_changes_colours(tmp_path: Path) -> None:
    """With every switch set: one press is one mark, escape opens the menu, no file, only red."""
    folder = tmp_path / "switches"
    folder.mkdir()
    tool = StoppedTool(tmp_path)
    tool.terminal.env |= switches.every(folder)
    with tool.terminal:
        tool.open()
        assert tool.mark()
        assert tool.marks() == 1
        tool.hand.press("escape")
        tool.hand.wait("New plate like the last")
        tool.kill(signal.SIGTERM)
        assert tool.terminal.wait() == 128 + signal.SIGTERM
        assert list(folder.iterdir()) == []
        assert audit(tool.terminal.data.replace(OWN_COLOURS, b""), 24) == []


def test_no_switch_changes_what_a_command_prints_or_writes(tmp_path: Path) -> None:
    """With every switch set a command has the same status and output, and no file is written."""
    home, folder = tmp_path / "home", tmp_path / "switches"
    folder.mkdir()
    season.write(home, 3, seed=3, days=2)
    for words in switches.COMMANDS[:2]:
        assert switches.changed(ARGV, words, home, folder) is None
