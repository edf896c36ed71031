"""A scheduler driven through time as an output drives it, for tests."""

from __future__ import annotations

import math
from typing import Any

from darkroom.devices.sound.messages import Call
from darkroom.devices.sound.scheduler import Scheduler
from darkroom.devices.sound.sound_files import Library


class Bench:
    """A scheduler driven through time as an output drives it, and a diary of what sounded when."""

    def __init__(self, silent: tuple[str, ...] = ()) -> None:
        """Begin at 100 s with nothing due."""
        self.reports: list[tuple[str, dict[str, Any]]] = []
        self.scheduler = Scheduler(Library(), lambda kind, what: self.reports.append((kind, what)), silent)
        self.now = 100.0
        self.revision = 0
        self.diary: list[tuple[float, str]] = []
        self._last: object = None

    def schedule(self, *calls: Call) -> None:
        """Hand a new set over."""
        self.revision += 1
        self.scheduler.post_set(self.revision, self.now, list(calls))

    def until(self, end: float) -> None:
        """Live through time to `end`, waking whenever the scheduler says so."""
        scheduler = self.scheduler
        while self.now < end:
            playing = scheduler.playing
            if playing is not None and self.now >= playing.end - 1e-9:
                scheduler.finish()
            scheduler.advance(self.now)
            playing = scheduler.playing
            if playing is not self._last and playing is not None:
                word = playing.word_of is not None
                self.diary.append(
                    (round(self.now, 3), f"{playing.call.name} says" if word else playing.call.name)
                )
            self._last = playing
            next_end = playing.end if playing is not None else math.inf
            self.now = min(end, max(self.now + 1e-4, min(scheduler.due(), next_end)))

    def sounded(self) -> list[str]:
        """Return what sounded, in order."""
        return [name for _, name in self.diary]

    def dropped(self) -> list[tuple[str, str]]:
        """Return the dropped cues and why."""
        return [(what["cue"]["name"], what["why"]) for kind, what in self.reports if kind == "dropped"]
