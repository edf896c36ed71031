"""How the tool watches its player: seldom, and no longer silent than it may be. On a clock of the test."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from darkroom.devices.sound import client
from darkroom.devices.sound.client import UNHEARD, WATCHED, Sound


class Watched:
    """A pipe to a player, waiting in which passes the time; and the player, as far as it is watched."""

    returncode: int | None = None

    def __init__(self, ends: float) -> None:
        """The player lives until `ends`, in seconds from now."""
        self.now, self.ends, self.waits = 100.0, 100.0 + ends, 0
        self.heard = [self.now]
        self.speaks_until, self.killed_at = 0.0, 0.0
        self.stopped_once = 0.0

    def monotonic(self) -> float:
        """Return the time."""
        return self.now

    def flush(self, seconds: float) -> None:
        """Wait; a player that speaks gives a sign of life meanwhile."""
        self.waits += 1
        self.now += seconds + self.stopped_once
        self.stopped_once = 0.0
        if self.now < self.speaks_until:
            self.heard[0] = self.now - 0.3
        if self.now >= self.ends:
            self.returncode = 0

    def kill(self) -> None:
        """End the player."""
        self.killed_at = self.now


@pytest.fixture
def watch(monkeypatch: pytest.MonkeyPatch) -> Any:
    """Return what has a player watched until it ends."""

    def run(watched: Watched) -> None:
        monkeypatch.setattr(client, "time", SimpleNamespace(monotonic=watched.monotonic))
        sound = Sound(lambda kind, what: None, clock=watched.monotonic)
        sound._pipe = watched  # type: ignore[assignment]
        sound._watch(watched, watched.heard)  # type: ignore[arg-type]

    return run


def test_a_player_that_lives_is_looked_at_once_a_second(watch: Any) -> None:
    """Nothing waits for the pipe: in a minute the watching thread wakes some sixty times."""
    watched = Watched(ends=60.0)
    watched.speaks_until = watched.ends
    watch(watched)
    assert watched.killed_at == 0.0
    assert watched.waits <= 62


def test_a_silent_player_is_ended_when_it_was_not_heard_for_too_long(watch: Any) -> None:
    """It is ended after `UNHEARD` seconds and no more than a look later."""
    watched = Watched(ends=60.0)
    watch(watched)
    assert UNHEARD <= watched.killed_at - 100.0 <= UNHEARD + 0.5


def test_a_tool_that_was_stopped_itself_ends_no_player(watch: Any) -> None:
    """Where the tool slept for longer than a player may be silent, the player gets its time anew."""
    watched = Watched(ends=60.0)
    watched.stopped_once = 12.0
    watch(watched)
    went_on = 100.0 + WATCHED + 12.0
    assert UNHEARD <= watched.killed_at - went_on <= UNHEARD + 0.5
