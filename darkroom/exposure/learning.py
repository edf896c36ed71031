"""From judged plates to a proposed exposure with its interval. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from darkroom.exposure.judged import Conditions, JudgedPlate
from darkroom.exposure.learned import Learned


def learn(plates: Sequence[JudgedPlate], wanted: Conditions) -> Learned:
    """Return what the plates say of the exposure of a plate under the wanted conditions.

    Plates of any number, order and process; the 200 that bear most on the wanted plate are used. Without a
    plate it is what was believed before any.
    """
    raise NotImplementedError
