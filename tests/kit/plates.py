"""One plate that has everything: ends seen, called, told, left out; a late strike, a night on the rack."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import msgspec

from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.log.plate.record import PlateRecord, read_record
from darkroom.process.file import plain_form
from darkroom.process.model import ExposurePlan
from darkroom.resources import load_process
from darkroom.screens.widgets.rows import Row
from tests.kit.bench import PROCESS, Hand
from tests.kit.exports import shelve

UNASKED = {
    **PROCESS,
    "stages": [
        {**stage, "early": "free"} if stage["name"] == "wash" else stage for stage in PROCESS["stages"]
    ],
}
"""The trial process with a wash that may be ended early without a question."""
PLATE = "20260301-090000-aaaaaa"
SIZES = (80, 120, 200)
LATE_DRAIN, LATE_CLEARING = 550.0, 380.0
"""What the drain and the clearing took, in seconds; usual are 15 to 30 s, and 0:30 to 2:00."""


def forgotten(away: bool = False, **more: Any) -> list[ev.AnyEvent]:
    """Return the lines of a finished plate: its drain 9:10 long, its clearing 6:20, dried over night."""
    hand = Hand()
    hand.new(
        0.0,
        plan=ExposurePlan(seconds=8.0),
        timed="away" if away else "here",
        **{
            "process": UNASKED,
            "temperatures": {"bath": (18.5, "hand"), "room": (21.0, "hand")},
            "humidity": (45.0, "hand"),
            "subject": "Apple tree",
            "lens": "portrait lens 210 mm",
            "aperture": "f/4.5",
            "bottles": {"collodion": "C3"},
            **more,
        },
    )
    hand.go(10.0, 30.0)
    hand.do(120.0, want.ReadTemperature("bath", 19.5, "bath thermometer"))
    drained = 240.0 + LATE_DRAIN
    hand.go(240.0, drained)
    if away:
        hand.go(830.0)
    else:
        hand.go(800.0)
        hand.zero(805.0)
        hand.zero(813.0)
    hand.go(835.0)
    hand.zero(840.0)
    hand.do(845.0, want.MarkNow())
    hand.go(857.0)
    hand.zero(877.0)
    hand.go(877.0 + LATE_CLEARING)
    hand.go(877.0 + 2 * LATE_CLEARING + 10)
    hand.go(2397.0)
    hand.do(2400.0, want.Undo())
    hand.go(2403.0)
    dry = 2403.0 + 12 * 3600
    hand.do(dry, want.FromRack("p1"))
    hand.go(dry + 20, dry + 70)
    hand.do(dry + 80, want.Skip())
    (lines,) = hand.lines.values()
    start = lines[0]
    assert isinstance(start, ev.PlateStarted)
    return [msgspec.structs.replace(start, plate=PLATE, number=12), *lines[1:]]


def unvarnished(day: str, subject: str) -> list[ev.AnyEvent]:
    """Return the lines of a plate of clear glass of that day: exposed for 2 s, finished without varnish."""
    hand = Hand()
    process = plain_form.to_plain(load_process("clear-glass"))
    hand.new(0.0, process=process, plan=ExposurePlan(seconds=2.0), subject=subject)
    hand.go(10.0, 30.0, 245.0, 260.0, 262.0)  # coat, sensitise, drain, ready, lead-in
    hand.zero(267.0)
    hand.zero(269.0)
    hand.go(300.0)  # lead-in of the developer
    hand.zero(305.0)
    hand.go(320.0, 340.0, 380.0, 425.0, 2300.0)  # water, fixer, cleared, washing, drying
    hand.do(2310.0, want.FinishUnvarnished("p1"))
    (lines,) = hand.lines.values()
    assert isinstance(lines[-1], ev.PlateEnded)
    plate = f"{day.replace('-', '')}-000000-aaaaaa"
    dated = [msgspec.structs.replace(line, at=line.at.replace("2026-03-01", day)) for line in lines]
    return [msgspec.structs.replace(dated[0], plate=plate, number=1), *dated[1:]]


def judged(lines: list[ev.AnyEvent]) -> list[ev.AnyEvent]:
    """Return the lines with a judgement, its stars corrected."""
    n, at = lines[-1].n, "2026-03-02T20:00:00.000+01:00"
    return [
        *lines,
        ev.Rating(n=n + 1, at=at, up=None, stars=2, exposure_stops=-0.5),
        ev.Fault(n=n + 2, at=at, up=None, name="comets", where="left edge"),
        ev.Note(n=n + 3, at=at, up=None, text="clean shadows"),
        ev.Rating(
            n=n + 4, at=at, up=None, stars=4, exposure_stops=-0.5, corrects=n + 1, reason="by daylight"
        ),
        ev.Detail(n=n + 5, at=at, up=None, key="next", value="pour faster"),
        ev.Detail(n=n + 6, at=at, up=None, key="varnish", value="sandarac"),
    ]


def put(home: Path, lines: list[ev.AnyEvent]) -> Path:
    """Put a plate's journal into the log; return its path."""
    return shelve(home, lines)


def told(home: Path, lines: list[ev.AnyEvent]) -> PlateRecord:
    """Return what is known of a plate with these lines."""
    return read_record(put(home, lines))


def texts(rows: list[Row]) -> list[str]:
    """Return rows as text."""
    return ["".join(text for text, _ in row) for row in rows]
