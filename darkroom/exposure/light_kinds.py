"""What is usual of each kind of light: how bright it is, and how fast a plate is under it. Pure.

`usual_ev` is what a daylight meter reads at ISO 100, in stops: common practice, no source, about 1 stop in
doubt (`EV_DOUBT`). `offset` is how many stops faster a plate is under this light than that reading says, with
`doubt` as its standard deviation: a meter reads green and red, the plate sees violet and blue.

The offsets start from the published sensitivity of collodion over the eye's, computed for standard lights, in
stops: D50 −0.63, D55 −0.38, D75 +0.26, 10,000 K +0.65, 3200 K −1.62, 2856 K −2.10. What is rounded from
there, and every doubt, is common practice, no source.
"""

from __future__ import annotations

import msgspec

EV_DOUBT = 1.0
"""Standard deviation, in stops, of a usual EV: windows and clouds differ. Common practice, no source."""


class LightKind(msgspec.Struct, frozen=True):
    """A kind of light; `usual_ev` is None where no exposure value can describe it."""

    name: str
    usual_ev: float | None
    offset: float
    doubt: float
    reason: str


LIGHT_KINDS = {
    kind.name: kind
    for kind in (
        LightKind("sun", 15.0, -0.3, 0.3, "direct sun with its sky is close to D55, −0.38"),
        LightKind("cloud", 12.5, 0.2, 0.3, "an overcast sky is close to D65 to D75, 0 to +0.26"),
        LightKind("shade", 11.5, 0.6, 0.4, "light of the blue sky alone is close to 10,000 K, +0.65"),
        LightKind("window", 9.0, 0.0, 0.5, "sky light, but glass and rooms take some of the violet"),
        LightKind("tungsten", 6.0, -2.0, 0.7, "2856 K −2.10, photographic lamps 3200 K −1.62"),
        LightKind("led", 6.5, -2.7, 0.8, "white LEDs hold a narrow blue and no violet, and differ widely"),
        LightKind("flash", None, 0.0, 0.7, "close to daylight; coated tubes take the violet"),
    )
}
"""Every kind, by its name: the same words as `darkroom.process.scene.LIGHT_KINDS`."""


def light_kind(name: str | None) -> LightKind | None:
    """Return the kind of that name in any case, None for a name that is no kind."""
    return None if name is None else LIGHT_KINDS.get(name.strip().casefold())


def offset(name: str | None, ev_from: str | None) -> float:
    """Return how many stops faster a plate is under this light than its EV says, by where that EV is from.

    0 for a kind that is not known, and for an EV from the height of the sun, whose table is in stops of the
    plate.
    """
    kind = light_kind(name)
    return 0.0 if kind is None or ev_from == "sun" else kind.offset
