"""`darkroom sound`, and the check of the machine's sound."""

from __future__ import annotations

import json
import time
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from click.testing import CliRunner

from darkroom.cli import main
from darkroom.commands import sound as command
from darkroom.devices.sound import client
from darkroom.devices.sound.cue_names import CUES, cue_files


@pytest.fixture
def deaf(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A machine on which nothing can make a sound."""
    monkeypatch.setenv("PULSE_SERVER", f"unix:{tmp_path}/nobody")
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("ALSA_CONFIG_PATH", str(tmp_path / "none.conf"))


def test_the_list_names_every_cue(capsys: pytest.CaptureFixture[str]) -> None:
    """Every cue is listed with its length and what it tells."""
    assert main(["sound", "list"]) == 0
    out = capsys.readouterr().out
    assert all(stem.replace("-", "_") in out for stem in cue_files())
    assert set(command.MEANINGS) == set(CUES)


def test_the_list_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    """The list as JSON gives name, meaning, seconds and file of each cue."""
    assert main(["sound", "list", "--json"]) == 0
    rows = json.loads(capsys.readouterr().out)
    assert len(rows) == len(cue_files())
    for row in rows:
        assert 0.1 <= row["seconds"] <= 1.5
        assert Path(row["file"]).is_file()


def test_an_unknown_cue_is_wrong_use(capsys: pytest.CaptureFixture[str]) -> None:
    """A cue that does not exist ends with 2 and the nearest right name."""
    assert main(["sound", "play", "refusd"]) == 2
    assert "did you mean 'refused'?" in capsys.readouterr().err


@pytest.mark.parametrize("word", ["overrun", "overrun_2", "overrun-3", "wet-warning", "WET_WARNING", "say"])
def test_cues_are_found_however_they_are_written(
    word: str, deaf: None, capsys: pytest.CaptureFixture[str]
) -> None:
    """A cue's name is accepted with hyphens, underscores and capitals."""
    assert main(["sound", "play", word]) == 1
    assert "nothing here can make a sound" in capsys.readouterr().err


def test_playing_without_any_sound_says_no(deaf: None, capsys: pytest.CaptureFixture[str]) -> None:
    """Where nothing can make a sound the exit status is 1, with the reason."""
    assert main(["sound", "play", "end"]) == 1
    assert "nothing here can make a sound: no sound server or card answers" in capsys.readouterr().err


def test_the_look_without_any_sound_says_what_to_do(deaf: None) -> None:
    """The look at a deaf machine finds the files whole, no driver, and what to do about it."""
    files, sound = command.check()
    assert (files.what, files.ok) == ("sound files", True)
    assert (sound.what, sound.ok) == ("sound", False)
    assert "start the sound server" in sound.what_to_do


def test_a_cue_is_played(
    ear: Any, told: Any, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """With a sound server the cue and its word are heard and the driver named."""
    due = [(0.0, "end"), (2.0, "voice/2")]

    class ReportingSound(client.Sound):
        def __init__(self, report: client.Report, **more: Any) -> None:
            super().__init__(lambda kind, what: (told(kind, what), report(kind, what))[1], **more)

    def heard_out(seconds: float) -> None:
        """Pause as the command does, and on until the sound is over: a busy machine plays late."""
        time.sleep(seconds)
        if seconds > 0.4:
            ear.wait(due, told.reported)

    monkeypatch.setattr(command, "Sound", ReportingSound)
    monkeypatch.setattr(command, "time", SimpleNamespace(sleep=heard_out))
    assert main(["sound", "play", "end", "--say", "2"]) == 0
    assert "played by miniaudio" in capsys.readouterr().err
    assert ear.faults(due, told.reported) == []


def test_the_look_plays_a_test_tone(listening: Any) -> None:
    """With a sound server the look finds that a test tone was played."""
    _, sound = command.check()
    assert sound.ok
    assert "a test tone was played by miniaudio" in sound.detail


@pytest.mark.parametrize("words", [["--help"], ["list", "--help"], ["play", "--help"]])
def test_help_says_that_it_is_not_red(words: list[str]) -> None:
    """The help of each command says that only the full-screen tool is red."""
    output = CliRunner().invoke(command.sound, words).output
    assert "Only the full-screen tool is red" in " ".join(output.split())
