"""The one quiet line tells the worst of what does not work."""

from __future__ import annotations

from pathlib import Path

import pytest

from darkroom.screens import notices
from darkroom.screens.app import Tool
from darkroom.screens.bench.rail import BenchStatus, keys_row
from darkroom.screens.notices import Notices
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


def test_settings_are_told_beside_a_silent_tool() -> None:
    """Two words of the silence, then what of the settings is left out; alone the bench has the two words."""
    quiet = Notices()
    quiet.say("settings 0", "keys.yaml: no key 'xx'")
    quiet.say("sound", "no sound: the bell only")
    assert quiet.text == "no sound; keys.yaml: no key 'xx'"
    assert "no sound; keys.yaml: no key 'xx'" in _shown(quiet)
    quiet.say("settings 1", "settings.yaml: left out")
    assert quiet.text == "no sound; keys.yaml: no key 'xx' (and 1 more)"
    quiet.say("settings 0", None)
    quiet.say("settings 1", None)
    assert _shown(quiet).endswith(" no sound")


def test_what_is_silent_by_setting_comes_after_what_is_broken() -> None:
    """A dead player stands first, the silenced calls second, everything else is counted."""
    quiet = Notices()
    quiet.say("thermometer bath", "bath thermometer: no answer")
    quiet.say("silent", "silent by setting: end")
    assert quiet.text == "silent by setting; bath thermometer: no answer"
    quiet.say("sound", "sound lost")
    assert quiet.text == "sound lost; silent by setting: end (and 1 more)"


def test_a_line_may_be_taken_away_while_it_is_looked_at(monkeypatch: pytest.MonkeyPatch) -> None:
    """The book of the day says from its own thread that it works again: the line is shown once more."""
    quiet = Notices()
    quiet.say("day", "the day's sheet is not saved")

    class Taking(dict[str, int]):
        def get(self, topic: str, rank: int = 0) -> int:  # type: ignore[override]
            quiet.say("day", None)
            return rank

    monkeypatch.setattr(notices, "RANKS", Taking())
    assert quiet.text == "the day's sheet is not saved"
    assert quiet.text is None


def _shown(quiet: Notices) -> str:
    """Return the bench's row of keys at 80 columns."""
    row = keys_row(BenchStatus(notice=quiet.text, keys=(("space", "go"),)), 80)
    return "".join(text for text, _ in row).rstrip()


@pytest.mark.parametrize("text", ["{", "[1]", "\x00\xff"])
def test_a_damaged_book_of_the_bench_is_told(home: Path, text: str) -> None:
    """The form and the numbers of the last sitting are lost: the quiet line says why, the tool opens."""
    (home / "bench.json").write_text(text)
    services = build(home)
    assert (services.notices.text or "").startswith("bench.json: damaged, left out: ")
    services.close()


def test_a_book_of_the_bench_that_is_not_there_is_no_trouble(home: Path) -> None:
    """A first start says nothing."""
    services = build(home)
    assert services.notices.text is None
    services.close()
