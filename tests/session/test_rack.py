"""A plate on the rack: handed over after a minute, untouched from then on, and taken back in one cause."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec
import pytest

from darkroom.bench import all_plates
from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.bench.fold import fold
from darkroom.devices.clock import Watch
from darkroom.errors import NotSavedError
from darkroom.session.protocols import TakenBack
from darkroom.session.session import Session
from darkroom.session.strikes import Recogniser
from tests.kit.bench import Hand
from tests.kit.clocks import HandClock
from tests.kit.session import MemoryJournal, SilentVoice


class Racked:
    """A session with one plate that was racked a moment ago, and what its journal is told."""

    def __init__(self) -> None:
        hand = Hand()
        hand.to_stage("wash")
        hand.go(1300.0)
        assert hand.plate.racked
        self.clock = HandClock(up=1301.0)
        self.kept = MemoryJournal()
        self.kept.write("p1", "2026-03-01", hand.lines["p1"])
        self.released: list[str] = []
        self.kept.release = self.released.append  # type: ignore[method-assign]
        self.session = Session(
            clock=self.clock,
            watch=Watch(self.clock),
            writer=self.kept,
            voice=SilentVoice(),  # type: ignore[arg-type]
            recogniser=Recogniser({"space": "go"}.get, nudge_zones=frozenset()),
            new_id=lambda wall: "p2",
            next_number=lambda bench: 2,
        )
        self.session.bench = msgspec.structs.replace(
            all_plates.with_plate(self.session.bench, hand.plate), handed_over=frozenset(), large="p1"
        )
        self.session.dates["p1"] = "2026-03-01"

    def wait(self, seconds: float) -> None:
        """Let time pass; the session looks ten times a minute or more often."""
        for _ in range(max(1, round(seconds / 0.9))):
            self.clock.move(seconds / max(1, round(seconds / 0.9)))
            self.session.tick()

    @property
    def lines(self) -> Sequence[ev.AnyEvent]:
        """What the plate's journal holds."""
        return self.kept.events["p1"]


def test_a_minute_after_it_was_racked_a_plate_is_handed_over() -> None:
    """Until then its journal is the bench's; then it is released, once, and the plate is not large."""
    racked = Racked()
    racked.wait(55.0)
    assert (racked.released, racked.session.bench.large) == ([], "p1")
    racked.wait(10.0)
    assert (racked.released, racked.session.bench.large) == (["p1"], None)
    assert [state.number for state in racked.session.bench.rack] == [1]
    racked.wait(120.0)
    assert racked.released == ["p1"]


def test_nothing_is_written_to_a_plate_that_was_handed_over() -> None:
    """Readings, clocks that were set, sleeps, marks and strikes leave its journal alone."""
    racked = Racked()
    racked.wait(65.0)
    before = list(racked.lines)
    session = racked.session
    session.intend(want.ReadTemperature("bath", 18.0, "hand"))
    session.intend(want.ReadHumidity(40.0, "hand"))
    racked.clock.wall_now += 3600.0
    session.tick()
    racked.clock.move(600.0, asleep=True)
    session.tick()
    for intent in (want.Go(), want.Undo(), want.Earlier(), want.MarkNow(), want.Say("thin"), want.Look(1)):
        assert session.intend(intent).refusal is not None
    assert list(racked.lines) == before


def test_in_its_first_minute_a_racked_plate_takes_readings() -> None:
    """Its racking may be taken back: it misses nothing of what the bench knows."""
    racked = Racked()
    racked.session.intend(want.ReadTemperature("water", 12.0, "hand"))
    assert isinstance(racked.lines[-1], ev.Temperature)


def test_taking_it_back_is_one_cause_after_what_others_wrote() -> None:
    """A note of review counts on; back, latest readings and end of drying carry one instant."""
    racked = Racked()
    racked.wait(65.0)
    racked.session.intend(want.ReadTemperature("room", 24.0, "hand"))
    racked.session.intend(want.ReadHumidity(35.0, "hand"))
    n = racked.lines[-1].n
    note = ev.Note(n=n + 1, at="2026-03-01T12:00:00.000+01:00", up=None, text="thin")
    back = want.CameBack("p1", gap=500.0, by="wall", boot="other")
    racked.session.take_back = lambda plate: TakenBack([*racked.lines, note], back)
    decision = racked.session.intend(want.FromRack("p1"))
    assert decision.refusal is None
    added = [line for line in racked.lines if line.n > n + 1]
    assert [type(line) for line in added] == [ev.Resumed, ev.Temperature, ev.Humidity, ev.StageEnded]
    assert [line.n for line in added] == [n + 2, n + 3, n + 4, n + 5]
    assert len({(line.at, line.up) for line in added}) == 1
    state = racked.session.bench.plates["p1"]
    assert (state.stage.name, state.phase, racked.session.bench.large) == ("warm", "ready", "p1")
    assert state.temperatures["room"][-1][1:] == (24.0, "hand")
    assert state.done[-1].seconds == pytest.approx(500.0, abs=1.0)
    assert fold([*racked.lines[:n], note, *racked.lines[n:]]) == state
    racked.session.intend(want.ReadTemperature("room", 25.0, "hand"))
    assert isinstance(racked.lines[-1], ev.Temperature)


def test_the_same_start_of_the_machine_writes_no_return() -> None:
    """Where the boot clock went on, the drying simply ends."""
    racked = Racked()
    racked.wait(65.0)
    n = racked.lines[-1].n
    racked.session.take_back = lambda plate: TakenBack(list(racked.lines))
    racked.session.intend(want.FromRack("p1"))
    assert [type(line) for line in racked.lines if line.n > n] == [ev.StageEnded]


def test_a_journal_held_elsewhere_refuses_with_the_reason() -> None:
    """The plate stays on the rack, the reason is said, nothing is written."""
    racked = Racked()
    racked.wait(65.0)
    before = list(racked.lines)

    def held(plate: str) -> TakenBack:
        raise NotSavedError("a note is being written to it: try again")

    racked.session.take_back = held
    for intent in (want.FromRack("p1"), want.FinishUnvarnished("p1")):
        decision = racked.session.intend(intent)
        assert decision.refusal == "plate 1: a note is being written to it: try again"
        assert racked.session.answer is not None and decision.refusal == racked.session.answer.text
    assert list(racked.lines) == before
    assert [state.number for state in racked.session.bench.rack] == [1]


def test_what_is_refused_after_the_lock_is_given_back() -> None:
    """A journal that does not fold is released again."""
    racked = Racked()
    racked.wait(65.0)
    racked.session.take_back = lambda plate: TakenBack(racked.lines[1:])
    assert racked.session.intend(want.FromRack("p1")).refusal == ("plate 1: its journal cannot be read back")
    assert racked.released == ["p1", "p1"]


def test_finished_unvarnished_it_leaves_the_bench_after_a_minute() -> None:
    """The end is written after what others wrote; its journal is released again a minute later."""
    racked = Racked()
    racked.wait(65.0)
    racked.session.take_back = lambda plate: TakenBack(list(racked.lines))
    racked.session.intend(want.FinishUnvarnished("p1"))
    assert isinstance(racked.lines[-1], ev.PlateEnded)
    racked.wait(65.0)
    assert racked.released == ["p1", "p1"]
    assert "p1" not in racked.session.bench.plates


def test_an_undo_of_the_last_moment_leaves_a_plate_that_was_handed_over_alone() -> None:
    """A strike of that minute which is decided after it writes nothing; before, it takes the racking back."""
    racked = Racked()
    racked.session.bench = msgspec.structs.replace(racked.session.bench, left=("p1", 1300.0))
    racked.wait(62.0)
    assert racked.released == ["p1"]
    before = list(racked.lines)
    assert racked.session.intend(want.Undo(), 1359.9).refusal is not None
    assert list(racked.lines) == before
    again = Racked()
    again.session.bench = msgspec.structs.replace(again.session.bench, left=("p1", 1300.0))
    again.wait(30.0)
    assert again.session.intend(want.Undo()).refusal is None
    assert again.session.bench.plates["p1"].stage.name == "wash"
    again.wait(120.0)
    assert again.released == []
