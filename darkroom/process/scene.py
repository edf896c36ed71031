"""The light before the lens and what the lens takes of it: the part of an exposure that is no time. Pure.

`ev` is an exposure value at ISO 100. Light lost is in stops, 1 for half the light. Words are kept as text, so
that a word of a later version is read and carried along; those that this version knows are listed here.
"""

from __future__ import annotations

import msgspec

LIGHT_KINDS = ("sun", "cloud", "shade", "window", "tungsten", "led", "flash")
EV_ORIGINS = ("meter", "lux", "sun", "light")
"""Where an EV is from: a meter, a reading in lux, where the sun stood, the usual value of the light."""
RECEIVERS = ("scene", "flat", "facing", "away")
"""What faces the light: the whole scene, flat ground, something upright facing the sun or turned away."""
SKIES = ("clear", "hazy", "light-cloud", "heavy-cloud", "shade")


class Scene(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """The light of a plate and what the camera took of it; every member may be unknown.

    `light` is the name of a light of the photographer's own or one of `LIGHT_KINDS`, `kind` that light's kind
    as it was when the plate was put on the bench. `ev` is at ISO 100, `ev_from` one of `EV_ORIGINS`.
    `bellows`, `filter` and `other` are stops of light lost. `place` is a name, `sun_altitude` in degrees,
    `receiver` one of `RECEIVERS`, `sky` one of `SKIES`.
    """

    light: str | None = None
    kind: str | None = None
    ev: float | None = None
    ev_from: str | None = None
    f_number: float | None = None
    bellows: float | None = None
    filter: float | None = None
    other: float | None = None
    place: str | None = None
    sun_altitude: float | None = None
    receiver: str | None = None
    sky: str | None = None

    @property
    def lost(self) -> float:
        """The stops of light lost in all: to bellows, filter and other causes."""
        return sum(stops or 0.0 for stops in (self.bellows, self.filter, self.other))


class ProposedExposure(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """The exposure that was proposed when the plate was put on the bench: seconds, and the 80 % interval.

    `plates` are so many judged plates as stood behind it. `from_` says what it was reckoned from: `plates`,
    or `assumed` where no plate was judged.
    """

    seconds: float
    low: float
    high: float
    plates: int
    from_: str = msgspec.field(name="from")
