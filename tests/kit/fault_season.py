"""A run of forty plates, invented: fog begins with plate 31, after a new developer that is warmer.

Plates 1 to 30 are good, 31 to 34 fog, 35 to 40 are good again: the developer is still the new bottle and is
as warm as the old one was. Bottles are those of the book, so that plates count themselves.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from darkroom.bench import events as ev
from darkroom.process import timing
from darkroom.process.file import plain_form
from darkroom.process.model import ExposurePlan, Process
from darkroom.process.scene import ProposedExposure, Scene
from darkroom.resources import load_process
from tests.kit.exports import shelve

PLATES = 40
FIRST_FOG, LAST_FOG = 31, 34
A_DAY = 4
"""So many plates are made a day before the fog; the foggy ones have a day of their own."""
FAULT = "general fog"
USUAL_CELSIUS, WARM_CELSIUS = 20.0, 28.0
PROCESS = "clear-glass"
SECONDS = {"coat": 25.0, "drain": 40.0, "stop": 30.0, "fix": 110.0, "dry": 30.0}
"""What the stages take that the process does not time."""
UNJUDGED, PINHOLES = 20, 26
"""One good plate that nobody judged, and one with another fault."""


def day_of(number: int, last_day: datetime) -> datetime:
    """Return when a plate was begun: those of the last day are the good ones after the fog."""
    if number > LAST_FOG:
        back, place = 0, number - LAST_FOG - 1
    elif number >= FIRST_FOG:
        back, place = 1, number - FIRST_FOG
    else:
        back, place = 2 + (FIRST_FOG - 1 - number) // A_DAY, (number - FIRST_FOG) % A_DAY
    return last_day - timedelta(days=back) + timedelta(minutes=40 * place)


def bottles_of(number: int) -> dict[str, str]:
    """Return {role: name} of the bottles that a plate had."""
    developer = "D-3" if number < FIRST_FOG else "D-4"
    return {"collodion": "C-1", "bath": "B-1", "developer": developer, "fixer": "F-1"}


def celsius_of(number: int) -> float:
    """Return the developer's temperature: the usual one with a little scatter, or warm."""
    warm = FIRST_FOG <= number <= LAST_FOG
    return round((WARM_CELSIUS if warm else USUAL_CELSIUS) + 0.4 * math.sin(2.0 * number), 1)


def shelve_plate(
    home: Path, number: int, last_day: datetime, ids: Mapping[str, str], judged: bool = True
) -> Path:
    """Put a plate into the log as the bench writes it, judged as it was; return its journal's path."""
    process = load_process(PROCESS)
    begun = day_of(number, last_day)
    hand = _Hand(begun, number)
    chosen = bottles_of(number)
    celsius = {"room": 20.0, "bath": 19.5, "developer": celsius_of(number), "water": 14.0, "fixer": 20.0}
    hand.say(
        ev.PlateStarted, plate=f"{begun:%Y%m%d-%H%M%S}-aaaa{number:02}", number=number, schema=1,
        version="test", bench="b", boot="boot", process=plain_form.to_plain(process),
        plan=ExposurePlan(seconds=8.0), size="18 x 24 cm", who="Ottilie Brandwein", subject=f"ferns {number}",
        light="north window", lens="portrait lens", aperture="f/5.6", bottles=chosen,
        bottle_ids={role: ids[name] for role, name in chosen.items() if name in ids},
        temperatures={source: (value, "hand") for source, value in celsius.items()},
        humidity=(55.0, "hand"), holder=f"holder {1 + number % 2}", camera="bellows camera",
        scene=Scene(light="north window", kind="window", f_number=5.6),
        proposed=ProposedExposure(seconds=8.0, low=6.0, high=11.0, plates=max(1, number - 1), from_="plates"),
    )  # fmt: skip
    for index, stage in enumerate(process.stages):
        if not stage.optional and stage.name not in ("warm", "varnish", "cure"):
            _stage(hand, process, index, celsius)
    hand.say(ev.PlateEnded, how="done")
    if judged and number != UNJUDGED:
        _judge(hand, number)
    return shelve(home, hand.lines, f"{begun:%Y-%m-%d}")


class _Hand:
    """Writes the lines of one plate, the clock going on with each."""

    def __init__(self, begun: datetime, number: int) -> None:
        self.begun, self.first, self.after = begun, 1e5 * number, 0.0
        self.lines: list[ev.AnyEvent] = []

    def say(self, kind: type[Any], *, dry: bool = False, **members: Any) -> None:
        """Write a line at this instant."""
        stamp = (self.begun + timedelta(seconds=self.after)).isoformat(timespec="milliseconds")
        up = None if dry else round(self.first + self.after, 3)
        self.lines.append(kind(n=len(self.lines) + 1, at=stamp, up=up, **members))


def _stage(hand: _Hand, process: Process, index: int, celsius: Mapping[str, float]) -> None:
    """Write what one stage took: as planned, or what such a stage takes."""
    stage = process.stages[index]
    heat = celsius.get(stage.at or "")
    planned = timing.stage_seconds(process, index, 20.0 if heat is None else heat)
    if stage.ends == "exposure":
        planned = 8.0
    seconds = SECONDS[stage.name] if planned is None else planned
    if stage.lead_in is not None:
        hand.say(ev.LeadInStarted, stage=stage.name, seconds=stage.lead_in)
        hand.after += stage.lead_in
    hand.say(ev.StageStarted, stage=stage.name, planned=planned, celsius=heat)
    if stage.ends == "cleared":
        hand.after += seconds / 2
        hand.say(ev.Cleared, stage=stage.name, seconds=seconds / 2)
        planned, hand.after = seconds, hand.after - seconds / 2
    hand.after += seconds
    how = "zero" if stage.ends == "exposure" else "strike"
    hand.say(ev.StageEnded, stage=stage.name, seconds=round(seconds, 3), planned=planned, how=how)


def _judge(hand: _Hand, number: int) -> None:
    """Judge a plate in the evening: fog, pinholes, or four stars and nothing else."""
    hand.after += 3600.0
    foggy = FIRST_FOG <= number <= LAST_FOG
    if foggy:
        hand.say(ev.Fault, dry=True, name=FAULT, where="all over")
    if number == PINHOLES:
        hand.say(ev.Fault, dry=True, name="pinholes")
    hand.say(ev.Rating, dry=True, stars=2 if foggy else 4, exposure_stops=0.0, nothing_else=True)
