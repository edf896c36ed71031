"""The lesser drivers, and what happens when a driver crashes the player."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("numpy", reason="numpy analyses the recorded sound")

from darkroom.devices.sound.client import Sound, text
from darkroom.devices.sound.sound_settings import SoundSettings
from tests.kit.sound_recording import Ear, up, wait_for


def play_two(told: Any, ear: Ear, driver: str) -> list[str]:
    """Play a tick by one driver, and an end when it was heard; return what is wrong with what was heard."""
    sound = Sound(told, settings=SoundSettings(driver=driver))
    sound.start()
    told.playing(driver)
    due = []
    for name in ("pip", "end"):
        due.append((up() + 0.3, name))
        sound.schedule([{"up": due[-1][0], "name": name, "plate": 1, "say": (), "urgency": 0}], 30)
        ear.wait(due, told.reported)
    wrong = ear.faults(due, told.reported)
    sound.close()
    assert ear.heard(), told.reports
    return wrong


def test_a_system_player_plays(ear: Ear, told: Any) -> None:
    """Where no library works a player of the system is started for each sound, and it is heard once."""
    assert play_two(told, ear, "system") == []


@pytest.fixture(scope="session")
def simpleaudio_folder(tmp_path_factory: pytest.TempPathFactory) -> Path | None:
    """Where simpleaudio lies: None when it is installed, else a folder it was built into."""
    try:
        import simpleaudio  # noqa: F401

        return None
    except ImportError:
        pass
    if sys.version_info[:2] != (3, 11):
        pytest.skip("simpleaudio is built and tried on Python 3.11 only: later ones it may crash")
    folder = tmp_path_factory.mktemp("simpleaudio")
    command = [sys.executable, "-m", "pip", "install", "-q", "--target", str(folder), "simpleaudio>=1.0.4"]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120, check=False)
    if done.returncode != 0:
        pytest.skip("simpleaudio cannot be built here: no index, compiler or ALSA headers")
    return folder


def test_simpleaudio_plays(
    ear: Ear, told: Any, simpleaudio_folder: Path | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The second library plays each sound once."""
    if simpleaudio_folder is not None:
        monkeypatch.setenv("PYTHONPATH", str(simpleaudio_folder))
    assert play_two(told, ear, "simpleaudio") == []


def test_a_driver_that_crashes_the_player_gives_way(listening: Any, told: Any) -> None:
    """A segmentation fault while a library plays: the next player leaves that library alone."""
    sound = Sound(told)
    sound.start()
    told.playing()
    assert sound.pid is not None
    os.kill(sound.pid, signal.SIGSEGV)
    _, what = told.wait("died")
    assert what["status"] == -signal.SIGSEGV
    told.wait("driver", lambda what: what["driver"] not in ("miniaudio", "none"))
    time.sleep(1.0)
    drivers = [what["driver"] for _, kind, what in told.reports if kind == "driver"]
    sound.close()
    assert drivers[0] == "miniaudio"
    assert "miniaudio" not in drivers[1:]


def test_no_driver_starts_no_player(told: Any) -> None:
    """With sound off by setting no process is started, and cues go nowhere without a complaint."""
    sound = Sound(told, settings=SoundSettings(driver="none"))
    sound.start()
    sound.schedule([{"up": up() + 1, "name": "end"}], 30)
    sound.play({"up": up(), "name": "accepted"})
    assert not wait_for(lambda: sound.pid is not None, 0.3)
    sound.close()
    assert told.reports == []


def test_a_line_the_player_cannot_read_is_told(listening: Any, told: Any) -> None:
    """A cue without a time is told as a problem; the player plays on."""
    sound = Sound(told)
    sound.start()
    told.wait("driver")
    sound._pipe.send(b'{"play": {"name": "end"}}\n', time.monotonic() + 1)
    told.wait("problem")
    pid = sound.pid
    time.sleep(0.2)
    assert sound.pid == pid
    sound.close()


@pytest.mark.parametrize(
    ("kind", "what", "line"),
    [
        ("driver", {"driver": "miniaudio"}, "sound: miniaudio"),
        ("driver", {"driver": "bell"}, "no sound: the bell only"),
        ("lost", {}, "sound lost"),
        ("died", {}, "the sound player died"),
        ("dropped", {"cue": {"name": "wet_warning"}, "why": "overlap"}, "not sounded: wet warning (overlap)"),
        ("late", {"cue": {"name": "end"}, "seconds": 0.31}, "sounded 0.3 s late: end"),
        ("underrun", {"buffer": 0.06}, "sound stuttered: buffer now 60 ms"),
        ("bell", {"cue": {"name": "end"}}, ""),
    ],
)
def test_each_report_is_one_quiet_line(kind: str, what: dict[str, Any], line: str) -> None:
    """A report has its line for the screen; those the screen need not show have none."""
    assert text(kind, what) == line
