"""After a long silence the player's stream rests: the first sound that follows is heard whole."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Iterator
from typing import Any

import pytest

pytest.importorskip("numpy", reason="numpy analyses the recorded sound")

from darkroom.devices.sound.client import Sound
from tests.kit.sound_recording import Ear, up, wait_for

PATIENCE = 40.0
"""Seconds after which a stream that does not rest never will."""


@pytest.fixture
def sound(listening: Any, told: Any) -> Iterator[Sound]:
    """A client whose player is ready."""
    made = Sound(told)
    made.start()
    told.playing()
    yield made
    made.close()


def streams(server: Any) -> list[str]:
    """Return the numbers of the streams that play through the server."""
    listed = subprocess.run(
        ["pactl", "list", "short", "sink-inputs"],
        env={**os.environ, **server.env},
        capture_output=True,
        text=True,
        check=True,
    )
    return [line.split()[0] for line in listed.stdout.splitlines()]


def rested(server: Any) -> None:
    """Wait until another stream than now is the only one: the one that keeps the output awake."""
    assert wait_for(lambda: len(streams(server)) == 1, PATIENCE)
    before = streams(server)
    assert wait_for(lambda: len(now := streams(server)) == 1 and now != before, PATIENCE), "it never rests"


def test_the_first_answer_after_a_rest_is_heard_whole(
    sound: Sound, listening: Any, ear: Ear, told: Any
) -> None:
    """It is heard once, sample by sample, and so is what is played behind it."""
    rested(listening)
    due = []
    for name in ("accepted", "refused"):
        due.append((up(), name))
        sound.play({"up": due[-1][0], "name": name, "plate": 1})
        ear.wait(due, told.reported)
    assert ear.faults(due, told.reported) == []
    assert ear.heard(), told.reports


def test_what_was_due_during_a_rest_is_heard_whole(sound: Sound, listening: Any, ear: Ear, told: Any) -> None:
    """A call that was scheduled long before is heard once, and its word too."""
    rested(listening)
    at = up() + 12.0
    sound.schedule([{"up": at, "name": "end", "plate": 2, "say": ("2",)}], 30)
    due = [(at, "end"), (at + 2.0, "voice/2")]
    assert ear.faults(due, told.reported) == []
    assert ear.heard(), told.reports
