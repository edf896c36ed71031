"""The bench as its journals tell it: every cause again, and what the rules say of each strike.

What no journal holds is told beside them, as a `Choice`: a plate put on the bench, looked at, large after a
restart.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from msgspec.structs import replace

from darkroom.bench import all_plates, clocks, endings, large_place, questions
from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.bench.all_plates import NEW, Bench, developing
from darkroom.bench.fold import begin
from darkroom.bench.intents import Decision
from darkroom.bench.refusals import ANSWERED_NO, AUTOMATIC
from darkroom.bench.standing import Line
from darkroom.bench.state import PlateState, Question
from darkroom.log.journal.find import find_plates
from darkroom.log.journal.merge import read_plate
from tests.kit.bench import start

TICK = 0.25
"""The large place is looked at so often between two causes, in seconds."""
NEAR = 0.15
"""Two instants so near to each other are one to the tool, which looks at its clocks between them."""


@dataclass(frozen=True)
class Choice:
    """What the hand chose, of which no journal has a line; `plate` is "" for the one put on the bench."""

    up: float
    what: Literal["put on", "looked", "came back"]
    plate: str = NEW


@dataclass(frozen=True)
class Cause:
    """The lines of one cause of a plate; `struck`: a hand made it, `zero`: its clock did."""

    up: float
    plate: str
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class StruckPlate:
    """A strike: the bench before it, the plate that took it, and what was written of it."""

    bench: Bench
    cause: Cause
    intent: want.Intent

    @property
    def state(self) -> PlateState | None:
        """The plate before the strike; None at its first."""
        return self.bench.plates.get(self.cause.plate)

    @property
    def refusal(self) -> str | None:
        """Why it was refused, or what was asked."""
        return _refusal(self.cause.lines)

    @property
    def asked(self) -> bool:
        """Whether it was answered with a question."""
        return any(isinstance(line, ev.Refused) and line.asks is not None for line in self.cause.lines)

    @property
    def moved(self) -> bool:
        """Whether the plate left its stage, or was said to have cleared."""
        return any(isinstance(line, ev.StageEnded | ev.Cleared) for line in self.cause.lines)


class Replay:
    """The bench after every cause so far; `strikes` are those that hands made, in order."""

    def __init__(self) -> None:
        self.bench = Bench()
        self.strikes: list[StruckPlate] = []
        self._at = 0.0
        self._taken: set[tuple[float, str]] = set()

    def take(self, home: Path, choices: Sequence[Choice]) -> Replay:
        """Take what the journals of a home hold by now, with the choices, in the order of their instants."""
        happened: list[Cause | Choice] = [*causes(home), *choices]
        for one in sorted(happened, key=lambda one: one.up):
            key = (one.up, one.plate)
            if key in self._taken:
                continue
            self._taken.add(key)
            self._look(one.up)
            if isinstance(one, Choice):
                self._choose(one)
            else:
                self._cause(one)
        return self

    def at(self, now: float) -> Bench:
        """Return the bench at an instant after all that happened, its large place as the rules give it."""
        self._look(now)
        return self.bench

    def _look(self, until: float) -> None:
        """Settle the large place at every tick up to an instant."""
        if self.bench.plates:
            while self._at + TICK < until:
                self._at += TICK
                self.bench = large_place.settle(self.bench, self._at)
            self.bench = large_place.settle(self.bench, until)
        self._at = max(self._at, until)

    def _choose(self, choice: Choice) -> None:
        if choice.what == "put on":
            # what is known of it comes with its first strike: until then it stands ready for any stage
            self.bench = replace(
                self.bench, large=NEW, chosen=NEW, chosen_at=choice.up, taken_at=None,
                plates={**self.bench.plates, NEW: _blank(choice.up)},
            )  # fmt: skip
        elif choice.what == "looked":
            decision = Decision(large=choice.plate)
            bench = all_plates.apply_decision(self.bench, decision)
            self.bench = large_place.remember(bench, want.Look(1), decision, choice.up)
        else:
            self.bench = Bench(
                plates=self.bench.plates,
                large=choice.plate,
                chosen=choice.plate,
                handed_over=self.bench.handed_over,
            )

    def _cause(self, cause: Cause) -> None:
        state = self.bench.plates.get(cause.plate)
        intent = _intent(state, cause)
        decision = Decision(events=((cause.plate, cause.lines),), refusal=_refusal(cause.lines))
        if isinstance(cause.lines[0], ev.PlateStarted):
            decision = replace(decision, large=cause.plate)
        if isinstance(intent, want.Go | want.Undo | want.Earlier):
            self.strikes.append(StruckPlate(self.bench, cause, intent))
        after = all_plates.apply_decision(self.bench, decision)
        if intent is not None:
            after = large_place.remember(after, intent, decision, cause.up)
        self.bench = after


def _blank(up: float) -> PlateState:
    return begin(start(up=up), up)


def causes(home: Path) -> list[Cause]:
    """Return the causes of all plates of a home, in the order of their instants."""
    return sorted(
        (cause for path in find_plates(home) for cause in _causes(path)), key=lambda cause: cause.up
    )


def _causes(path: Path) -> Iterator[Cause]:
    log = read_plate(path)
    group: list[Line] = []
    for line in log.events:
        if group and (line.up, line.at) != (group[0].up, group[0].at):
            yield Cause(group[0].up or 0.0, log.plate, tuple(group))
            group = []
        if line.up is not None:
            group.append(line)
    if group:
        yield Cause(group[0].up or 0.0, log.plate, tuple(group))


def _refusal(lines: Sequence[Line]) -> str | None:
    reasons = (line.reason for line in lines if isinstance(line, ev.Refused))
    return next((reason for reason in reasons if reason != ANSWERED_NO), None)


def _intent(state: PlateState | None, cause: Cause) -> want.Intent | None:
    """Return what made a cause: a strike, a zero, or None for readings and what the clocks did."""
    for line in cause.lines:
        match line:
            case ev.PlateStarted() | ev.LeadInStarted() | ev.Cleared():
                return want.Go(plate=cause.plate)
            case ev.Undone():
                return want.Undo()
            case ev.Moved():
                return want.Earlier()
            case ev.Refused(reason=reason) if reason == ANSWERED_NO:
                return want.Undo()
            case ev.Refused():
                return {"undo": want.Undo(), "earlier": want.Earlier()}.get(line.intent, want.Go())
            case ev.StageEnded():
                return want.Zero(cause.plate) if line.how == "zero" else want.Go()
            case ev.StageStarted() if state is not None:
                zero = clocks.automatic_zero(state)
                if state.phase == "lead_in" and zero is not None and cause.up >= zero - 0.001:
                    return want.Zero(cause.plate)
                return want.Go()
            case ev.Acknowledged() if line.count:
                return want.Go()
    return None


def asks(state: PlateState, now: float) -> bool:
    """Whether the stage asks before a strike has the plate leave it, or says that it has cleared.

    Told from the process file and the clocks alone: a stage that calls asks with more than 5 s and a tenth of
    its time left, the developer never; a fixer that has cleared asks with more than 5 s left; one that has
    not, before a third of the usual range's lower end.
    """
    ending = endings.of(state.stage)
    if state.phase != "running" or state.held:
        return False
    zero = clocks.zero(state)
    if ending.clears and state.cleared_at is None:
        return questions.clears_early(state, now)
    if zero is None or not ending.calls or developing(state):
        return False
    left = zero - now
    return left > 5.0 and (ending.clears or left > 0.1 * (zero - state.since))


def faults(replay: Replay) -> list[str]:
    """Return a line for each strike that was not what the rules say: its plate, its question, its effect."""
    told = []
    for strike in replay.strikes:
        for fault in (_wrong_plate(strike), _wrong_effect(strike)):
            if fault:
                stage = "its first strike" if strike.state is None else strike.state.stage.name
                told.append(f"{fault}: plate {strike.cause.plate}, {stage} at {strike.cause.up:.3f}")
    return told


def _wrong_plate(strike: StruckPlate) -> str:
    """Return what is wrong with the plate that took a strike.

    It is the one with the right to the large place at that instant, or the one that was large within the 2 s
    after the strike before, in which the place does not change.
    """
    bench, plate, up = strike.bench, strike.cause.plate, strike.cause.up
    plate = NEW if strike.state is None else plate
    if isinstance(strike.intent, want.Undo) and large_place.just_left(bench, up) == plate:
        return ""
    near = {large_place.rightful(bench, up + off) for off in (-NEAR, 0.0, NEAR)}
    quiet = bench.struck_at is not None and up - bench.struck_at < large_place.QUIET_AFTER_STRIKE + NEAR
    if plate in near or (quiet and plate == bench.large):
        return ""
    return f"the strike belongs to {' or '.join(sorted(map(str, near)))}"


def _wrong_effect(strike: StruckPlate) -> str:
    state, up = strike.state, strike.cause.up
    if state is None or not isinstance(strike.intent, want.Go):
        return ""
    if any(isinstance(line, ev.Acknowledged) and line.count for line in strike.cause.lines):
        return ""
    refusal = strike.refusal
    not_yet = refusal is not None and (refusal == AUTOMATIC or refusal.endswith(" now"))
    if not asks(state, up):
        exposing = state.phase == "running" and endings.of(state.stage).opens_lens
        if (exposing or developing(state)) and refusal is not None and not not_yet and not _by_hand(strike):
            return f"held back with “{refusal}”"
        return ""
    question = state.question
    since = None if question is None else up - question.since
    in_window = question is not None and since is not None and 1.0 <= since <= 8.0 and _same(question, state)
    if strike.moved and not in_window:
        return "a single strike moved it out of a stage that asks"
    if in_window and not strike.moved and not not_yet:
        return f"its question was answered and it stayed: {refusal}"
    return ""


def _by_hand(strike: StruckPlate) -> bool:
    return any(isinstance(line, ev.Refused) and line.asks == "hand" for line in strike.cause.lines)


def _same(question: Question, state: PlateState) -> bool:
    return question.stage == state.stage.name and question.asks != "hand"
