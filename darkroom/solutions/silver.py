"""The silver that plates carry out of a bath: an estimate, with what it assumes. Pure.

A plate takes silver in two ways: its salts bind some, and bath clings to it when it is lifted out. Both are
assumed for an ordinary collodion; only two assays with plates between them tell more. What the collodion
leaves in the bath (ether, alcohol, nitrates) is not reckoned.
"""

from __future__ import annotations

import math

from darkroom.solutions.substances import SUBSTANCES, silver_nitrate_used

COLLODION = 2.0
"""mL of collodion that 100 cm² of plate keep (assumed)."""
SALTS = {"ammonium-iodide": 0.008, "cadmium-bromide-anhydrous": 0.006}
"""{salt: g in a mL of that collodion} (assumed: 0.8 % and 0.6 % w/v)."""
DRAGGED = 0.30
"""mL of bath that 100 cm² of plate carry out (assumed)."""
FITTED_FROM = 2000.0
"""cm² of plates between two assays below which nothing is fitted to them (our own choice)."""


def _reacted() -> float:
    return sum(
        COLLODION * part * (silver_nitrate_used(SUBSTANCES[salt]) or 0.0) for salt, part in SALTS.items()
    )


REACTED = _reacted()
"""g of silver nitrate that the salts of 100 cm² of plate bind: 0.0337."""


def carried_out(area: float, percent: float, reacted: float = REACTED) -> tuple[float, float]:
    """Return (g of silver nitrate bound by the salts, g that clung) for so many cm² in a bath of % w/v."""
    hundreds = area / 100
    return reacted * hundreds, DRAGGED * hundreds * percent / 100


def strength_after(percent: float, volume: float, area: float, reacted: float = REACTED) -> float:
    """Return the % w/v of a bath of `volume` mL after so many cm² of plates; 0 where they used it up.

    What clings has the bath's own strength and leaves that of the rest alone; what is bound comes out of an
    ever smaller rest: c = c₀ - 100·(g bound / mL clung)·ln(V₀/V).
    """
    left = volume - DRAGGED * area / 100
    if left <= 0:
        return 0.0
    return max(0.0, percent - 100 * reacted / DRAGGED * math.log(volume / left))


def reacted_between(first: float, second: float, volume: float, area: float) -> float | None:
    """Return the g bound by 100 cm² that bring `volume` mL from one assay's % w/v to the next one's.

    None where too few plates lie between them, the bath was used up, or it became no weaker.
    """
    left = volume - DRAGGED * area / 100
    if area < FITTED_FROM or left <= 0 or second >= first:
        return None
    return (first - second) * DRAGGED / (100 * math.log(volume / left))
