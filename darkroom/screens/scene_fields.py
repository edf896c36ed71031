"""The fields that ask for a plate's light and lens: the same on the home form and on the exposure page."""

from __future__ import annotations

from darkroom.process.scene import LIGHT_KINDS, RECEIVERS, SKIES
from darkroom.screens.widgets.form import Field

FACES = {
    "scene": "the whole scene",
    "flat": "flat ground",
    "facing": "facing the sun",
    "away": "turned away",
}
"""{each of `RECEIVERS`: how its field shows it}."""
SKY_WORDS = {
    "clear": "clear",
    "hazy": "hazy",
    "light-cloud": "light cloud",
    "heavy-cloud": "heavy cloud",
    "shade": "clear, in shade",
}
"""{each of `SKIES`: how its field shows it}."""

_TYPED = {
    "lens": ("lens", "As you name it; one of your kit has its stops."),
    "aperture": ("aperture", "f/4, or the stop you put in."),
    "draw": ("bellows draw, mm", "From lens to plate, for near things: 450, 45 cm, 18 in."),
    "filter": ("filter, stops lost", "What a filter takes: 1, 2/3, or ×2 as it is printed on it."),
    "other": ("other, stops lost", "All else that takes light, such as yellowed glass: 1, or 2/3."),
    "light": ("light on the scene", f"A light of your own, or {', '.join(LIGHT_KINDS)}."),
    "ev": ("meter, EV ISO 100", "10, 2560 lux or 238 foot-candles; empty without a meter."),
    "collodion": ("collodion", "Its bottle, with the day it was made: C-4 2026-05-02."),
    "place": ("place", "Of your kit: where the sun stands is reckoned from it."),
}
"""{field: (label, hint)} of what is typed."""


def scene_field(name: str) -> Field:
    """Return the field of that name of the plate form."""
    if name == "receiver":
        hint = "What faces the light? Left and right: flat ground, or upright towards the sun or away."
        return Field(name, "facing the light", hint, options=("", *RECEIVERS), closed=True, show=_face,
                     empty="not said", assumed="the whole scene")  # fmt: skip
    if name == "sky":
        hint = "Left and right. Hazy: soft shadows; light cloud: hardly a shadow; heavy: none."
        return Field(name, "sky", hint, options=("", *SKIES), closed=True, show=_sky,
                     empty="not said", assumed="as the light")  # fmt: skip
    label, hint = _TYPED[name]
    return Field(name, label, hint)


def _face(receiver: str) -> str:
    return FACES.get(receiver, receiver)


def _sky(sky: str) -> str:
    return SKY_WORDS.get(sky, sky)
