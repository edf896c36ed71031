"""The sound player begins when something is to be heard, or a moment after the first frame."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from darkroom.bench.cues import Cue
from darkroom.screens.device_reports import Devices
from darkroom.session.protocols import CuePlayer
from darkroom.session.voice import CueSender

SCREEN_FIRST = 0.25
"""Seconds after the first frame at which the player begins where nothing is to be heard before: on a slow
machine the first keys have the processor to themselves."""


def late_player(devices: Devices, cue_sender: CueSender, begun: Callable[[], object]) -> LatePlayer:
    """Give the sender of cues a player that begins late; after a crash it is the one that runs."""
    cue_sender.player = player = LatePlayer(devices.start, begun)
    if devices.sound is None:
        cue_sender.bell_only = devices.settings.sound.driver == "bell"
    else:
        player.begin()  # of an application that crashed: it plays what was due then
    return player


class LatePlayer:
    """Takes cues for a player that has not begun; the first one has it begin, and none is lost.

    `start` begins the player, a process of its own, and returns its client at once; `begun` is called after
    that. All calls are on one thread.
    """

    def __init__(self, start: Callable[[], CuePlayer], begun: Callable[[], object]) -> None:
        """Nothing has begun yet."""
        self._start, self._begun = start, begun
        self._player: CuePlayer | None = None

    def begin(self) -> CuePlayer:
        """Let the player begin, if it has not; return its client."""
        if self._player is None:
            self._player = self._start()
            self._begun()
        return self._player

    def schedule(self, cues: Sequence[Cue], horizon: float) -> None:
        """Replace the set of cues due within the horizon, in seconds; an empty one begins nothing."""
        if cues or self._player is not None:
            self.begin().schedule(cues, horizon)

    def play(self, cue: Cue) -> None:
        """Play a cue now."""
        self.begin().play(cue)
