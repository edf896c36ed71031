"""How plates are named where several are told: by number, with the day where a number is not alone. Pure.

Numbers begin anew when a photographer likes, and every bench has its own; the id of a plate, which begins
with the day and the hour it was made, never comes twice.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from darkroom.late_patterns import late_pattern

_BEGUN = late_pattern(r"(\d{4})(\d{2})(\d{2})-(\d{2})(\d{2})")


def plate_names(told: Iterable[tuple[str, int]]) -> dict[str, str]:
    """Return {id: name} of plates that are told together, each given as (id, number).

    A name is "31", "31 of 2026-02-20" where another plate told is 31 too, and "31 of 2026-02-20 14:05" where
    that one is of the same day.
    """
    numbers = dict(told)
    names = {plate: str(number) for plate, number in numbers.items()}
    for of in (_day, _minute):
        often = Counter(names.values())
        names = {
            plate: f"{numbers[plate]} of {of(plate)}" if often[name] > 1 else name
            for plate, name in names.items()
        }
    return names


def _day(plate: str) -> str:
    begun = _BEGUN.match(plate)
    return plate if begun is None else "-".join(begun.groups()[:3])


def _minute(plate: str) -> str:
    begun = _BEGUN.match(plate)
    return plate if begun is None else f"{_day(plate)} {begun[4]}:{begun[5]}"
