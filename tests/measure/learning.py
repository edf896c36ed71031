"""The exposure proposed from judged plates: how long it takes, how often its interval holds.

    python -m tests.measure.run learning

Floor of the time: every plate's interval seen once for every pair of sds, the least that any such learning
does. Floor of the intervals: the last plate's right speed, a stop to either side. Seasons are invented,
of the family that learning believes in and of another one (`tests/kit/invented_seasons.py`).
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from typing import Any

from darkroom.exposure import priors
from darkroom.exposure.learning import MOST_PLATES, learn
from darkroom.exposure.propagation import noise_parts
from darkroom.exposure.site_moments import site_moments
from tests.kit.invented_seasons import Season, covered, season
from tests.measure import measure as m

AIMS = {10: 20.0, 50: 100.0, 200: 500.0, 10_000: 1000.0}
"""Milliseconds aimed at for so many judged plates, in a thread of its own; 200 of them at most are used."""
COVERED = {1: 400, 3: 400, 10: 400, 50: 400}
"""So many seasons of so many plates."""
COVERED_SHORT = {1: 400, 3: 400, 10: 400}
NOMINAL, OFF = 80.0, 6.0
"""Per cent of plates that an interval should hold, and how far off is still in order."""


def took(work: Callable[[], object]) -> float:
    """Return the milliseconds that the work takes, at the median of five."""
    times = []
    for _ in range(5):
        began = time.perf_counter()
        work()
        times.append(1000 * (time.perf_counter() - began))
    return statistics.median(times)


def see_once(there: Season) -> None:
    """See every plate's interval once for every pair of sds."""
    for _ in priors.DAY_SDS:
        for sd, _ in priors.PLATE_SDS:
            parts = noise_parts(sd * sd)
            for plate in there.plates[:MOST_PLATES]:
                site_moments(0.0, 1.0, -plate.high, -plate.low, parts)


def measure(short: bool = False) -> list[Any]:
    """Return the rows of the table of all measurements."""
    rows = []
    for plates, aim in AIMS.items():
        there = season(1, plates)
        value, floor = (
            took(lambda there=there: learn(there.plates, there.wanted)),
            took(lambda there=there: see_once(there)),
        )
        rows.append(
            m.Row(f"proposal from {plates} plates", value, floor, aim, "ms", f"{value / floor:.1f} floors")
        )
    for plates, seasons in (COVERED_SHORT if short else COVERED).items():
        for wrong in (False, True):
            held, last = covered(plates, seasons, wrong)
            rows.append(
                m.Row(
                    f"80 % interval, plates judged {plates}, {'other' if wrong else 'own'} truth",
                    abs(100 * held - NOMINAL),
                    abs(100 * last - NOMINAL),
                    OFF,
                    "off",
                    f"holds {100 * held:.0f} %, the last plate ± 1 stop {100 * last:.0f} %",
                )
            )
    return rows
