"""Judged plates whose speed is given, as plain values without a log."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from darkroom.exposure.judged import Conditions, JudgedPlate

FIRST = date(2026, 5, 1)


def judged(number: int, log2_speed: float, *, half: float = 0.25, **more: Any) -> JudgedPlate:
    """Return a plate at f/4 and EV 9 that turned out so fast, with the middle of its judgement at "right"."""
    known: dict[str, Any] = {"age": 10.0 * number, "f_number": 4.0, "ev": 9.0, "ev_from": "meter", **more}
    day = (FIRST + timedelta(days=number)).isoformat()
    given = 100 * 4.0**2 / 2.0 ** (9.0 + log2_speed)
    return JudgedPlate(
        plate=f"p{number:03}",
        number=number,
        conditions=Conditions(**{"process": "Trial", "day": day, **known}),
        given=given,
        low=-half,
        high=half,
    )


def fields(plate: JudgedPlate) -> dict[str, Any]:
    """Return a plate's members."""
    return {name: getattr(plate, name) for name in plate.__struct_fields__}
