"""A log of plates that were exposed and judged, for what is learned from a whole log."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import msgspec

from darkroom.bench import events as ev
from darkroom.process.model import ExposurePlan
from darkroom.process.scene import Scene
from tests.kit.exports import shelve
from tests.kit.judged import exposed_plate

WINDOW = Scene(light="north window", kind="window", ev=9.5, ev_from="meter", f_number=5.6)


def put_judged(
    home: Path, number: int, day: str, open_for: float, scene: Scene = WINDOW, **judgement: Any
) -> Path:
    """Write a plate of a day (YYYY-MM-DD) that was exposed so many seconds and judged; return its file."""
    lines = exposed_plate(open_for=open_for, plan=ExposurePlan(seconds=open_for), scene=scene).lines["p1"]
    stamped = [msgspec.structs.replace(line, at=day + line.at[10:]) for line in lines]
    start = stamped[0]
    assert isinstance(start, ev.PlateStarted)
    plate = f"{day.replace('-', '')}-{number:06d}-aaaaaa"
    process = {**start.process, "name": "Clear-glass ambrotype"}
    named = msgspec.structs.replace(start, plate=plate, number=number, process=process)
    rating = ev.Rating(n=stamped[-1].n + 1, at=f"{day}T20:00:00.000+01:00", up=None, **judgement)
    return shelve(home, [named, *stamped[1:], rating])


def put_season(home: Path) -> None:
    """Write seven plates at one window, of which plate 34 was given a stop too little by a slip."""
    for number, day, seconds, judgement in (
        (28, "2026-02-10", 8.0, {"exposure_stops": 0.5}),
        (29, "2026-02-10", 11.0, {"exposure_word": "right"}),
        (30, "2026-02-14", 11.0, {"exposure_stops": 0.0}),
        (31, "2026-02-20", 10.0, {"exposure_word": "right"}),
        (33, "2026-02-20", 12.0, {"exposure_stops": 0.0}),
        (34, "2026-02-26", 11.0, {"exposure_stops": 3.0}),
        (35, "2026-02-26", 12.0, {"exposure_stops": 0.0}),
    ):
        put_judged(home, number, day, seconds, **judgement)
