"""The light of a plate and what the camera took of it, in words. Pure."""

from __future__ import annotations

from darkroom.process.scene import ProposedExposure, Scene
from darkroom.process.text.durations import show_short
from darkroom.process.text.lens_words import f_number

_EV_FROM = {
    "meter": "by the meter",
    "lux": "by a reading in lux",
    "sun": "by where the sun stood",
    "light": "usual of this light, not measured",
}
_SKIES = {
    "clear": "clear sky",
    "hazy": "hazy sky",
    "light-cloud": "light cloud",
    "heavy-cloud": "heavy cloud",
    "shade": "open shade",
}
_RECEIVERS = {
    "scene": "the whole scene",
    "flat": "flat ground",
    "facing": "upright, facing the sun",
    "away": "upright, turned away from the sun",
}


def light_text(scene: Scene | None, words: str | None) -> str | None:
    """Return the light: "north window (window), EV 9.5 by the meter"; without a scene the words alone."""
    if scene is None:
        return words
    name = scene.light or words
    if name and scene.kind and scene.kind != name:
        name += f" ({scene.kind})"
    texts = [name or scene.kind]
    if scene.ev is not None:
        origin = _EV_FROM.get(scene.ev_from or "", f"from {scene.ev_from}" if scene.ev_from else "")
        texts.append(f"EV {scene.ev:.3g} {origin}".rstrip())
    return ", ".join(text for text in texts if text) or None


def aperture_text(scene: Scene | None, words: str | None) -> str | None:
    """Return the aperture: "f/5.6", or the name of a stop with its number, "third stop (f/5.6)"."""
    number = None if scene is None else scene.f_number
    if number is None:
        return words
    written = f"f/{number:.3g}"
    read = f_number(words)
    if not words or (read is not None and abs(float(read) - number) < 0.005 * number):
        return words or written
    return f"{words} ({written})"


def lost_text(scene: Scene | None) -> str | None:
    """Return the light lost: "1 stop: bellows 0.5, filter 0.5"; None where nothing is told of it."""
    if scene is None:
        return None
    parts = [
        f"{name} {stops:.2g}"
        for name, stops in (("bellows", scene.bellows), ("filter", scene.filter), ("other", scene.other))
        if stops
    ]
    return f"{stops_text(scene.lost)}: {', '.join(parts)}" if parts else None


def place_text(scene: Scene | None) -> str | None:
    """Return where the plate was made: "Weir, sun 32° high, hazy sky, lit: flat ground"."""
    if scene is None:
        return None
    texts = [
        scene.place,
        None if scene.sun_altitude is None else f"sun {scene.sun_altitude:.0f}° high",
        None if scene.sky is None else _SKIES.get(scene.sky, f"sky: {scene.sky}"),
        None if scene.receiver is None else f"lit: {_RECEIVERS.get(scene.receiver, scene.receiver)}",
    ]
    return ", ".join(text for text in texts if text) or None


def scene_text(scene: Scene | None) -> str | None:
    """Return all of a scene in one line."""
    texts = (light_text(scene, None), aperture_text(scene, None), place_text(scene))
    lost = lost_text(scene)
    return ", ".join([text for text in texts if text] + ([f"light lost {lost}"] if lost else [])) or None


def proposed_text(proposed: ProposedExposure | None) -> str | None:
    """Return what was proposed: "8 s, between 5 s and 13 s, from 12 plates"."""
    if proposed is None:
        return None
    basis = f"from {proposed.plates} plate{'' if proposed.plates == 1 else 's'}"
    if is_assumed(proposed):
        basis = "assumed, no plate was judged"
    interval = f"between {show_short(proposed.low)} and {show_short(proposed.high)}"
    return f"{show_short(proposed.seconds)}, {interval}, {basis}"


def is_assumed(proposed: ProposedExposure) -> bool:
    """Return whether no judged plate stood behind a proposal."""
    return not proposed.plates or proposed.from_ == "assumed"


def stops_text(stops: float) -> str:
    """Return a number of stops without a sign: "half a stop", "1 stop", "1.25 stops"."""
    size = abs(stops)
    if abs(size - 0.5) < 0.005:
        return "half a stop"
    text = f"{size:.2g}"
    return f"{text} {'stop' if float(text) <= 1 else 'stops'}"
