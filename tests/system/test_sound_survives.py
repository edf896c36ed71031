"""The sound server, the player and the tool die in turn: it is said, and the cues come back."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("numpy", reason="numpy analyses the recorded sound")

from darkroom.devices.sound.client import Sound
from darkroom.devices.sound.sound_settings import SoundSettings
from tests.kit import sound_recording
from tests.kit.cues_heard import faults, sounds
from tests.kit.sound_recording import Ear, up, wait_for


def pip(at: float) -> dict[str, Any]:
    """Return a tick."""
    return {"up": at, "name": "pip", "plate": 1, "say": (), "urgency": 0}


def ready(told: Any, settings: SoundSettings | None = None) -> Sound:
    """Return a client whose player plays through the server."""
    made = Sound(told, settings=settings)
    made.start()
    told.playing()
    return made


def gone(pid: int) -> bool:
    """True when a process has ended."""
    try:
        state = Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()[0]
    except OSError:
        return True
    return state == "Z"


def test_a_frozen_sound_server_is_said(listening: Any, told: Any) -> None:
    """A server that answers no more is told, and the player stays alive beside it."""
    sound = ready(told)
    pid = sound.pid
    os.kill(listening.process.pid, signal.SIGSTOP)
    try:
        told.wait("lost")
        told.playing("bell")
        at = up() + 0.2
        sound.schedule([pip(at), pip(at + 1.0), pip(at + 2.0)], 30)
        told.wait("bell")
    finally:
        os.kill(listening.process.pid, signal.SIGCONT)
    told.wait("back")
    assert sound.pid == pid
    sound.close()


def test_a_killed_player_is_started_again_and_goes_on(ear: Ear, told: Any) -> None:
    """A player killed between cues is back with the same set: what is still due is heard, nothing twice."""
    sound = ready(told)
    at = up() + 0.3
    due = [(at, "pip"), (at + 1.8, "pip"), (at + 2.4, "pip")]
    sound.schedule([pip(instant) for instant, _ in due], 30)
    ear.wait(due[:1], told.reported)
    assert sound.pid is not None
    os.kill(sound.pid, signal.SIGKILL)
    told.wait("died")
    told.wait("restarted")
    told.wait("back")
    wrong = ear.faults(due, told.reported)
    sound.close()
    assert wrong == []
    assert ear.heard(), told.reports


def test_a_hanging_player_never_holds_up_the_tool(listening: Any, told: Any) -> None:
    """Hundreds of calls return while the player stands still, before it is ended and started anew."""
    sound = ready(told)
    assert sound.pid is not None
    stopped = sound.pid
    os.kill(stopped, signal.SIGSTOP)
    cues = [pip(up() + 20 + i) for i in range(40)]
    for _ in range(400):
        sound.schedule(cues, 30)
        sound.play(pip(up()))
    assert "restarted" not in told.kinds()
    told.wait("restarted")
    told.wait("driver")
    assert wait_for(lambda: gone(stopped), 30.0)
    assert "not sent" in {what.get("why") for _, kind, what in told.reports if kind == "dropped"}
    sound.close()


def test_the_player_goes_when_the_client_closes(listening: Any, told: Any) -> None:
    """After `close` the player is gone."""
    sound = ready(told)
    pid = sound.pid
    assert pid is not None
    sound.close()
    assert wait_for(lambda: gone(pid), 30.0)


@pytest.mark.parametrize("deaf_to_input", [False, True])
def test_the_player_goes_when_the_tool_is_killed(listening: Any, tmp_path: Path, deaf_to_input: bool) -> None:
    """A killed tool leaves no player behind, even when another process holds the player's input open."""
    script = tmp_path / "tool.py"
    script.write_text(
        "import subprocess, sys, time\n"
        "from darkroom.devices.sound.client import Sound\n"
        "sound = Sound(lambda kind, what: None)\n"
        "sound.start()\n"
        "while sound.pid is None: time.sleep(0.01)\n"
        "time.sleep(0.5)\n"
        "holder = 0\n"
        "if sys.argv[1] == 'True':\n"
        "    fd = sound._process.stdin.fileno()\n"
        "    holder = subprocess.Popen(['sleep', '600'], pass_fds=[fd]).pid\n"
        "print(sound.pid, holder, flush=True)\n"
        "time.sleep(20)\n"
    )
    tool = subprocess.Popen(
        [sys.executable, str(script), str(deaf_to_input)], stdout=subprocess.PIPE, text=True
    )
    assert tool.stdout is not None
    player, holder = map(int, tool.stdout.readline().split())
    assert not gone(player)
    tool.kill()
    tool.wait()
    try:
        assert wait_for(lambda: gone(player), 30.0)
    finally:
        if holder:
            os.kill(holder, signal.SIGKILL)


def test_without_a_server_the_bell_is_rung(
    told: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where nothing can make a sound the tool is asked to ring the bell, at the cue's time."""
    monkeypatch.setenv("PULSE_SERVER", f"unix:{tmp_path}/nobody")
    monkeypatch.setenv("PULSE_CLIENTCONFIG", str(tmp_path / "none.conf"))
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("ALSA_CONFIG_PATH", str(tmp_path / "none.conf"))
    rings: list[float] = []
    sound = Sound(told)
    sound.bell = lambda: rings.append(up())
    sound.start()
    _, what = told.wait("driver")
    assert what["driver"] == "bell"
    assert what["text"] == "no sound: the bell only"
    assert "no sound server" in what["why"]
    at = up() + 0.5
    sound.schedule([pip(at), pip(at + 0.5)], 30)
    assert wait_for(lambda: faults([(at, "pip"), (at + 0.5, "pip")], [], told.reported()) == [], 30.0)
    sound.close()
    assert 0 < len(rings) == told.kinds().count("bell") <= 2
    assert rings[0] >= at


def test_a_dead_sound_server_is_said_and_the_sound_comes_back(
    listening: Any, recordings: list[Any], told: Any
) -> None:
    """A killed server is told; the bell helps out; the sound is back when the server is."""
    sound = ready(told)
    listening.kill()
    told.wait("lost")
    told.playing("bell")
    at = up() + 0.3
    sound.schedule([pip(at), pip(at + 1.0), pip(at + 2.0)], 30)
    _, what = told.wait("bell")
    assert what["cue"]["name"] == "pip"
    assert up() >= at
    sound.schedule([], 30)
    listening.start()
    recordings.append(sound_recording.Capture(listening))
    told.wait("back")
    ear = Ear(recordings[-1], sounds())
    before = len(told.reports)
    due = (up() + 0.5, "pip")
    sound.schedule([pip(due[0])], 30)
    wrong = ear.faults([due], lambda: told.reported()[before:])
    sound.close()
    assert wrong == []
    assert ear.heard(), told.reports
