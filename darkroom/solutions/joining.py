"""Which bottle a plate used. Pure.

A plate names a bottle by id, and then it is that one; or, as older ones do, by name alone: then it is the
one bottle of that name with a fitting content that was alive when the stage began. Where none or several
answer, which one it was is not known, and no bottle counts the plate.
"""

from __future__ import annotations

import msgspec


class PlateUse(msgspec.Struct, frozen=True, kw_only=True):
    """A plate used what stood in a role. `bottle` is the bottle's id, `name` what it was called, if said.

    The other members are those of `Use`.
    """

    plate: str
    number: int
    role: str
    stage: str
    instant: float
    bottle: str | None = None
    name: str | None = None
    seconds: float | None = None
    cleared: float | None = None
    area: float | None = None
    celsius: float | None = None


class NotKnown(msgspec.Struct, frozen=True, kw_only=True):
    """A plate names a bottle, and which one that is, is not known; `why` says why in words."""

    plate: str
    number: int
    role: str
    name: str
    why: str
