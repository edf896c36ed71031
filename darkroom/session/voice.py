"""The bench's voice: cue sets go to the sound player, and to the terminal bell when it has none."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import msgspec

from darkroom.bench.cues import AHEAD, Cue
from darkroom.session.protocols import CuePlayer, SessionClock

RUNG = frozenset({"end", "overrun", "back_now", "past_wet", "wet_warning", "refused", "not_saved", "start"})
"""The cues for which a bell rings when there is nothing better: those that ask for a hand."""


FAST = 3.0
CROWDED = frozenset({"pip", "say"})
"""On a clock faster than `FAST` these would fall over one another."""


class CueSender:
    """Hands cues to the player on the machine's own clock; rings the bell where it must."""

    def __init__(self, clock: SessionClock, real: SessionClock, speed: float) -> None:
        self.clock, self.real, self.speed = clock, real, speed
        self.bell: Callable[[], None] = lambda: None
        """Rings the terminal's bell; the application sets it."""
        self.player: CuePlayer | None = None
        self.bell_only = True
        self._due: tuple[Cue, ...] = ()
        self._rung_until = clock.up()

    def schedule(self, cues: Sequence[Cue]) -> None:
        """Replace the set of cues that are due in the time ahead."""
        self._due = tuple(cues)
        if self.player is not None:
            sent = [self._on_real_clock(cue) for cue in cues if self.speed <= FAST or cue.name not in CROWDED]
            self.player.schedule(sent, AHEAD / self.speed)

    def play(self, cue: Cue) -> None:
        """Play a cue now."""
        if self.player is not None:
            self.player.play(self._on_real_clock(cue))
        if self.bell_only and cue.name in RUNG:
            self.bell()

    def ring(self, now: float) -> None:
        """Ring the bell once for the cues that came due since the last look."""
        since, self._rung_until = self._rung_until, now
        if self.bell_only and any(since < cue.up <= now and cue.name in RUNG for cue in self._due):
            self.bell()

    def _on_real_clock(self, cue: Cue) -> Cue:
        if self.clock is self.real:
            return cue
        ahead = (cue.up - self.clock.up()) / self.speed
        return msgspec.structs.replace(cue, up=self.real.up() + ahead)
