"""The photographer's own things by their names: lenses, cameras, lights, places, plate sizes. Pure.

Values only; `kit.yaml` is read and checked elsewhere. Lengths in mm, EV at ISO 100, degrees of latitude and
longitude, north and east positive. Names are found in any case.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol, TypeVar

import msgspec

from darkroom.exposure.light_kinds import light_kind


class Stop(msgspec.Struct, frozen=True, kw_only=True):
    """A stop of a lens by its name: its f-number, or the diameter of its opening in mm."""

    name: str
    f_number: float | None = None
    diameter: float | None = None


class Lens(msgspec.Struct, frozen=True, kw_only=True):
    """A lens; `front` is the pupil magnification of its front group, 1 with the stop before the glass."""

    name: str
    focal: float | None = None
    front: float = 1.0
    stops: tuple[Stop, ...] = ()

    def stop(self, name: str | None) -> Stop | None:
        """Return the stop of this name, or None."""
        return _found(self.stops, name)


class Camera(msgspec.Struct, frozen=True, kw_only=True):
    """A camera and its longest bellows draw in mm."""

    name: str
    longest_draw: float | None = None

    def cannot_draw(self, extension: float) -> str | None:
        """Return why an extension in mm cannot be had with it, or None."""
        if self.longest_draw is None or extension <= self.longest_draw:
            return None
        return f"{self.name} draws out to {self.longest_draw:g} mm, not to {extension:g} mm"


class NamedLight(msgspec.Struct, frozen=True, kw_only=True):
    """A light that returns, such as "north window": its kind and its usual EV where that is known."""

    name: str
    kind: str
    ev: float | None = None


class Place(msgspec.Struct, frozen=True, kw_only=True):
    """A place on Earth; `zone` is the name of its time zone, such as "Europe/Berlin"."""

    name: str
    latitude: float
    longitude: float
    zone: str


class PlateSize(msgspec.Struct, frozen=True, kw_only=True):
    """A size of plate by its name, in mm."""

    name: str
    width: float
    height: float


class _Named(Protocol):
    @property
    def name(self) -> str: ...


_T = TypeVar("_T", bound=_Named)


class Kit(msgspec.Struct, frozen=True, kw_only=True):
    """All of it; a word that names nothing here is just a word."""

    lenses: tuple[Lens, ...] = ()
    cameras: tuple[Camera, ...] = ()
    lights: tuple[NamedLight, ...] = ()
    places: tuple[Place, ...] = ()
    plates: tuple[PlateSize, ...] = ()

    def lens(self, name: str | None) -> Lens | None:
        """Return the lens of this name, or None."""
        return _found(self.lenses, name)

    def camera(self, name: str | None) -> Camera | None:
        """Return the camera of this name, or None."""
        return _found(self.cameras, name)

    def light(self, name: str | None) -> NamedLight | None:
        """Return the light of this name, else the plain kind of light, or None."""
        kind = light_kind(name)
        plain = None if kind is None else NamedLight(name=kind.name, kind=kind.name)
        return _found(self.lights, name) or plain

    def place(self, name: str | None) -> Place | None:
        """Return the place of this name, or None."""
        return _found(self.places, name)

    def plate(self, name: str | None) -> PlateSize | None:
        """Return the plate size of this name, or None."""
        return _found(self.plates, name)


def same_name(one: str | None, other: str | None) -> bool:
    """Return whether two names are one: case and the spaces around and between words do not count."""
    return name_key(one) == name_key(other)


def name_key(name: str | None) -> str:
    """Return what of a name counts: equal for two spellings of one."""
    return " ".join((name or "").casefold().split())


def _found(things: Iterable[_T], name: str | None) -> _T | None:
    return next((thing for thing in things if name and same_name(thing.name, name)), None)
