"""Plates taken to their fixer by a hand-driven bench, judged, with what they tell of the exposure."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import msgspec

from darkroom.bench import events as ev
from darkroom.log.plate.record import PlateRecord, read_record
from darkroom.process.model import ExposurePlan
from darkroom.process.scene import Scene
from tests.kit.bench import Hand, changed
from tests.kit.exports import shelve

PLATE = "20260301-090000-aaaaaa"
LATER = "2026-03-01T20:00:00.000+01:00"
STRIPS = ExposurePlan(steps=(2.0, 2.0, 4.0, 8.0, 16.0), between="run_on")
SCENE = Scene(
    light="north window", kind="window", ev=9.5, ev_from="meter", f_number=5.6, bellows=0.53, filter=0.5
)


def exposed_plate(
    *,
    sensitised: float = 225.0,
    open_for: float = 8.0,
    waited: float = 37.0,
    developed: float = 15.0,
    varied: dict[str, Any] | None = None,
    **more: Any,
) -> Hand:
    """Return the bench after a plate that came to its fixer; times are seconds."""
    hand = Hand()
    hand.new(
        0.0,
        **{
            "process": changed("develop", early="free", **(varied or {})),
            "plan": ExposurePlan(seconds=8.0),
            "temperatures": {"developer": (21.0, "hand")},
            "lens": "portrait lens 210 mm",
            "bottles": {"collodion": "C-4 2026-02-01"},
            **more,
        },
    )
    hand.go(10.0, 30.0)
    up = 30.0 + sensitised
    hand.go(up)  # drain
    hand.go(up + 20.0, up + 22.0)  # ready, lead-in
    hand.zero(up + 27.0)
    hand.zero(up + 27.0 + open_for)
    up += 27.0 + open_for + waited
    hand.go(up)
    hand.zero(up + 5.0)
    hand.go(up + 5.0 + developed)
    lines = hand.lines["p1"]
    lines[:] = [msgspec.structs.replace(line, at=line.at.replace("T00:", "T14:")) for line in lines]
    return hand


def record_of(home: Path, hand: Hand, *review: dict[str, Any]) -> PlateRecord:
    """Return the record of a plate with lines of a review added, each given as its members.

    One with a `name` is a fault, any other a rating.
    """
    (lines,) = hand.lines.values()
    start = lines[0]
    assert isinstance(start, ev.PlateStarted)
    named = msgspec.structs.replace(start, plate=PLATE, number=31)
    n = lines[-1].n
    said = [
        (ev.Fault if "name" in members else ev.Rating)(n=n + k, at=LATER, up=None, **members)
        for k, members in enumerate(review, 1)
    ]
    return read_record(shelve(home, [named, *lines[1:], *said]))
