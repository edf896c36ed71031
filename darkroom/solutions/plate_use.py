"""A plate's use of a bottle, as one record. Pure; it needs no other room: the catalogue names its columns."""

from __future__ import annotations

import msgspec


class PlateUse(msgspec.Struct, frozen=True, gc=False):
    """A plate used what stood in a role. `bottle` is the bottle's id, `name` what it was called, if said.

    `size` is the plate's as it was typed; the other members are those of `Use`.
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
    size: str | None = None
    area: float | None = None
    celsius: float | None = None
