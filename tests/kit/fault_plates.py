"""Plates to ask why they failed, all alike but for what a test changes."""

from __future__ import annotations

from typing import Any

import msgspec

from darkroom.faults.history import BottleThen, MarkedFault, PlateFigures, StageFigures

DAY = 86400.0
USUAL = PlateFigures(
    plate="plate 0",
    number=0,
    process="clear glass",
    instant=0.0,
    day="2026-05-14",
    judged=True,
    stars=4,
    stops=0.0,
    proposed=8.0,
    exposed=8.0,
    first_seen=4.0,
    wet_used=150.0,
    wet_about=300.0,
    humidity=55.0,
    temperatures={"room": 20.0, "bath": 19.0, "developer": 20.0},
    stages={
        "coat": StageFigures(seconds=40.0),
        "bath": StageFigures(seconds=210.0, planned=210.0, celsius=19.0),
        "drain": StageFigures(seconds=30.0),
        "develop": StageFigures(seconds=15.0, planned=15.0, celsius=20.0),
        "stop": StageFigures(seconds=20.0),
        "fix": StageFigures(seconds=100.0, cleared=50.0),
        "wash": StageFigures(seconds=600.0, planned=600.0),
    },
    bottles={
        "collodion": BottleThen(name="C-1", id="c1", age_days=30.0),
        "bath": BottleThen(name="B-1", id="b1", plates=40, since={"filtered": 12}, iodised=True, percent=9.0),
        "developer": BottleThen(name="D-3", id="d3", age_days=2.0, plates=7),
        "fixer": BottleThen(name="F-1", id="f1", plates=9, fresh_clearing=40.0),
        "varnish": BottleThen(name="V-1", id="v1"),
    },
    holder="holder 1",
    camera="whole plate",
)
"""A plate of which everything is recorded, nothing out of the way."""


def plate(number: int, *faults: str, **changes: Any) -> PlateFigures:
    """Return the usual plate of this number, a day after the one before it, marked with faults."""
    return msgspec.structs.replace(
        USUAL,
        plate=f"plate {number}",
        number=number,
        instant=DAY * number,
        faults=tuple(MarkedFault(name=fault) for fault in faults),
        **changes,
    )


def blank(number: int, *faults: str, **told: Any) -> PlateFigures:
    """Return a plate of the usual process of which nothing is recorded but this."""
    return PlateFigures(
        plate=f"plate {number}",
        number=number,
        process=told.pop("process", USUAL.process),
        instant=DAY * number,
        day="2026-05-14",
        judged=told.pop("judged", True),
        faults=tuple(MarkedFault(name=fault) for fault in faults),
        **told,
    )


def with_bottles(**bottles: BottleThen) -> dict[str, BottleThen]:
    """Return the usual bottles with some changed."""
    return {**USUAL.bottles, **bottles}


def with_stages(**stages: StageFigures) -> dict[str, StageFigures]:
    """Return the usual stages with some changed."""
    return {**USUAL.stages, **stages}


def at_celsius(celsius: float | None) -> dict[str, Any]:
    """Return the members of a plate whose developer was read at so many °C, or not read."""
    return {
        "stages": with_stages(develop=StageFigures(seconds=15.0, planned=15.0, celsius=celsius)),
        "temperatures": {
            "room": 20.0,
            "bath": 19.0,
            **({} if celsius is None else {"developer": celsius}),
        },
    }
