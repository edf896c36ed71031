"""What a session needs beside a clock: a journal in memory and a voice that says nothing."""

from __future__ import annotations

from collections.abc import Sequence

from darkroom.bench import events as ev
from darkroom.log.journal.frame import encode


class SilentVoice:
    """A voice that says nothing."""

    def schedule(self, cues: Sequence[object]) -> None:
        """Take the set."""

    def play(self, cue: object) -> None:
        """Take a cue."""


class MemoryJournal:
    """A journal in memory: `files` holds each plate's lines as on disk, `events` its events."""

    def __init__(self) -> None:
        self.files: dict[str, list[bytes]] = {}
        self.events: dict[str, list[ev.AnyEvent]] = {}

    def write(self, plate_id: str, local_date: str, events: Sequence[ev.AnyEvent]) -> None:
        """Keep the lines of one cause."""
        self.files.setdefault(plate_id, []).extend(encode(event) for event in events)
        self.events.setdefault(plate_id, []).extend(events)

    def release(self, plate_id: str) -> None:
        """Do nothing: nobody else writes here."""
