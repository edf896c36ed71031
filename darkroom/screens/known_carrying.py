"""The median way back from the camera, read from the log in a thread: nothing waits for it."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec.structs import replace

from darkroom.bench import all_plates
from darkroom.bench import events as ev
from darkroom.bench.all_plates import NEW, Bench

if TYPE_CHECKING:
    from darkroom.bench.carrying import Carrying


class CarryingReader:
    """Knows what was read last; before the first reading it knows nothing."""

    def __init__(self, home: Path, bench: str) -> None:
        self.home, self.bench = home, bench
        self._known: dict[str, Carrying] = {}
        self._asking = threading.Lock()

    def of(self, timed: str) -> Carrying | None:
        """Return the median of the plates of this bench with their lens timed "here" or "away", or None."""
        return self._known.get(timed)

    def with_carry(self, start: ev.PlateStarted) -> ev.PlateStarted:
        """Return the first line of a plate with the median, where no way back was typed and one is known."""
        known = self.of(start.timed) if start.carry is None else None
        return start if known is None else replace(start, carry=known.seconds, carry_from=known.origin)

    def on_bench(self, bench: Bench) -> Bench:
        """Return the bench with the median on the plate that waits for its first strike."""
        state = bench.plates.get(NEW)
        return bench if state is None else all_plates.with_start(bench, self.with_carry(state.start))

    def ask(self, deliver: Callable[[Callable[[], None]], None], on_read: Callable[[], None]) -> None:
        """Read the log; `on_read` is called on the screen's thread when it is known."""

        def read_log() -> None:
            from darkroom.log.plate.carrying import ways_back

            if not self._asking.acquire(blocking=False):
                return
            try:
                self._known = ways_back(self.home, self.bench)
            finally:
                self._asking.release()
            deliver(on_read)

        threading.Thread(target=read_log, name="carrying", daemon=True).start()
