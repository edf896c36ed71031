"""A plate carried through by ear: what a run's sound says, and what it should have said.

The one half knows the recordings alone and makes calls of what was heard: which sound, which plate, which
words. The other reads the journal and the process file, and tells which calls were due. Neither knows the cue
schedule.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, field

from darkroom.bench import events as ev
from darkroom.bench.fold import apply, begin
from darkroom.bench.state import PlateState
from darkroom.process.model import Process, Stage
from tests.kit.cues_heard import HeardSound

UNSPOKEN = frozenset({"pip", "step"})
"""Sounds that say nothing: they are no calls."""
LIGHT = frozenset({"safelight", "room-light"})
LIGHT_WORDS = frozenset({"safelight only", "room light is safe"})
"""Calls of the whole bench, and their words."""


@dataclass
class HeardCall:
    """One call: the sound it began with ("said" without one), the plate it named, and its words."""

    sound: str
    plate: int | None = None
    words: list[str] = field(default_factory=list)

    def text(self) -> str:
        """Return the call as one line: "end: plate 2, lift"."""
        plate = [] if self.plate is None else [f"plate {self.plate}"]
        return f"{self.sound}: {', '.join([*plate, *self.words])}"


def calls_heard(heard: Iterable[HeardSound], sentences: Collection[str] = ()) -> list[HeardCall]:
    """Return the calls that sounds make, in order; counted seconds, and these sentences, are left out.

    The light's calls are the bench's, and may come between another call and its words: they are left out too.
    A word that was cut off is said again from its beginning, so only whole ones count.
    """
    calls: list[HeardCall] = []
    naming = False
    for sound in heard:
        name = sound.names[0]
        word = name.removeprefix("voice/").replace("-", " ")
        if name in UNSPOKEN or name in LIGHT or word in LIGHT_WORDS:
            continue
        if not name.startswith("voice/"):
            calls.append(HeardCall(name))
        elif word in sentences or not sound.whole:
            continue
        elif word == "plate":
            if not calls or calls[-1].words or calls[-1].plate is not None:
                calls.append(HeardCall("said"))
        elif naming:
            calls[-1].plate = int(word)
        elif not (word.isdigit() and calls[-1].sound != "said" and calls[-1].words):
            calls[-1].words.append(word)
        naming = word == "plate"
    return calls


def calls_due(lines: Sequence[ev.AnyEvent]) -> list[str]:
    """Return the calls that a plate's journal says were due, as the lines that `HeardCall.text` gives.

    Each accepted strike, each start of a lead-in's stage, each zero, each repeated call.
    """
    first = lines[0]
    assert isinstance(first, ev.PlateStarted)
    state = begin(first, first.up or 0.0)
    plate = f"plate {first.number}"
    due: list[tuple[float, str]] = []
    causes: dict[float, list[ev.AnyEvent]] = {}
    for line in lines[1:]:
        if line.up is not None:
            causes.setdefault(line.up, []).append(line)
    for up, cause in causes.items():
        before = state
        for line in cause:
            state = apply(state, line)
        due += _calls_of_cause(before, cause, state, up, plate)
    return [text for _, text in sorted(due, key=lambda pair: pair[0])]


def _calls_of_cause(
    before: PlateState, cause: Sequence[ev.AnyEvent], after: PlateState, up: float, plate: str
) -> list[tuple[float, str]]:
    process = before.process
    ended = next((line for line in cause if isinstance(line, ev.StageEnded)), None)
    started = next((line for line in cause if isinstance(line, ev.StageStarted)), None)
    calls: list[tuple[float, str]] = []
    if ended is not None:
        calls += _calls_within(process, ended, up, plate)
    if isinstance(cause[0], ev.Temperature | ev.Humidity | ev.Resumed | ev.Clock | ev.Refused):
        return []
    by_itself = ended is not None and ended.how == "zero"
    if started is not None and before.phase == "lead_in":
        calls.append((up, f"start: {_lead_in_verb(process.stage(started.stage))}"))
    elif any(isinstance(line, ev.Cleared) for line in cause):
        calls.append((up, f"accepted: {plate}, cleared"))
    elif any(isinstance(line, ev.PlateEnded) for line in cause):
        calls.append((up, f"accepted: {plate}, finished"))
    elif not by_itself:
        following = after.next_stage
        red = after.phase == "running" and following is not None and following.light == "red"
        red_next = red and after.stage.light != "red" and not _was_red(after)
        calls.append((up, f"accepted: {plate}, {after.stage.name}" + (", red next" if red_next else "")))
    return calls


def _was_red(state: PlateState) -> bool:
    """True while the light of the stage before still counts for the plate."""
    return bool(state.done) and state.process.stage(state.done[-1].stage).light == "red"


def _calls_within(process: Process, ended: ev.StageEnded, up: float, plate: str) -> list[tuple[float, str]]:
    """Return the calls of a stage that has ended: its zero, and what came again within it."""
    stage, begun = process.stage(ended.stage), up - ended.seconds
    calls = []
    if stage.repeat is not None and ended.planned is not None:
        count = -(-ended.planned // stage.repeat.every)
        for k in range(1, int(count)):
            at = begun + k * stage.repeat.every
            calls.append((at, f"said: {plate}, {stage.repeat.verb}, {k + 1}, of, {count:.0f}"))
    if ended.planned is not None and ended.seconds >= ended.planned - 0.001:
        calls.append((begun + ended.planned, f"end: {plate}, {_due_verb(process, stage)}"))
    return calls


def _lead_in_verb(stage: Stage) -> str:
    return stage.verb.lead_in if stage.verb is not None and stage.verb.lead_in else stage.name


def _due_verb(process: Process, stage: Stage) -> str:
    """Return the verb of the stage's file, else the name of what comes next."""
    if stage.verb is not None and stage.verb.due:
        return stage.verb.due
    return process.stages[process.index(stage.name) + 1].name
