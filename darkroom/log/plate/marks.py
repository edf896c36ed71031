"""The marks of a plate: when each was struck, in which stage, and what is said to have happened."""

from __future__ import annotations

import msgspec

from darkroom.bench import events as ev
from darkroom.bench.standing import instants
from darkroom.log.plate.account_lines import mark_numbers
from darkroom.log.plate.record import PlateRecord
from darkroom.log.plate.time_line import shown_name
from darkroom.log.plate.wall_time import clock


class MarkMoment(msgspec.Struct, frozen=True, kw_only=True):
    """A mark: the number of its line, its number within the plate, its wall time, the stage it fell into.

    `words` say what happened; None while nobody has said it.
    """

    n: int
    number: int
    at: str
    stage: str | None
    words: str | None

    @property
    def title(self) -> str:
        """Which mark it is: "mark 2, 14:05:09, fix"."""
        stage = f", {self.stage}" if self.stage else ""
        return f"mark {self.number}, {clock(self.at)}{stage}"


def marks(record: PlateRecord) -> tuple[MarkMoment, ...]:
    """Return the standing marks of a plate, in order."""
    standing = record.log.standing
    numbers, when = mark_numbers(record.log.events), instants(standing)
    corrected = {line.corrects for line in standing if isinstance(line, ev.REVIEW)}
    words: dict[int | None, list[str]] = {}
    for line in standing:
        if isinstance(line, ev.Note) and line.about in numbers and line.n not in corrected:
            words.setdefault(line.about, []).append(line.text)
    return tuple(
        MarkMoment(
            n=line.n,
            number=numbers[line.n],
            at=line.at,
            stage=_stage_at(record, when.get(line.n)),
            words="; ".join(words[line.n]) if line.n in words else None,
        )
        for line in standing
        if isinstance(line, ev.Mark)
    )


def _stage_at(record: PlateRecord, instant: float | None) -> str | None:
    """Return what the stage is called that went on at an instant, the last one for one that was not left."""
    state = record.state
    if state is None or instant is None:
        return None
    for done in state.done:
        if done.started <= instant < done.ended:
            return shown_name(state, done)
    return state.stage.shown if state.phase != "ended" and instant >= state.since else None
