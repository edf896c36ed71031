"""The rated plates behind the trends of stars: what each says in numbers and in words. Pure."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from darkroom.log.trends.facts import Key, Rows
from darkroom.log.trends.plate_columns import members


class Rated:
    """How many plates are rated, and the process and the stars of each that a fixer may have cleared."""

    def __init__(self) -> None:
        self.plates = 0
        self._of: dict[Key, tuple[str, int]] = {}
        self._same: dict[tuple[str, int], tuple[str, int]] = {}

    def add(self, plate: Key, process: str, stars: int) -> None:
        """Take a rated plate."""
        self.plates += 1
        rating = (process, stars)
        self._of[plate] = self._same.setdefault(rating, rating)

    def get(self, plate: Key) -> tuple[str, int] | None:
        """Return (process, stars) of a plate that is rated."""
        return self._of.get(plate)


_ASKED = ("exposed", "wet_used", "wet_about", "humidity", "humidity_from", "estimated")


def rated_plates(rows: Rows, words: tuple[str, ...]) -> Iterator[tuple[Any, ...]]:
    """Yield (path, stars, process, the members in _ASKED, the texts of `words`) of each plate with stars."""
    for path, stars, process, *values in members(rows.plates, "stars", "process", *_ASKED, *words):
        if stars is not None:
            yield path, stars, process, *values[: len(_ASKED)], values[len(_ASKED) :]


def numbers_of_plate(
    path: Key,
    rows: Rows,
    exposed: float | None,
    wet_seconds: float | None,
    wet_about: float | None,
    humidity: float | None,
    humidity_from: str | None,
    estimated: int,
) -> Iterator[tuple[str, str, float | None]]:
    """Yield (thing, unit, value, or None where it was assumed)."""
    humidity_read = humidity_from not in (None, "assumed")
    if exposed:
        yield "exposure", "s", exposed
    yield "humidity", "%", humidity if humidity_read else None
    room = rows.rooms.get(path)
    yield "temperature of the room", "°C", room
    if wet_seconds is not None and path not in rows.unseen and not estimated:
        yield "wet time used", "s", wet_seconds
        window_known = humidity_read and room is not None and wet_about
        yield (
            "share of the wet window used",
            "",
            wet_seconds / wet_about if window_known and wet_about else None,
        )
