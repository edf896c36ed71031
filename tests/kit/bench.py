"""A bench for tests: a process with short plain times, a clock set by hand, plates driven by strikes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from darkroom.bench import all_plates as benches
from darkroom.bench import decide_all, large_place
from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.bench.all_plates import Bench
from darkroom.bench.fold import fold
from darkroom.bench.intents import Cause, Decision, Intent
from darkroom.bench.state import PlateState

PROCESS: dict[str, Any] = {
    "name": "Trial",
    "temperatures": {"room": 20.0, "bath": 20.0, "developer": 20.0, "water": 15.0, "fixer": 20.0},
    "humidity": 50.0,
    "sensitive": {"from": "sensitise", "to": "fix"},
    "wet_window": {
        "from": "sensitise", "to": "develop", "time": 600.0, "temperature": 20.0, "humidity": 50.0,
        "longest": 1200.0,
    },
    "stages": [
        {"name": "prepare", "light": "white", "ends": "by_eye", "optional": True},
        {"name": "coat", "light": "white", "ends": "by_eye", "starts": "on_strike", "at": "room",
         "expect": [10.0, 30.0], "holds": ["ether"]},
        {"name": "sensitise", "light": "red", "ends": "on_time", "at": "bath", "patience": 60.0,
         "time": [[10.0, 270.0], [20.0, 210.0], [30.0, 165.0]], "holds": ["silver"]},
        {"name": "drain", "light": "red", "ends": "by_eye", "expect": [15.0, 30.0]},
        {"name": "expose", "light": "covered", "ends": "exposure", "lead_in": 5.0},
        {"name": "develop", "light": "red", "ends": "on_time", "lead_in": 5.0, "at": "developer",
         "time": {"at": 20.0, "is": 15.0, "coefficient": 1.9}, "holds": ["acid"]},
        {"name": "stop", "light": "red", "ends": "at_zero", "time": 20.0, "at": "water", "holds": ["water"]},
        {"name": "fix", "light": "white", "ends": "cleared", "clearing_factor": 2.0,
         "expect": [30.0, 120.0], "at": "fixer", "holds": ["hypo"]},
        {"name": "wash", "light": "white", "ends": "on_time", "time": 900.0, "at": "water",
         "holds": ["water"]},
        {"name": "dry", "light": "white", "ends": "by_eye", "rack": True},
        {"name": "warm", "light": "white", "ends": "by_eye", "starts": "on_strike", "holds": ["flame"]},
        {"name": "varnish", "light": "white", "ends": "by_eye", "holds": ["varnish"]},
    ],
}  # fmt: skip

_BEFORE_FIX = 7
CYANIDE: dict[str, Any] = {
    **PROCESS,
    "name": "Trial with cyanide",
    "stages": [
        *PROCESS["stages"][:_BEFORE_FIX],
        {"name": "rinse", "light": "red", "ends": "on_time", "time": 60.0, "at_least": 30.0, "at": "water",
         "holds": ["water"]},
        {"name": "fix", "light": "white", "ends": "cleared", "clearing_factor": 1.5,
         "expect": [10.0, 30.0], "holds": ["cyanide"]},
        {"name": "wash", "light": "white", "ends": "on_time", "time": 300.0, "at": "water",
         "holds": ["water"]},
        {"name": "clear", "light": "white", "ends": "by_eye", "holds": ["acid"]},
    ],
}  # fmt: skip
"""The trial process with a cyanide fixer between two acids: `rinse` and `wash` keep them apart."""


def start(plate: str = "", number: int = 1, up: float = 0.0, **more: Any) -> ev.PlateStarted:
    """Return the first line of a plate of the trial process."""
    members: dict[str, Any] = {"process": PROCESS, **more}
    return ev.PlateStarted(
        n=1,
        at=at(up),
        up=up,
        plate=plate,
        number=number,
        schema=1,
        version="test",
        bench="b",
        boot="boot",
        **members,
    )


def at(up: float) -> str:
    """Return a wall time for an instant."""
    hours, rest = divmod(up, 3600)
    minutes, seconds = divmod(rest, 60)
    return f"2026-03-01T{int(hours) % 24:02d}:{int(minutes):02d}:{seconds:06.3f}+01:00"


class Hand:
    """A bench worked by hand: every call gives the instant at which it happens."""

    def __init__(self, **more: Any) -> None:
        self.bench = Bench()
        self.lines: dict[str, list[ev.AnyEvent]] = {}
        self.count = 0
        self.more = more

    def new(self, up: float, **more: Any) -> None:
        """Put a plate on the bench that waits for its first strike."""
        self.count += 1
        self.bench = benches.with_new(
            self.bench, start(number=self.count, up=up, **{**self.more, **more}), up
        )

    def do(self, up: float, intent: Intent) -> Decision:
        """Decide an intent at `up` and fold what comes of it."""
        decision = decide_all.decide_intent(self.bench, intent, Cause(at(up), up))
        self.bench = large_place.remember(benches.apply_decision(self.bench, decision), intent, decision, up)
        for plate, lines in decision.events:
            if plate:
                self.lines.setdefault(plate, []).extend(lines)
        return decision

    def go(self, *ups: float) -> Decision:
        """Strike go at each instant; return the last decision."""
        for up in ups:
            decision = self.do(up, want.Go(plate=f"p{self.count}", number=self.count))
        return decision

    def zero(self, up: float) -> Decision:
        """Reach the automatic zero of the large plate."""
        return self.do(up, want.Zero(self.bench.large or ""))

    @property
    def plate(self) -> PlateState:
        """The large plate."""
        shown = self.bench.shown
        assert shown is not None
        return shown

    def replayed(self, plate: str = "p1") -> PlateState:
        """Return what the plate's lines alone lead to."""
        return fold(self.lines[plate])

    def to_stage(self, name: str) -> float:
        """Bring a new plate to the running (or ready) stage `name`; return the instant."""
        if self.count == 0:
            self.new(0.0)
        steps: Sequence[tuple[str, float]] = (
            ("coat", 10.0), ("sensitise", 30.0), ("drain", 240.0), ("ready", 260.0), ("lead_in", 262.0),
            ("expose", 263.0), ("exposed", 270.0), ("lead_in 2", 272.0), ("develop", 274.0), ("stop", 290.0),
        )  # fmt: skip
        now = 0.0
        for stage, up in steps:
            now = up
            self.go(up)
            if stage == name:
                return now
        self.zero(310.0)
        if name == "fix":
            return 310.0
        self.go(350.0, 390.0)
        assert name == "wash"
        return 390.0


def kinds(decision: Decision) -> list[str]:
    """Return the names of the decision's events."""
    return [type(line).__name__ for _, lines in decision.events for line in lines]


def changed(stage: str, **keys: Any) -> dict[str, Any]:
    """Return the trial process with some keys of a stage changed."""
    stages = [{**known, **keys} if known["name"] == stage else known for known in PROCESS["stages"]]
    return {**PROCESS, "stages": stages}
