"""The one quiet line tells the worst of what does not work."""

from __future__ import annotations

from pathlib import Path

import pytest

from darkroom.screens.app import Tool
from darkroom.screens.start import build


def test_a_lost_thermometer_hides_no_dead_player(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever came first, the disk is told before the calls, the calls before a thermometer."""
    monkeypatch.setenv("DARKROOM_HOME", str(tmp_path))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    services = build(tmp_path)
    tool = Tool(services)
    assert tool.notice is None
    tool.say_quietly("thermometer bath", "bath thermometer: no answer")
    assert tool.notice == "bath thermometer: no answer"
    tool.say_quietly("sound", "sound lost")
    assert tool.notice == "sound lost; bath thermometer: no answer"
    tool.say_quietly("disk", "not saved: no room")
    assert tool.notice == "not saved: no room (and 2 more)"
    tool.say_quietly("disk", None)
    tool.say_quietly("thermometer bath", None)
    assert tool.notice == "sound lost"
    services.close()
