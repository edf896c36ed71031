"""The environment switches of the toolkit and of its language: none has an effect at the bench."""

from __future__ import annotations

import signal
from pathlib import Path

import pytest

from tests.kit.audit import audit
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
    tool.terminal.env |= {
        "TEXTUAL": "devtools,debug", "TEXTUAL_PRESS": "6,6,q", "TEXTUAL_LOG": str(folder / "log"),
        "TEXTUAL_DRIVER": "nowhere:Driver", "TEXTUAL_DEBUG": "1", "TEXTUAL_SCREENSHOT": "1",
        "TEXTUAL_SCREENSHOT_LOCATION": str(folder), "TEXTUAL_SHOW_RETURN": "1", "TEXTUAL_FPS": "1",
        "TEXTUAL_COLOR_SYSTEM": "standard", "TEXTUAL_THEME": "nord", "TEXTUAL_ALLOW_SIGNALS": "1",
        "TEXTUAL_ANIMATIONS": "full", "NO_COLOR": "1", "FORCE_COLOR": "3", "ESCDELAY": "100000",
        "UNICODE_VERSION": "4.1.0", "COLUMNS": "33", "LINES": "9", "PYTHONSTARTUP": str(folder / "log"),
        "PYTHONWARNINGS": "error", "PYTHONDEVMODE": "1", "PYTHONASYNCIODEBUG": "1", "PYTHONINSPECT": "1",
    }  # fmt: skip
    with tool.terminal:
        tool.open()
        assert tool.mark()
        assert tool.marks() == 1
        tool.hand.press("escape")
        tool.hand.wait("New plate like the last", 10.0)
        tool.terminal.kill(signal.SIGTERM)
        assert tool.terminal.wait() == 128 + signal.SIGTERM
        assert list(folder.iterdir()) == []
        assert audit(tool.terminal.data.replace(OWN_COLOURS, b""), 24) == []
