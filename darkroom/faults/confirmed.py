"""How the causes that the photographer confirmed move what is usual. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import msgspec

from darkroom.faults.catalogue import USUAL, Catalogue, is_none_of_these
from darkroom.faults.history import MarkedFault

WEIGHT_OF_USUAL = 30
"""The catalogue's `usual` counts as much as so many plates with a confirmed cause."""


def moved(usual: float, confirmed: int, plates: int) -> float:
    """Return the share of plates at which a cause is at work, moved by what was confirmed.

    `confirmed` plates of the `plates` with any confirmed cause were said to be this one. However many they
    are, it stays within USUAL.
    """
    share = (usual * WEIGHT_OF_USUAL + confirmed) / (WEIGHT_OF_USUAL + plates)
    return min(USUAL[1], max(USUAL[0], share))


def of_other_plates(
    catalogue: Catalogue, confirmed: Mapping[str, int], plates: int | None, marks: Sequence[MarkedFault]
) -> tuple[dict[str, int], int | None]:
    """Return the counts without the plate that has these marks: it speaks for other plates, not for itself.

    `confirmed` is {cause: plates}, `plates` those with any confirmed cause (None: not known), this one among
    them.
    """
    said = [mark.cause for mark in marks if mark.cause]
    own = {found.id for cause in said if (found := catalogue.cause(cause)) is not None}
    counts = {cause: max(0, count - (cause in own)) for cause, count in confirmed.items()}
    any_said = bool(own) or any(is_none_of_these(cause) for cause in said)
    return counts, None if plates is None else max(0, plates - any_said)


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
