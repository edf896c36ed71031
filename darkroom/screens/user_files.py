"""The settings and the key map that the full-screen tool starts with, and what holds where they are wrong."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from darkroom import resources
from darkroom.errors import DarkroomError
from darkroom.session.key_map import KeyMap
from darkroom.settings import settings
from darkroom.settings.settings import Settings


def load(home: Path, plates_wait: Callable[[], bool]) -> tuple[Settings, KeyMap, list[str]]:
    """Return the settings, the key map, and in words what in their files is left out.

    Raises DarkroomError for a mistake in them, so that it is mended before the first plate. While
    `plates_wait` on the bench no file keeps them away: the shipped settings or keys hold instead.
    """
    left_out: list[str] = []

    def without(error: DarkroomError, what: str) -> None:
        if not plates_wait():
            raise error
        left_out.append(f"the shipped {what} hold: {str(error).splitlines()[0]}")

    chosen, keys = Settings(), KeyMap()
    try:
        chosen = settings.load(settings.path_in(home))
    except DarkroomError as error:
        without(error, "settings")
    try:
        if chosen.key_map is not None:
            keys = resources.read_key_map(chosen.key_map)
        keys = resources.read_key_map(home / "keys.yaml", keys)
    except DarkroomError as error:
        without(error, "keys")
    return chosen, keys, left_out
