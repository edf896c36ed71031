"""What a session needs beside a clock: a journal in memory and a voice that says nothing."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from darkroom.bench import events as ev
from darkroom.bench.cues import Cue
from darkroom.devices.clock import Watch
from darkroom.log.journal.frame import encode
from darkroom.session.key_map import NUDGES, KeyMap
from darkroom.session.session import Session
from darkroom.session.strikes import Recogniser
from tests.kit.bench import start
from tests.kit.clocks import HandClock


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


class KeptVoice:
    """A voice that keeps every cue it is asked to play now, in order."""

    def __init__(self) -> None:
        self.played: list[Cue] = []

    def schedule(self, cues: Sequence[Cue]) -> None:
        """Take the set, and forget it."""

    def play(self, cue: Cue) -> None:
        """Keep a cue."""
        self.played.append(cue)

    def said(self, *names: str) -> list[tuple[str, ...]]:
        """Return what the kept cues of these names say, of all without names."""
        return [cue.say for cue in self.played if not names or cue.name in names]


class KeySession:
    """A session on a clock that is moved by hand, worked by keys of the default key map."""

    def __init__(self, **plate: Any) -> None:
        """Put a plate of the trial process on the bench; `plate` are further members of its start."""
        self.clock, self.voice, self.journal = HandClock(), KeptVoice(), MemoryJournal()
        self.session = Session(
            clock=self.clock,
            watch=Watch(self.clock),
            writer=self.journal,
            voice=self.voice,
            recogniser=Recogniser(KeyMap().zone_of, NUDGES),
            new_id=lambda wall: f"p{len(self.journal.files) + 1}",
            next_number=lambda bench: len(self.journal.files) + 1,
        )
        self.session.put_on(start(up=self.clock.up(), **plate))

    def press(self, key: str, after: float = 1.5) -> None:
        """Press a key `after` seconds from now, and wait until it is decided."""
        self.wait(after)
        self.session.key(key)
        self.wait(0.1)

    def wait(self, seconds: float) -> None:
        """Let time pass, a tenth of a second after another."""
        for _ in range(round(seconds * 10)):
            self.clock.move(0.1)
            self.session.tick()

    @property
    def answered(self) -> str:
        """What was answered last, on the screen."""
        assert self.session.answer is not None
        return self.session.answer.text
