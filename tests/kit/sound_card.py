"""A sound card without sound or waiting: what the player hands it is kept, in a time of its own."""

from __future__ import annotations

import json
import random
from array import array
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from darkroom.devices.sound.cue_names import RATE
from darkroom.devices.sound.messages import plain
from darkroom.devices.sound.player import Player
from darkroom.devices.sound.sample_clock import Stream
from darkroom.devices.sound.sound_settings import SoundSettings

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


class SoundCard:
    """A simulated sound card: asks for blocks, plays its queue evenly, and knows when each frame was heard.

    `drift` is how much faster its clock runs than ours; `pattern(i)` how full the queue is, in
    seconds, when block i is asked for; `stalls` are instants at which nobody answers it for a while.
    """

    def __init__(
        self,
        stream: Stream,
        period: float = 0.03,
        pattern: Callable[[int], float] = lambda i: 0.025,
        drift: float = 0.0,
        jitter: float = 0.0,
    ) -> None:
        """Begin with an empty queue."""
        self.stream, self.period, self.pattern = stream, period, pattern
        self.speed = RATE * (1 + drift)
        self.jitter = jitter
        self.rng = random.Random(7)
        self.samples = array("h")
        self.instants: list[tuple[int, float]] = []
        self.now = 50.0
        self._dry_at = self.now
        self._index = 0

    def run(self, seconds: float, stall: float = 0.0) -> None:
        """Ask for blocks for so long; the first of them `stall` seconds late."""
        end = self.now + seconds
        frames = int(self.period * RATE)
        late = stall
        while True:
            due = max(self.now, self._dry_at - self.pattern(self._index)) + late
            due += self.rng.random() * self.jitter
            if due > end:
                self.now = end
                return
            self.now, late = due, 0.0
            begins = max(self.now, self._dry_at)
            self.instants.append((len(self.samples), begins))
            self.samples.extend(array("h", bytes(self.stream.block(frames, self.now))))
            self._dry_at = begins + frames / self.speed
            self._index += 1

    def onsets(self) -> list[float]:
        """Return when each sound was heard to begin, as the card's own clock has it."""
        begins, quiet = [], RATE
        for index, value in enumerate(self.samples):
            if abs(value) > 1000:
                if quiet > 0.1 * RATE:
                    block = max(at for at in self.instants if at[0] <= index)
                    begins.append(block[1] + (index - block[0]) / self.speed)
                quiet = 0
            else:
                quiet += 1
        return begins


class RenderedPlayer:
    """The sound player, driven by its client's lines; a simulated sound card keeps what it plays."""

    def __init__(self, settings: SoundSettings | None = None) -> None:
        """Begin with nothing due, at the card's first instant."""
        self.reports: list[tuple[str, dict[str, Any]]] = []
        first = {"settings": (settings or SoundSettings()).plain()}
        self.player = Player(first, lambda kind, what: self.reports.append((kind, what)))
        stream = Stream(self.player.scheduler)
        stream.live = True
        self.card = SoundCard(stream)
        self._revision = 0

    @property
    def now(self) -> float:
        """The instant on the card's clock."""
        return self.card.now

    @property
    def samples(self) -> NDArray[np.int16]:
        """What has been played so far."""
        import numpy as np

        return np.array(self.card.samples, dtype=np.int16)

    def schedule(self, *cues: Mapping[str, Any]) -> None:
        """Replace the cues that are due from now on."""
        self._revision += 1
        self._send({"set": self._revision, "from": self.now, "cues": [plain(cue) for cue in cues]})

    def play(self, cue: Mapping[str, Any]) -> None:
        """Play a cue now."""
        self._send({"play": plain(cue)})

    def run(self, seconds: float, stall: float = 0.0) -> None:
        """Let time pass; the first block is asked for `stall` seconds late."""
        self.card.run(seconds, stall)

    def _send(self, order: dict[str, Any]) -> None:
        self.player.obey(json.dumps(order).encode())
