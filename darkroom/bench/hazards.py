"""What is dangerous beside what: warnings between the plates of the bench. Pure."""

from __future__ import annotations

from darkroom.bench.all_plates import Bench
from darkroom.bench.state import PlateState

CLASHES = (
    ("ether", "flame", "ether on the bench and a flame: put the flame out"),
    ("acid", "cyanide", "acid and cyanide on the bench: keep trays, sinks and waste apart"),
)


def held_now(state: PlateState) -> frozenset[str]:
    """Return what the plate's stage has about it while it runs or stands ready: its bottle is opened next."""
    return frozenset(state.stage.holds) if state.on_bench else frozenset()


def clashes(bench: Bench) -> tuple[str, ...]:
    """Return the warnings between plates, while they last."""
    warnings = []
    states = bench.on_bench
    for first, second, warning in CLASHES:
        if any(first in held_now(a) and second in held_now(b) for a in states for b in states if a is not b):
            warnings.append(warning)
    return tuple(warnings)
