"""What may have been learned of an exposure, for tests of what is said of it."""

from __future__ import annotations

from darkroom.exposure.learned import Learned, WeighingPlate

WEIGH = tuple(WeighingPlate(plate=f"p{n}", number=n, weight=0.2) for n in (40, 31))


def learned(plates: int, *times: float | None) -> Learned:
    """Return what was learned from so many plates: shortest, middle and longest time in seconds."""
    low, middle, high = times or (5.04, 8.02, 12.96)
    return Learned(
        low=-1.0, middle=0.0, high=1.0, seconds_low=low, seconds=middle, seconds_high=high, plates=plates,
        weigh=WEIGH[:plates],
    )  # fmt: skip
