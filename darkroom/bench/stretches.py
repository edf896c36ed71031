"""The states a plate goes through by itself: what its automatic zeros will bring. Pure."""

from __future__ import annotations

import math

import msgspec

from darkroom.bench import clocks
from darkroom.bench.decide import at_zero
from darkroom.bench.fold import apply
from darkroom.bench.intents import Cause
from darkroom.bench.state import PlateState


class Stretch(msgspec.Struct, frozen=True):
    """A plate's state and the instants between which it holds."""

    state: PlateState
    begin: float
    end: float


def stretches(state: PlateState, now: float, until: float) -> list[Stretch]:
    """Return the plate's states from `now` to `until`, lived through its automatic zeros."""
    lived: list[Stretch] = []
    begin = now
    for _ in range(64):
        zero = clocks.automatic_zero(state)
        if zero is None or zero > until:
            break
        lived.append(Stretch(state, begin, max(zero, begin)))
        lines = at_zero(state, Cause(at="", up=zero))
        for line in lines:
            state = apply(state, line)
        begin = max(zero, begin)
    lived.append(Stretch(state, begin, math.inf))
    return lived
