"""A plate of ten thousand events: reading it is the floor, the fold of its state and an undo are measured.

The floor is what any reader of the file must do: checksum and typed decoding of every line, as one list. The
fold makes the bench's state of those events. An undo is decided and applied: what a strike of the undo key
costs a plate that long.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

from darkroom.bench import events as ev
from darkroom.bench.fold import apply, fold
from darkroom.bench.intents import Cause
from darkroom.bench.undo import undo
from darkroom.log.journal import frame
from tests.kit.long_plate import long_plate

EVENTS = 10_000
AIM = 2.0
READER = frame.LineReader(ev.READER, ev.AnyEvent)


def seconds(work: Callable[[], Any]) -> float:
    """Return the processor time that some work takes, in seconds."""
    began = time.process_time()
    work()
    return time.process_time() - began


class Undos:
    """The undo of the last strike of a plate, each time of a plate that was never asked before."""

    def __init__(self, lines: list[ev.AnyEvent]) -> None:
        """`lines` are those of the plate."""
        self.lines, self.n = lines, 0

    def __call__(self) -> float:
        """Return the processor time of one undo, in seconds, of a state that no undo was asked of yet."""
        self.n += 1
        last = self.lines[-1]
        up = (last.up or 0.0) + 1 + self.n / 1000
        strike = ev.StageStarted(n=last.n + 1, at=last.at, up=up, stage="fix", planned=None, celsius=20.0)
        state = fold([*self.lines, strike])

        def work() -> None:
            (undone,), refusal = undo(state, Cause(at=last.at, up=up + 1.0), developing=False)
            assert isinstance(undone, ev.Undone) and refusal is None
            self.after = apply(state, undone)

        return seconds(work)


def measure(short: bool = False) -> list[Any]:
    """Return the rows of the table of all measurements."""
    from tests.measure import measure as m

    rounds = 5 if short else 15
    lines = long_plate(EVENTS)
    frames = [frame.encode(line)[:-1] for line in lines]

    def floor() -> float:
        return seconds(lambda: READER.parse_all(frames))

    undos = Undos(lines)
    folded = m.paired(lambda: seconds(lambda: fold(lines)), floor, rounds)
    undone = m.paired(undos, floor, rounds)
    note = f"{sum(isinstance(line, ev.Undone) for line in lines)} undos among them"
    return [
        folded.row(f"{EVENTS:,} events in a plate: fold, CPU", AIM, "ms", note, scale=1000),
        undone.row(f"{EVENTS:,} events in a plate: undo, CPU", AIM, "ms", "decided and applied", scale=1000),
    ]
