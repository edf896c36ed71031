"""Dilution by parts: 1 + 9 is one part and nine of water, 1 in 10 is the same. Pure."""

from __future__ import annotations

from typing import NamedTuple

from darkroom.errors import QuantityError


class Parts(NamedTuple):
    """mL of stock and of water; volumes are added up, as the books that write parts do."""

    stock_ml: float
    water_ml: float


def diluted(share: float, volume: float) -> Parts:
    """Return the stock and the water for a volume in mL; `share` is the stock's part of the whole, 0 to 1.

    `process.text.measures.dilution` reads "1 + 9" and "1 in 10" as 0.1. Raises QuantityError.
    """
    if not 0 < share <= 1:
        raise QuantityError(f"the stock's share is {share:g}: it must be more than 0 and at most 1")
    if not 0 < volume < float("inf"):
        raise QuantityError(f"the volume is {volume:g} mL: it must be more than 0")
    return Parts(stock_ml=share * volume, water_ml=(1 - share) * volume)
