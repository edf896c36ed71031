"""The bench's voice: cue sets go to the sound player, and to the terminal bell when it has none."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import msgspec

from darkroom.bench.cues import AHEAD, Cue, plate_words
from darkroom.session.protocols import CuePlayer, SessionClock
from darkroom.session.speech import SpokenSet

RUNG = frozenset({"end", "overrun", "back_now", "past_wet", "wet_warning", "refused", "not_saved", "start"})
"""The cues for which a bell rings when there is nothing better: those that ask for a hand."""


FAST = 3.0
CROWDED = frozenset({"pip", "say", "repeat", "caution"})
"""On a clock faster than `FAST` these would fall over one another."""


class CueSender:
    """Hands cues to the player on the machine's own clock; rings the bell where it must.

    `spoken` are the recordings there are: what a cue says becomes the names of recordings on its way out. Of
    words that have none the rest of `say`, `instead` or the plate's number is spoken.
    """

    def __init__(self, clock: SessionClock, real: SessionClock, speed: float) -> None:
        self.clock, self.real, self.speed = clock, real, speed
        self.bell: Callable[[], None] = lambda: None
        """Rings the terminal's bell; the application sets it."""
        self.player: CuePlayer | None = None
        self.bell_only = True
        self.spoken = SpokenSet(())
        self._due: tuple[Cue, ...] = ()
        self._rung_until = clock.up()

    def schedule(self, cues: Sequence[Cue]) -> None:
        """Replace the set of cues that are due in the time ahead."""
        self._due = tuple(cues)
        if self.player is not None:
            sent = [cue for cue in cues if self.speed <= FAST or cue.name not in CROWDED]
            self.player.schedule([self._made_ready(cue) for cue in sent], AHEAD / self.speed)

    def play(self, cue: Cue) -> None:
        """Play a cue now."""
        if self.player is not None:
            self.player.play(self._made_ready(cue))
        if self.bell_only and cue.name in RUNG:
            self.bell()

    def ring(self, now: float) -> None:
        """Ring the bell once for the cues that came due since the last look."""
        since, self._rung_until = self._rung_until, now
        if self.bell_only and any(since < cue.up <= now and cue.name in RUNG for cue in self._due):
            self.bell()

    def _made_ready(self, cue: Cue) -> Cue:
        """Return the cue with the names of recordings to say, due on the machine's own clock."""
        say = self.spoken.say(cue.say, cue.instead)
        if cue.say and not say and cue.plate:
            say = self.spoken.say([plate_words(cue.plate)])
        up = cue.up
        if self.clock is not self.real:
            up = self.real.up() + (cue.up - self.clock.up()) / self.speed
        return msgspec.structs.replace(cue, up=up, say=say, instead=())
