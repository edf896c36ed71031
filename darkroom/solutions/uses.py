"""The plates that used a bottle, and what their number and area amount to. Pure."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

WHOLE_PLATE = 16.51 * 21.59
"""cm² of a whole plate, 6½ × 8½ inches (common practice, no source)."""


class Use(msgspec.Struct, frozen=True, kw_only=True, gc=False):
    """A plate used a bottle: the first standing start of the stage that uses it.

    `instant` is seconds since the epoch, `seconds` how long the stage took, `cleared` after how many it had
    cleared (a fixer's), `area` the plate's cm²; None where it is not known. `celsius` is the temperature
    that counted for the stage.
    """

    plate: str
    number: int
    bottle: str
    role: str
    stage: str
    instant: float
    seconds: float | None = None
    cleared: float | None = None
    area: float | None = None
    celsius: float | None = None


class Tally(msgspec.Struct, frozen=True, kw_only=True):
    """So many plates, with their area in cm² and how many of them are of unknown size."""

    plates: int = 0
    area: float = 0.0
    of_unknown_size: int = 0

    @property
    def usual_area(self) -> float:
        """The cm² that a plate of unknown size is taken as: the mean of the others, else a whole plate."""
        known = self.plates - self.of_unknown_size
        return self.area / known if known else WHOLE_PLATE

    @property
    def assumed_area(self) -> float:
        """The cm² of all plates, those of unknown size taken as `usual_area`."""
        return self.area + self.of_unknown_size * self.usual_area


def tally(uses: Iterable[Use], since: float | None = None) -> Tally:
    """Return how many plates used a bottle, each once, from the instant `since` on.

    A plate that used it in two stages counts once, from its first use.
    """
    first: dict[str, Use] = {}
    for use in uses:
        known = first.get(use.plate)
        if known is None or use.instant < known.instant:
            first[use.plate] = use
    counted = [use for use in first.values() if since is None or use.instant >= since]
    areas = [use.area for use in counted if use.area is not None]
    return Tally(plates=len(counted), area=sum(areas), of_unknown_size=len(counted) - len(areas))
