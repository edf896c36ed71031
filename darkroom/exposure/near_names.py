"""A name that is typed a little wrong: which known one is meant. Pure.

Any name may be typed, so nothing is refused and nothing is put right: the near name is told.
"""

from __future__ import annotations

from collections.abc import Iterable

from darkroom.exposure.judged import Conditions
from darkroom.exposure.kit import Kit, name_key
from darkroom.late_patterns import late_pattern
from darkroom.process.scene import LIGHT_KINDS

SHORTEST = 4
"""Names of fewer letters are labels: one letter less or another is another thing."""
_LABEL = late_pattern(r"\d|\b[^\W\d]\b")
"""A figure, or a word of one letter: "brass 210" and "brass 240", "lens A" and "lens B" are two things."""


def known_names(kit: Kit, plates: Iterable[Conditions]) -> dict[str, list[str | None]]:
    """Return the names of process, light, lens and collodion that are of the kit or of these plates."""
    made = dict.fromkeys((each.process, each.light, each.lens, each.batch) for each in plates)
    processes, lights, lenses, collodions = map(dict.fromkeys, zip(*made, strict=True)) if made else ({},) * 4
    return {
        "process": [*processes],
        "light": [*(each.name for each in kit.lights), *LIGHT_KINDS, *lights],
        "lens": [*(each.name for each in kit.lenses), *lenses],
        "collodion": [*collodions],
    }


def near_name(typed: str | None, known: Iterable[str | None]) -> str | None:
    """Return the known name that a typed one is but for one slip of the hand: a letter that is missing, too
    many, another, or two that changed places. None where the name is known itself, or none is so near.
    """
    key = name_key(typed)
    names = {name_key(name): name for name in known if name}
    if len(key) < SHORTEST or key in names:
        return None
    return next((name for other, name in names.items() if _is_one_slip(key, other)), None)


def _is_one_slip(one: str, other: str) -> bool:
    short, long = sorted((one, other), key=len)
    if _LABEL.sub("0", one) == _LABEL.sub("0", other) or len(long) - len(short) > 1:
        return False
    at = next((place for place, sign in enumerate(short) if sign != long[place]), len(short))
    if len(short) < len(long):
        return short[at:] == long[at + 1 :]
    changed_places = short[at : at + 2] == long[at : at + 2][::-1] and short[at + 2 :] == long[at + 2 :]
    return short[at + 1 :] == long[at + 1 :] or changed_places
