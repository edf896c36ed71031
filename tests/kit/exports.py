"""Plates for tests of the exports: one worked through at the bench, one with hostile words."""

from __future__ import annotations

import copy
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import msgspec

from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.log.journal import frame
from darkroom.log.store import paths
from darkroom.process.model import ExposurePlan
from tests.kit.bench import Hand

FIRST, SECOND, EVIL = "20260301-090000-aaaaaa", "20260301-100000-bbbbbb", "20260302-090000-cccccc"
DAY, NEXT_DAY = "2026-03-01", "2026-03-02"
FORMULA = '=HYPERLINK("http://example.invalid";"x")'
SCRIPT = "<script>alert('1')</script>"
BIDI = "left \u202e\u2067 thgir"
WORDS = f'{SCRIPT} & "quoted", it\'s\r\nsecond line\u2028\x00\x1b[31m {BIDI} \U0001f4f7\ufffe'
"""Words as a careless or a wicked hand may type them."""


def worked(plate: str = FIRST, number: int = 12, **more: Any) -> list[ev.AnyEvent]:
    """Return the lines of a plate taken through every stage to the rack, and judged."""
    hand = Hand()
    hand.new(
        0.0,
        plan=ExposurePlan(seconds=8.0),
        **{
            "temperatures": {"bath": (18.5, "hand"), "room": (21.0, "hand")},
            "humidity": (45.0, "hand"),
            "subject": "Apple tree",
            "who": "Ida Tarn",
            "size": "13 × 18 cm",
            "lens": "portrait lens 210 mm",
            "aperture": "f/4.5",
            "light": "open shade",
            "bottles": {"collodion": "C3"},
            **more,
        },
    )
    hand.go(10.0, 30.0)  # coat, sensitise
    hand.do(120.0, want.ReadTemperature("bath", 19.5, "bath thermometer"))
    hand.go(255.0, 275.0, 280.0)  # drain, ready, lead-in
    hand.zero(285.0)
    hand.zero(293.0)
    hand.go(330.0)  # lead-in of the developer
    hand.zero(335.0)
    hand.do(345.0, want.MarkNow())
    hand.go(352.0)
    hand.zero(372.0)
    hand.go(412.0, 452.0)  # cleared, washing
    hand.go(1400.0)  # drying
    (found,) = hand.lines.values()
    start = found[0]
    assert isinstance(start, ev.PlateStarted)
    own = copy.deepcopy(start.process)
    found[0] = msgspec.structs.replace(start, plate=plate, number=number, process=own)
    n = found[-1].n
    at = "2026-03-01T20:00:00.000+01:00"
    return [
        *found,
        ev.Rating(n=n + 1, at=at, up=None, stars=2, exposure_stops=-0.5),
        ev.Fault(n=n + 2, at=at, up=None, name="comet", where="upper corner"),
        ev.Note(n=n + 3, at=at, up=None, text="clean shadows"),
        ev.Rating(n=n + 4, at=at, up=None, stars=4, corrects=n + 1, reason="seen by daylight"),
        ev.Detail(n=n + 5, at=at, up=None, key="scan", value="scans/apple tree.tif"),
    ]


def hostile(plate: str = EVIL, number: int = 13, words: str = WORDS) -> list[ev.AnyEvent]:
    """Return the lines of a plate whose every free word is hostile."""
    found = worked(
        plate,
        number,
        subject=words,
        who=FORMULA,
        lens=words,
        aperture="@f/8",
        light="+1",
        size="-2",
        bottles={FORMULA: words},
    )
    n, at = found[-1].n, "2026-03-02T20:00:00.000+01:00"
    return [
        *found,
        ev.Note(n=n + 1, at=at, up=None, text=words),
        ev.Fault(n=n + 2, at=at, up=None, name=words, where=words),
        ev.Detail(n=n + 3, at=at, up=None, key=words, value=FORMULA),
    ]


def shelve(home: Path, events: Iterable[ev.AnyEvent], day: str = DAY) -> Path:
    """Put a plate's journal into the log; return its path."""
    found = list(events)
    start = found[0]
    assert isinstance(start, ev.PlateStarted)
    path = paths.plate_path(home, start.plate, day)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(b"".join(map(frame.encode, found)))
    return path
