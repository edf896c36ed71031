"""What learning is told of a plate, judged or to come, as plain values. Pure.

Seconds, °C, days; light in stops or as an EV at ISO 100. None is "not known".
"""

from __future__ import annotations

import msgspec


class Conditions(msgspec.Struct, frozen=True, kw_only=True):
    """All that a plate's exposure depends on, of a plate that was made or of the next one.

    `light` is the light's name as typed, `kind` one of `LIGHT_KINDS` where that is known. `ev` is at ISO 100
    and None where nothing says how bright it is; `ev_from` is one of `EV_ORIGINS`. `lost` are the stops that
    bellows, filter and other causes take. `batch` is the name of the collodion, `age` the days since it was
    made, `developer` its temperature in °C. `day` is the working day as an ISO date. `sky` is one of `SKIES`.
    """

    process: str
    day: str
    lens: str | None = None
    light: str | None = None
    kind: str | None = None
    ev: float | None = None
    ev_from: str | None = None
    f_number: float | None = None
    lost: float = 0.0
    batch: str | None = None
    age: float | None = None
    developer: float | None = None
    place: str | None = None
    sky: str | None = None


class JudgedPlate(msgspec.Struct, frozen=True, kw_only=True):
    """A plate that says how its exposure was.

    `given` is how long the lens was open, in seconds: of a test plate, the total of its best strip. The plate
    wanted between `low` and `high` stops more than that; one of them may be infinite.
    """

    plate: str
    number: int
    conditions: Conditions
    given: float
    low: float
    high: float


class LeftOut(msgspec.Struct, frozen=True, kw_only=True):
    """A judged plate that says nothing of the exposure, and why: "abandoned", "past wet"."""

    plate: str
    number: int
    reason: str
