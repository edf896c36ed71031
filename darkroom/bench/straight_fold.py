"""The fold of lines that stand as they were written, in one pass: for going through many plates. Pure.

Straight are the lines of a plate of which nothing was taken back, moved, resumed after a restart or slept
through, whose lens was opened once and whose bottles stayed. All others are for `fold`; where this one
answers, its answer is that of `fold`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache
from typing import Any, NamedTuple

from msgspec.structs import replace

from darkroom.bench import endings
from darkroom.bench import events as ev
from darkroom.bench.fold import begin, fold
from darkroom.bench.standing import Line
from darkroom.bench.state import Done, Part, Phase, PlateState, Question
from darkroom.bench.steps import SAME_INSTANT, TOLD_OPEN, closed
from darkroom.process.same_process import SameProcess


def quick_fold(lines: Sequence[Line]) -> PlateState:
    """Return what `fold` returns of these lines, ascending by `n`. Raises as `fold`."""
    return straight_fold(lines) or fold(lines)


def straight_fold(lines: Sequence[Line]) -> PlateState | None:
    """Return what `fold` returns of these lines, ascending by `n`; None where they are not straight.

    Raises ProcessError as `fold` does.
    """
    start = lines[0] if lines else None
    if not isinstance(start, ev.PlateStarted) or start.up is None:
        return None
    way = _Way(begin(start, start.up))
    before = start.n
    try:
        for line in lines[1:]:
            step = STEPS[line.__class__]
            if line.n <= before:
                return None
            before = line.n
            if step is not None:
                step(way, line, line.up)
    except (_NotStraight, KeyError):
        return None
    return way.end(tuple(lines))


class _NotStraight(Exception):
    """A line that only the whole fold understands."""


class _Place(NamedTuple):
    """Where a stage stands in its process, whether it opens the lens, and how a plate stands after it."""

    place: int
    opens_lens: bool
    after: Phase


@lru_cache(maxsize=16)
def _places(same: SameProcess) -> dict[str, _Place]:
    """Return {stage: its place}."""
    stages = same.process.stages
    after: list[Phase] = ["ready" if stage.waits else "running" for stage in stages[1:]]
    return {
        stage.name: _Place(index, endings.of(stage).opens_lens, following)
        for index, (stage, following) in enumerate(zip(stages, [*after, "ended"], strict=True))
    }


class _Way:
    """What the lines so far lead to: the members of `PlateState` that straight lines can change.

    A step gets a line and its instant; it raises `_NotStraight`, or KeyError for a stage that the process
    has not.
    """

    __slots__ = (
        "aperture", "automatic_at", "celsius", "changes_noted", "cleared_at", "done", "ended", "humidity",
        "index", "last", "lead_planned", "lead_seconds", "marks", "parts", "phase", "places", "plan",
        "question", "racked", "refused", "scene", "since", "start", "traces", "wet_begins", "wet_ends",
        "wet_from", "wet_time", "wet_until",
    )  # fmt: skip

    def __init__(self, start: PlateState) -> None:
        self.start, process = start, start.process
        self.places = _places(SameProcess(process))
        self.last = len(process.stages) - 1
        window = process.wet_window
        self.wet_begins = window.from_ if window is not None else None
        self.wet_ends = window.to if window is not None else None
        self.index, self.since, self.phase = start.index, start.since, start.phase
        self.plan, self.aperture, self.scene = start.plan, start.aperture, start.scene
        self.wet_time: float | None = start.wet_time
        self.celsius: float | None = None
        self.cleared_at: float | None = None
        self.automatic_at: float | None = None
        self.wet_from: float | None = None
        self.wet_until: float | None = None
        self.lead_planned: float | None = None
        self.lead_seconds, self.changes_noted, self.racked = 0.0, 0, False
        self.ended: ev.PlateEnded | None = None
        self.refused: tuple[str, str, float] | None = None
        self.question: Question | None = None
        self.parts: tuple[Part, ...] = ()
        self.done: list[Done] = []
        self.marks: list[float] = []
        self.humidity: list[tuple[float, float, str]] = []
        self.traces: dict[str, list[tuple[float, float, str]]] = {}

    def stage_started(self, line: ev.StageStarted, instant: float | None) -> None:
        place = self.places[line.stage]
        if instant is None or line.part is not None or line.bottle_ids or line.bottles:
            raise _NotStraight
        if self.phase == "lead_in" and instant >= self.since + self.lead_seconds - SAME_INSTANT:
            self.automatic_at = instant
        self.index = place.place
        self.parts = (Part(instant, line.planned),) if place.opens_lens else ()
        if line.stage == self.wet_ends and self.wet_from is not None:
            self.wet_until = instant
        self.phase, self.since, self.celsius = "running", instant, line.celsius
        self.cleared_at = self.refused = self.question = self.lead_planned = None
        self.changes_noted, self.racked = 0, False

    def stage_ended(self, line: ev.StageEnded, instant: float | None) -> None:
        place = self.places[line.stage]
        if instant is None:
            raise _NotStraight
        how, started, cleared = line.how, self.since, self.cleared_at
        if how in ("told", "skipped") and self.phase != "running":
            started = instant
        if cleared is not None:
            cleared -= started
        self.done.append(
            Done(
                line.stage,
                started,
                instant,
                line.planned,
                how,
                self.celsius,
                cleared,
                line.exposed,
                line.strips,
                bool(line.unseen),
            )
        )
        if self.parts:
            self.parts = closed(self.parts, instant)
        if line.stage == self.wet_begins and how != "skipped":
            self.wet_from = instant
        if how == "zero":
            self.automatic_at = instant
        self.index = min(place.place + 1, self.last)
        self.phase, self.since = place.after, instant
        self.cleared_at = self.refused = self.question = self.lead_planned = self.celsius = None
        self.changes_noted, self.racked = 0, False

    def lead_in_started(self, line: ev.LeadInStarted, instant: float | None) -> None:
        place = self.places[line.stage]
        if instant is None or line.part is not None:
            raise _NotStraight
        self.index, self.phase, self.since, self.parts = place.place, "lead_in", instant, ()
        self.lead_seconds, self.lead_planned = line.seconds, line.planned
        self.cleared_at = self.refused = self.question = None

    def cleared(self, line: ev.Cleared, instant: float | None) -> None:
        if instant is None:
            raise _NotStraight
        self.cleared_at, self.refused, self.question = instant, None, None

    def temperature(self, line: ev.Temperature, instant: float | None) -> None:
        if instant is None:
            raise _NotStraight
        self.traces.setdefault(line.source, []).append((instant, line.celsius, line.from_))

    def read_humidity(self, line: ev.Humidity, instant: float | None) -> None:
        if instant is None:
            raise _NotStraight
        self.humidity.append((instant, line.percent, line.from_))

    def mark(self, line: ev.Mark, instant: float | None) -> None:
        if instant is None:
            raise _NotStraight
        self.marks.append(instant)

    def refuse(self, line: ev.Refused, instant: float | None) -> None:
        if instant is None:
            raise _NotStraight
        self.refused, self.question = (line.intent, line.reason, instant), None
        if line.asks is not None:
            stage = line.stage or self.start.process.stages[self.index].name
            self.question = Question(line.asks, stage, instant)

    def exposure_set(self, line: ev.ExposureSet, _: float | None) -> None:
        self.plan = line.plan
        self.aperture, self.scene = line.aperture or self.aperture, line.scene or self.scene

    def wet_time_set(self, line: ev.WetTimeSet, _: float | None) -> None:
        self.wet_time = line.seconds

    def acknowledged(self, line: ev.Acknowledged, _: float | None) -> None:
        if line.count is not None:
            self.changes_noted, self.refused, self.question = line.count - 1, None, None

    def clock(self, line: ev.Clock, _: float | None) -> None:
        if line.kind == "slept":
            raise _NotStraight

    def detail(self, line: ev.Detail, _: float | None) -> None:
        if line.key == TOLD_OPEN:
            raise _NotStraight

    def rack(self, line: ev.Racked, _: float | None) -> None:
        self.racked = True

    def plate_ended(self, line: ev.PlateEnded, _: float | None) -> None:
        self.phase, self.racked, self.ended = "ended", False, line

    def end(self, lines: tuple[Line, ...]) -> PlateState:
        """Return the state that the lines lead to."""
        known, humidity = self.start.temperatures, self.start.humidity
        if self.traces:
            known = known | {
                source: (*known.get(source, ()), *trace) for source, trace in self.traces.items()
            }
        return replace(
            self.start,
            lines=lines,
            index=self.index,
            phase=self.phase,
            since=self.since,
            lead_seconds=self.lead_seconds,
            lead_planned=self.lead_planned,
            parts=self.parts,
            cleared_at=self.cleared_at,
            racked=self.racked,
            celsius_at_start=self.celsius,
            temperatures=known,
            humidity=(*humidity, *self.humidity) if self.humidity else humidity,
            plan=self.plan,
            aperture=self.aperture,
            scene=self.scene,
            wet_time=self.wet_time,
            wet_from=self.wet_from,
            wet_until=self.wet_until,
            done=tuple(self.done),
            automatic_at=self.automatic_at,
            refused=self.refused,
            question=self.question,
            changes_noted=self.changes_noted,
            ended=self.ended,
            marks=tuple(self.marks),
        )


STEPS: dict[type[Any], Callable[[_Way, Any, float | None], None] | None] = {
    ev.StageStarted: _Way.stage_started,
    ev.StageEnded: _Way.stage_ended,
    ev.LeadInStarted: _Way.lead_in_started,
    ev.Cleared: _Way.cleared,
    ev.Temperature: _Way.temperature,
    ev.Humidity: _Way.read_humidity,
    ev.Mark: _Way.mark,
    ev.Refused: _Way.refuse,
    ev.ExposureSet: _Way.exposure_set,
    ev.WetTimeSet: _Way.wet_time_set,
    ev.Acknowledged: _Way.acknowledged,
    ev.Clock: _Way.clock,
    ev.Racked: _Way.rack,
    ev.PlateEnded: _Way.plate_ended,
    ev.Detail: _Way.detail,
    ev.Note: None,
    ev.Fault: None,
    ev.Rating: None,
}
"""What each line does; a line that is not here is not straight."""
