"""What a session needs of the outside world; whoever starts a session passes it in."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Literal, Protocol

import msgspec

from darkroom.bench import events as ev
from darkroom.bench.cues import Cue
from darkroom.bench.intents import CameBack
from darkroom.bench.standing import Line


class SessionClock(Protocol):
    """The clocks of the machine, or of a rehearsal that runs faster. All values are seconds."""

    def up(self) -> float:
        """Return the boot clock: it goes on through sleep."""

    def up_at(self, instant: float) -> float:
        """Return the boot clock at an instant of `time.monotonic()`, a moment ago."""

    def awake(self) -> float:
        """Return the monotonic clock: it stands still during sleep."""

    def wall(self) -> float:
        """Return the wall clock since the epoch."""

    def stamp(self, wall: float) -> str:
        """Return a wall time as RFC 3339 text with the local offset and milliseconds."""


class ClockWatch(Protocol):
    """Notices sleeps, stalls and steps of the wall clock."""

    def look(self) -> Sequence[tuple[Literal["slept", "stepped", "stalled"], float]]:
        """Return (kind, seconds) of what the clocks did since the last look."""


class TakenBack(msgspec.Struct, frozen=True):
    """A racked plate whose journal is the bench's again: its lines as they are now.

    `back` is set when its last line is of another start of the machine.
    """

    lines: Sequence[Line]
    back: CameBack | None = None


TakeBack = Callable[[str], TakenBack | None]
"""Locks the journal of a plate (its id) and reads it again; None when nobody else could write to it.

Raises DarkroomError with the reason when that cannot be done.
"""


class Writer(Protocol):
    """The journal: `write` returns at once."""

    def write(self, plate_id: str, local_date: str, events: Sequence[ev.AnyEvent]) -> None:
        """Take the events of one cause."""

    def release(self, plate_id: str) -> None:
        """Let others note in the journal of a plate that is finished, or waits on the rack."""


class Voice(Protocol):
    """The bench's voice; both methods return at once."""

    def schedule(self, cues: Sequence[Cue]) -> None:
        """Replace the set of cues that are due in the time ahead."""

    def play(self, cue: Cue) -> None:
        """Play a cue now."""


class CuePlayer(Protocol):
    """The sound player's client; both methods return at once."""

    def schedule(self, cues: Sequence[Cue], horizon: float) -> None:
        """Replace the set of cues due within the horizon, in seconds."""

    def play(self, cue: Cue) -> None:
        """Play a cue now."""
