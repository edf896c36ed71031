"""How the causes that the photographer confirmed move what is usual. Pure."""

from __future__ import annotations

from collections.abc import Mapping

import msgspec

from darkroom.faults.catalogue import Catalogue

WEIGHT_OF_USUAL = 30
"""The catalogue's `usual` counts as much as so many plates with a confirmed cause."""
LEAST, MOST = 0.005, 0.3
"""What is usual stays between these, however many plates were confirmed."""


def moved(usual: float, confirmed: int, plates: int) -> float:
    """Return the share of plates at which a cause is at work, moved by what was confirmed.

    `confirmed` plates of the `plates` with any confirmed cause were said to be this one.
    """
    share = (usual * WEIGHT_OF_USUAL + confirmed) / (WEIGHT_OF_USUAL + plates)
    return min(MOST, max(LEAST, share))


def with_confirmed(
    catalogue: Catalogue, confirmed: Mapping[str, int], plates: int | None = None
) -> Catalogue:
    """Return the catalogue with each cause's `usual` moved; `confirmed` is {cause: plates}.

    `plates` are those with any confirmed cause; without it each plate is taken to have one alone. Causes
    that the catalogue does not hold count among the plates.
    """
    total = sum(confirmed.values()) if plates is None else plates
    if total <= 0:
        return catalogue
    causes = {
        name: msgspec.structs.replace(cause, usual=moved(cause.usual, confirmed.get(name, 0), total))
        for name, cause in catalogue.causes.items()
    }
    return msgspec.structs.replace(catalogue, causes=causes)
