"""Places of the kit by name, as the commands about exposure are told them."""

from __future__ import annotations

from pathlib import Path

from darkroom.errors import Problem, SettingsError, WrongUse, nearest
from darkroom.exposure.kit import Kit, Place


def kit_place(kit: Kit, problems: tuple[Problem, ...], path: Path, name: str) -> Place:
    """Return the place of that name; `problems` are those of the kit's file at `path`.

    Raises WrongUse where it is missing, SettingsError where it is and the file has mistakes.
    """
    place = kit.place(name)
    if place is not None:
        return place
    if problems:
        raise SettingsError(problems)
    names = [known.name for known in kit.places]
    near = nearest(name, names)
    known_names = f"there are {', '.join(names)}" if names else "it has no places"
    hint = f"did you mean '{near}'?" if near else known_names
    raise WrongUse(f"no place of {path} is called '{name}' ({hint})")
