"""What was measured in a bottle as the members of its line, with the strength that it comes to. Pure."""

from __future__ import annotations

from typing import Any, NamedTuple

import msgspec

from darkroom.errors import QuantityError, nearest
from darkroom.solutions import strength
from darkroom.solutions.density import SOLUTES, solute
from darkroom.solutions.events import MEASURES
from darkroom.solutions.hydrometer import SCALES, read_hydrometer, scale

LARGEST = 1e6
"""mL; more is a slip."""
STRONGEST = 100.0
"""% w/v; more is a slip."""


class Measurement(msgspec.Struct, frozen=True, kw_only=True):
    """The members of a `measured` line, and what was taken for granted, as sentences without a stop."""

    members: dict[str, Any]
    took: tuple[str, ...] = ()


class Reading(NamedTuple):
    """A reading: `what` of a `measured` line, its value and temperature, the % w/v, what was taken.

    `says` is what was taken for granted, as sentences; `read` is whether a hydrometer told it.
    """

    what: str
    value: float
    celsius: float | None
    percent: float | None
    says: tuple[str, ...]
    hydrometer: bool
    reason: str | None = None


def reading_of(what: str, value: float, celsius: float | None, substance: str | None) -> Reading:
    """Return what a hydrometer says of a bottle that holds a substance; `what` is its scale.

    Raises as `measurement`.
    """
    read = measurement(what, value, celsius, substance)
    percent, says = read.members.get("strength"), read.took
    if percent is not None and substance is not None:
        says += strength.exactness(strength.of_percent_wv(substance, percent), read=True)
    return Reading(what, value, celsius, percent, says, hydrometer=True)


def measurement(
    what: str, value: float, celsius: float | None = None, substance: str | None = None
) -> Measurement:
    """Return the line of what was measured; `what` is one of MEASURES, `value` in the unit of its scale.

    `substance` is that of the bottle: a name of `density.SOLUTES` gives a hydrometer's reading its strength,
    any other leaves it without. Raises QuantityError for a value that nothing shows, BeyondTable for a
    reading whose temperature or strength is not known.
    """
    if what not in MEASURES:
        near = nearest(what, MEASURES)
        raise QuantityError(
            f"'{what}' is nothing that is measured" + (f" (did you mean '{near}'?)" if near else "")
        )
    members: dict[str, Any] = {"what": what, "value": value}
    if celsius is not None:
        members["celsius"] = celsius
    name = what.replace("_", "-")
    if name in SCALES:
        return _reading(members, name, value, celsius, substance)
    least, most = {"ph": (0.0, 14.0), "volume": (0.0, LARGEST), "assay": (0.0, STRONGEST)}[what]
    if not least <= value <= most:
        raise QuantityError(f"{what} {value:g} is out of range: expected {least:g} to {most:g}")
    if what == "assay":
        members["strength"] = value
    return Measurement(members=members)


def _reading(
    members: dict[str, Any], name: str, value: float, celsius: float | None, substance: str | None
) -> Measurement:
    on = scale(name)
    if substance not in SOLUTES:
        if not on.least < value <= on.most:
            raise QuantityError(f"{value:g} is no reading of a hydrometer: {on.says}")
        return Measurement(members=members, took=(on.says, "no strength is reckoned for what is in it"))
    assert substance is not None
    reading = read_hydrometer(solute(substance), value, on, celsius)
    percent = strength.of_density(substance, reading.density_20).percent_wv
    return Measurement(members={**members, "strength": round(percent, 3)}, took=reading.took)
