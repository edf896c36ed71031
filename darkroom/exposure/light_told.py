"""How bright a light is that is called by a name, where nobody measured it. Pure.

The one rule for the home form, the exposure page and the commands.
"""

from __future__ import annotations

import msgspec

from darkroom.exposure import daylight
from darkroom.exposure.kit import Kit
from darkroom.process.scene import LIGHT_KINDS
from darkroom.process.text.light_words import light_kind

OPEN_SKY = ("sun", "cloud")


class LightTold(msgspec.Struct, frozen=True):
    """The kind of a light, its EV at ISO 100 and where that is from, of `EV_ORIGINS`; None is "not known"."""

    kind: str | None = None
    ev: float | None = None
    ev_from: str | None = None


def light_told(
    kit: Kit,
    name: str | None,
    *,
    altitude: float | None = None,
    receiver: str | None = None,
    sky: str | None = None,
) -> LightTold:
    """Return what a light's name says: `altitude` is the sun's in degrees, None where the place is not known.

    A light of the kit has its own usual EV, a plain kind of light that of its kind, and daylight follows the
    sun at a known place. A light with a name of its own and no EV in the kit has none: its plates teach how
    bright it is, and what is usual of its kind would hide that. In the open, under sun or cloud, the name
    does not matter. Raises WrongUse for a sky or receiver that is none.
    """
    named = kit.light(name)
    kind = named.kind if named is not None else light_kind(name)
    usual = None if named is None else named.ev
    has_own_name = (name or "").strip().casefold() not in LIGHT_KINDS
    if kind is None:
        return LightTold()
    if has_own_name and usual is None and not (altitude is not None and kind in OPEN_SKY):
        return LightTold(kind)
    light = daylight.expected_ev(kind, altitude, receiver, sky, usual)
    return LightTold(kind) if light is None else LightTold(kind, light.ev, light.ev_from)
