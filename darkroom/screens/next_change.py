"""When what is drawn of the bench changes next: the whole seconds of its clocks, and what falls due."""

from __future__ import annotations

import math

from darkroom.bench.view import BenchView, PlateView
from darkroom.session.session import Session

LONGEST_SLEEP = 0.25
"""While a plate is followed, a screen looks at the clocks at least this often, in seconds."""


def seconds_to_change(session: Session, view: BenchView, now: float, speed: float, resting: float) -> float:
    """Return after how many of the machine's seconds a screen looks at the clocks again.

    `view` is the bench at `now`, `speed` is how many of its seconds pass in one of the machine's, and
    `resting` how long a screen may sleep while no plate is followed.
    """
    due = session.next_due()
    ahead = [] if due is None else [due - now]
    ahead += [next_second(plate) for plate in (*([view.large] if view.large else []), *view.rail)]
    longest = LONGEST_SLEEP if session.bench.followed else resting
    return max(0.005, min([longest, *(seconds / speed for seconds in ahead)]))


def next_second(view: PlateView) -> float:
    """Return in how many seconds the drawn time of this plate changes."""
    waits = []
    if view.shape in ("down", "lead_in"):
        waits.append(_to_whole(view.seconds))
    elif view.shape not in ("ready", "ended"):
        waits.append(1.0 - (view.seconds - math.floor(view.seconds)))
    if view.wet is not None:
        left = view.wet.left
        waits.append(_to_whole(left) if left > 0 else 1.0 - (-left - math.floor(-left)))
    return min(waits, default=1.0) + 0.001


def _to_whole(left: float) -> float:
    """How long until what is left, rounded up, is one less."""
    over = left - math.floor(left)
    return over if over > 1e-6 else 1.0
