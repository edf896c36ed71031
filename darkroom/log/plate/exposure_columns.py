"""The columns about a plate's light, what the camera took of it, what was proposed, and its own speed."""

from __future__ import annotations

import math
from collections.abc import Callable

from darkroom.exposure.judged import LeftOut
from darkroom.log.plate import bottle_text
from darkroom.log.plate.own_speed import own_speed
from darkroom.log.plate.record import PlateRecord

Value = str | float | int | bool | None
Column = tuple[str, str, Callable[[PlateRecord], Value]]


def _scene(name: str) -> Callable[[PlateRecord], Value]:
    def value(record: PlateRecord) -> Value:
        member: Value = getattr(record.scene, name, None)
        return member

    return value


def _start(name: str) -> Callable[[PlateRecord], Value]:
    def value(record: PlateRecord) -> Value:
        member: Value = getattr(record.log.start, name, None)
        return member

    return value


def _proposed(name: str) -> Callable[[PlateRecord], Value]:
    def value(record: PlateRecord) -> Value:
        member: Value = getattr(record.log.start.proposed if record.log.start else None, name, None)
        return member

    return value


def _bottle_ids(record: PlateRecord) -> Value:
    return "; ".join(f"{role}: {bottle}" for role, bottle in bottle_text.ids(record).items()) or None


SCENE: tuple[Column, ...] = (
    ("light of the scene", "scene_light", _scene("light")),
    ("kind of light", "light_kind", _scene("kind")),
    ("exposure value at ISO 100 (EV)", "ev", _scene("ev")),
    ("exposure value from", "ev_from", _scene("ev_from")),
    ("f-number", "f_number", _scene("f_number")),
    ("light lost to bellows (stops)", "bellows_stops", _scene("bellows")),
    ("light lost to a filter (stops)", "filter_stops", _scene("filter")),
    ("light lost otherwise (stops)", "other_stops", _scene("other")),
    ("place", "place", _scene("place")),
    ("sun's altitude (°)", "sun_altitude_deg", _scene("sun_altitude")),
    ("what faces the light", "receiver", _scene("receiver")),
    ("sky", "sky", _scene("sky")),
    ("camera", "camera", _start("camera")),
    ("holder", "holder", _start("holder")),
    ("bottle ids", "bottle_ids", _bottle_ids),
    ("exposure proposed (s)", "proposed_s", _proposed("seconds")),
    ("exposure proposed from (s)", "proposed_low_s", _proposed("low")),
    ("exposure proposed to (s)", "proposed_high_s", _proposed("high")),
    ("plates behind the proposal", "proposed_plates", _proposed("plates")),
    ("proposal from", "proposed_from", _proposed("from_")),
)
"""What stands of it in the journal."""


def _own(place: int) -> Callable[[PlateRecord], Value]:
    """Return a reader of the seconds wanted and of the speed: 0 least, 1 most; empty at an open end."""

    def value(record: PlateRecord) -> Value:
        speed = own_speed(record)
        if speed is None or isinstance(speed, LeftOut):
            return None
        seconds = speed.wanted[place]
        return round(seconds, 3) if 0 < seconds < math.inf else None

    return value


def _speed(place: int) -> Callable[[PlateRecord], Value]:
    def value(record: PlateRecord) -> Value:
        speed = own_speed(record)
        if speed is None or isinstance(speed, LeftOut) or speed.log2_speed is None:
            return None
        bound = speed.log2_speed[place]
        return float(f"{2.0**bound:.4g}") if math.isfinite(bound) else None

    return value


def _left_out(record: PlateRecord) -> Value:
    speed = own_speed(record)
    return speed.reason if isinstance(speed, LeftOut) else None


SPEED: tuple[Column, ...] = (
    ("exposure wanted from (s)", "wanted_low_s", _own(0)),
    ("exposure wanted to (s)", "wanted_high_s", _own(1)),
    ("speed equivalent from (ISO)", "speed_low_iso", _speed(0)),
    ("speed equivalent to (ISO)", "speed_high_iso", _speed(1)),
    ("not learned from", "not_learned_from", _left_out),
)
"""What is reckoned from how the plate was judged: an equivalent under its light, not a measured speed."""

DERIVED = frozenset(key for _, key, _ in SPEED)
"""The keys of what is reckoned from other columns."""


PROPOSAL = frozenset(key for _, key, _ in SCENE if key.startswith("proposed_"))
"""The keys of what was proposed."""
