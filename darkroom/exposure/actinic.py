"""The light a collodion plate sees under a clear sky, against the sun's altitude. Pure.

Light is told in stops more than flat ground has with the sun at 60°, 1 for half the light. The table's
numbers and how they are made stand in `actinic_table`; between its rows a monotone cubic in the logarithm of
the altitude is drawn (`process/monotone.py`).
"""

from __future__ import annotations

from functools import cache
from math import log, log2

from darkroom.errors import WrongUse, nearest
from darkroom.exposure.actinic_table import ROWS
from darkroom.process.monotone import MonotoneCurve
from darkroom.process.scene import RECEIVERS

LEAST_ALTITUDE = ROWS[0][0]
"""The table ends here: the model of the sky is not believed below."""

_FLAT, _FLAT_SHADE, _FACING, _AWAY = range(1, 5)


def stops(altitude: float, receiver: str = "scene", *, shade: bool = False) -> float | None:
    """Return the stops that something receives less than flat ground with the sun at 60°.

    `receiver` is one of `RECEIVERS`. The whole scene counts as half flat ground and half upright, turned away
    from the sun: of the mixtures tried it follows Scott's table best. In shade only the light of sky and
    ground arrives: what stands upright then has what a side turned away has in the open. None below 2°.
    Raises WrongUse for an unknown receiver.
    """
    if receiver not in RECEIVERS:
        near = nearest(receiver, RECEIVERS)
        hint = f"did you mean '{near}'?" if near else f"there are {', '.join(RECEIVERS)}"
        raise WrongUse(f"nothing that faces the light is called '{receiver}' ({hint})")
    if not altitude >= LEAST_ALTITUDE:  # NaN too
        return None
    flat, upright = (_FLAT_SHADE, _AWAY) if shade else (_FLAT, _FACING)
    if receiver == "scene":
        return -log2((2 ** -_column(flat, altitude) + 2 ** -_column(_AWAY, altitude)) / 2)
    return _column({"flat": flat, "facing": upright, "away": _AWAY}[receiver], altitude)


def _column(column: int, altitude: float) -> float:
    """Return the stops of a column of the table at an altitude within it."""
    return _curve(column)(log(min(altitude, ROWS[-1][0])))


@cache
def _curve(column: int) -> MonotoneCurve:
    """Return a column's curve over the logarithm of the altitude."""
    return MonotoneCurve([log(row[0]) for row in ROWS], [row[column] for row in ROWS])
