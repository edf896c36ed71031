"""The state of one plate: what the fold of its journal leads to. Pure.

Instants are seconds on the boot clock of the last line (a line written before a restart of the
machine is brought onto it by the `resumed` line that follows).
"""

from __future__ import annotations

from typing import Literal

import msgspec

from darkroom.bench import events as ev
from darkroom.bench.standing import Line
from darkroom.process.model import ExposurePlan, Process, Stage
from darkroom.process.scene import Scene

Phase = Literal["ready", "lead_in", "running", "ended"]


Trace = tuple[tuple[float, float, str], ...]
"""(instant, value, where it is from), ascending; the first value also covers what was before."""


STEPS = (ev.LeadInStarted, ev.StageStarted, ev.Cleared, ev.StageEnded, ev.PlateEnded)
"""The events that undo takes back and `earlier` moves."""


class Done(msgspec.Struct, frozen=True, gc=False):
    """A stage that was left: when, why, and what was planned for it."""

    stage: str
    started: float
    ended: float
    planned: float | None
    how: ev.How
    celsius: float | None = None
    cleared: float | None = None
    exposed: float | None = None
    strips: tuple[float, ...] | None = None
    unseen: bool = False
    """Nobody saw the stage end: how long the lens was open is known only once it is told."""

    @property
    def seconds(self) -> float:
        """How long it took."""
        return self.ended - self.started


class Part(msgspec.Struct, frozen=True):
    """One opening of the lens: when it began and what it was to last (None: until a strike).

    `unseen` is true when its end passed while nobody could call for the cap.
    """

    started: float
    planned: float | None
    ended: float | None = None
    unseen: bool = False


class BottleChange(msgspec.Struct, frozen=True):
    """Other bottles stand in some roles from the stage at `index` on: {role: id} and {role: name}."""

    index: int
    ids: dict[str, str]
    names: dict[str, str]


class Question(msgspec.Struct, frozen=True):
    """What the bench asks about a stage, and since when; the plate's next strike answers it with yes."""

    asks: ev.Asks
    stage: str
    since: float


class PlateState(msgspec.Struct, frozen=True, kw_only=True):
    """What is known of a plate; a function of its lines alone."""

    lines: tuple[Line, ...]
    start: ev.PlateStarted
    process: Process
    index: int = 0
    phase: Phase = "ready"
    since: float = 0.0
    lead_seconds: float = 0.0
    lead_part: int | None = None
    """The further opening of the lens that is to come, from its lead-in on; 2 is the first."""
    lead_planned: float | None = None
    """What that opening is to last in seconds; None until a strike."""
    parts: tuple[Part, ...] = ()
    given: Done | None = None
    """The exposure as it had ended before the lens is opened a further time."""
    cleared_at: float | None = None
    held: bool = False
    racked: bool = False
    celsius_at_start: float | None = None
    temperatures: dict[str, Trace] = {}
    humidity: Trace = ()
    plan: ExposurePlan | None = None
    aperture: str | None = None
    scene: Scene | None = None
    wet_time: float | None = None
    wet_from: float | None = None
    wet_until: float | None = None
    done: tuple[Done, ...] = ()
    automatic_at: float | None = None
    refused: tuple[str, str, float] | None = None
    question: Question | None = None
    changes_noted: int = 0
    """How many calls to change the water of this stage were answered by a strike."""
    estimated: bool = False
    estimated_before: float | None = None
    """The last restart of the machine: of what began before it, it is an estimate when that was."""
    longer_ago_before: float | None = None
    """The last restart at which the wall clock was behind: what began before it is older than it shows."""
    ended: ev.PlateEnded | None = None
    marks: tuple[float, ...] = ()
    bottle_changes: tuple[BottleChange, ...] = ()
    """What was changed since the plate began; ask `bench.bottles`."""

    @property
    def plate(self) -> str:
        """The plate's id; empty until its first strike."""
        return self.start.plate

    @property
    def number(self) -> int:
        """The plate's number, a label."""
        return self.start.number

    @property
    def stage(self) -> Stage:
        """The stage the plate stands in, or is ready for."""
        return self.process.stages[self.index]

    @property
    def next_stage(self) -> Stage | None:
        """The stage after this one, or None."""
        following = self.index + 1
        return self.process.stages[following] if following < len(self.process.stages) else None

    @property
    def last_n(self) -> int:
        """The number of the last line."""
        return self.lines[-1].n

    @property
    def pace(self) -> float:
        """How many times as fast as life the plate's clock runs: hands do not get faster with it."""
        return self.start.speed or 1.0

    @property
    def on_bench(self) -> bool:
        """True while the plate is neither ended nor on the rack."""
        return self.phase != "ended" and not self.racked
