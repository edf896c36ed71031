"""What a session needs of the outside world; whoever starts a session passes it in."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, Protocol

from darkroom.bench import events as ev
from darkroom.bench.cues import Cue


class SessionClock(Protocol):
    """The clocks of the machine, or of a rehearsal that runs faster. All values are seconds."""

    def up(self) -> float:
        """Return the boot clock: it goes on through sleep."""

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


class Writer(Protocol):
    """The journal: `write` returns at once."""

    def write(self, plate_id: str, local_date: str, events: Sequence[ev.AnyEvent]) -> None:
        """Take the events of one cause."""

    def release(self, plate_id: str) -> None:
        """Let others note in a finished plate's journal."""


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
