"""What is really played: a real sound server with a null sink, recorded and compared sample by sample.

A cue is heard, once and in order, or the tool itself tells why not. How early or late it is, is measured
by tests/measure/sound.py; what the player makes of its orders is tested in tests/devices/sound.
"""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("numpy", reason="numpy analyses the recorded sound")

from darkroom.devices.sound.client import Sound
from darkroom.devices.sound.cue_names import CUES, URGENCIES
from darkroom.devices.sound.make_cues import CUES as PULSES
from darkroom.devices.sound.make_cues import length
from darkroom.devices.sound.sound_settings import SoundSettings
from darkroom.resources import sounds_dir
from tests.kit import timed_run
from tests.kit.cues_heard import cue_stem, sounds
from tests.kit.nightly import size
from tests.kit.sound_recording import Ear, up

CUES_DUE = size("DARKROOM_CUES", 50, 200)
"""How many ticks are played while the screen redraws."""


@pytest.fixture
def sound(listening: Any, told: Any):
    """A client whose player is ready."""
    made = Sound(told)
    made.start()
    told.playing()
    yield made
    made.close()


def cue(
    at: float, name: str, plate: int | None = 1, say: tuple[str, ...] = (), urgency: int = 0
) -> dict[str, Any]:
    """Return a cue as plain values."""
    return {"up": at, "name": name, "plate": plate, "say": say, "urgency": urgency}


def test_ticks_are_heard_while_the_screen_redraws(listening: Any, ear: Ear, tmp_path: Path) -> None:
    """Each tick of a program that redraws its whole screen is heard once, or the player told why not."""
    redrawn = timed_run.redraw(listening, tmp_path, count=CUES_DUE, spacing=0.19)
    assert len(redrawn.due) == CUES_DUE
    assert ear.faults([(at, "pip") for at in redrawn.due], lambda: redrawn.reports) == []
    assert ear.heard(), redrawn.reports


def test_every_cue_and_its_words_are_heard_as_they_were_made(sound: Sound, ear: Ear, told: Any) -> None:
    """Each cue of the set and the words after the last are heard once, whole, in order, sample by sample."""
    plan = [(name, urgency) for name in CUES for urgency in (URGENCIES if name == "overrun" else (0,))]
    cues, due, at = [], [], up() + 0.5
    for name, urgency in plan:
        cues.append(cue(at, name, None, (), urgency))
        due.append((at, cue_stem(name, urgency)))
        at += length(PULSES[cue_stem(name, urgency)]) + 0.1
    cues.append(cue(at, "end", 1, ("2", "lift")))
    due += [(at, "end"), (at + 2.0, "voice/2"), (at + 4.0, "voice/lift")]
    sound.schedule(cues, 30)
    assert ear.faults(due, told.reported) == []
    assert ear.heard(), told.reports


def test_each_answer_is_heard_once(sound: Sound, ear: Ear, told: Any) -> None:
    """Each answer that is asked for is heard before the next is asked for, and none that is not."""
    due = []
    for _ in range(4):
        due.append((up(), "accepted"))
        sound.play(cue(due[-1][0], "accepted"))
        ear.wait(due, told.reported)
    assert ear.faults(due, told.reported) == []
    assert ear.heard(), told.reports


def test_the_settings_reach_the_player(listening: Any, capture: Any, told: Any, tmp_path: Path) -> None:
    """The photographer's volume, silent cues and own sounds are what is heard; a broken file is told."""
    shutil.copyfile(sounds_dir() / "step.wav", tmp_path / "pip.wav")
    (tmp_path / "end.wav").write_bytes(b"RIFF....WAVE")
    settings = SoundSettings(folder=str(tmp_path), volume=0.1, silent=frozenset({"start"}))
    expected = sounds(volume=0.1)
    too_loud = {f"{stem} too loud": samples for stem, samples in sounds().items()}
    ear = Ear(capture, {**expected, "shipped pip": expected["pip"], "pip": expected["step"], **too_loud})
    sound = Sound(told, settings=settings)
    sound.start()
    told.playing()
    at = up() + 0.5
    sound.schedule([cue(at, "pip"), cue(at + 1.0, "start"), cue(at + 2.0, "end")], 30)
    wrong = ear.faults([(at, "pip"), (at + 2.0, "end")], told.reported)
    sound.close()
    assert wrong == []
    assert ear.heard(), told.reports
    assert "end.wav: no format in it" in told.wait("problem")[1]["text"]
