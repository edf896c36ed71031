"""Several plates, random strikes, readings, clock jumps, stalls, sleeps, undos and restarts."""

from __future__ import annotations

from hypothesis import HealthCheck, assume, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule
from msgspec.structs import replace

from darkroom.bench import all_plates as benches
from darkroom.bench import clocks, light, questions
from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.bench.all_plates import NEW
from darkroom.bench.decide_all import decide_intent
from darkroom.bench.fold import fold
from darkroom.bench.intents import Cause
from darkroom.bench.state import PlateState
from darkroom.bench.view import PlateView, bench_view, plate_view
from darkroom.devices.clock import Watch
from darkroom.log.journal.frame import encode
from darkroom.log.journal.plate_lines import READER
from darkroom.process.model import ExposurePlan
from darkroom.session.actions import ACTIONS, MENU
from darkroom.session.session import Session
from darkroom.session.strikes import Recogniser
from tests.kit.bench import CYANIDE, PROCESS, start
from tests.kit.clocks import HandClock
from tests.kit.nightly import examples
from tests.kit.session import MemoryJournal, SilentVoice

PLANS = (
    None,
    ExposurePlan(seconds=8.0),
    ExposurePlan(steps=(2.0, 2.0, 4.0), between="run_on"),
    ExposurePlan(steps=(2.0, 3.0), between="strike"),
    ExposurePlan(steps=(2.0, 3.0), between=4.0),
    ExposurePlan(pops=3, recycle=5.0),
)
ALWAYS = ("ready", "lead_in", "running")
FOGS = {
    "sensitise": ("running",),
    "drain": ALWAYS,
    "expose": ALWAYS,
    "develop": ALWAYS,
    "stop": ALWAYS,
    "rinse": ALWAYS,
    "fix": ("ready", "lead_in"),
}
"""In which phases of which stages of the trial processes white light would fog the plate."""
ZONES = {
    "space": "go",
    "backspace": "undo",
    "1": "earlier",
    "6": "mark",
    "0": "tell",
    "left": "left",
    "right": "right",
}


def picture(view: PlateView) -> tuple[object, ...]:
    """What a plate shows, its clock aside."""
    return (view.stage.name, view.shape if view.shape != "held" else "down", view.number)


class Machine(RuleBasedStateMachine):
    """One photographer, several plates, and everything that can go wrong with time."""

    def __init__(self) -> None:
        super().__init__()
        self.clock = HandClock()
        self.kept = MemoryJournal()
        self.count = 0
        self.boots = 0
        self.elapsed: dict[tuple[str, str, int], float] = {}
        self.open()

    def open(self) -> None:
        """Start the program."""
        self.session = Session(
            clock=self.clock,
            watch=Watch(self.clock),
            writer=self.kept,
            voice=SilentVoice(),  # type: ignore[arg-type]
            recogniser=Recogniser(ZONES.get, nudge_zones=frozenset()),
            new_id=self.new_id,
            next_number=lambda bench: len(self.kept.files) + 1,
        )

    def new_id(self, wall: float) -> str:
        """Return a new plate id."""
        self.count += 1
        return f"plate{self.count}"

    @initialize()
    def first(self) -> None:
        """The first plate."""
        self.new_plate(None)

    @rule(plan=st.sampled_from(PLANS), cyanide=st.booleans())
    def new_plate(self, plan: ExposurePlan | None, cyanide: bool = False) -> None:
        """Put a plate on the bench."""
        assume(len(self.session.bench.on_bench) < 3)
        process = CYANIDE if cyanide else PROCESS
        self.session.put_on(start(up=self.clock.up(), plan=plan, process=process))

    @rule()
    def strike(self) -> None:
        """One press of the space bar, gathered."""
        self.session.key("space")
        self.clock.move(0.1)
        self.session.tick()
        self.clock.move(0.8)
        self.session.tick()

    @rule(key=st.sampled_from(sorted(ZONES)))
    def press(self, key: str) -> None:
        """One press of any live key."""
        self.session.key(key)
        self.clock.move(0.1)
        self.session.tick()
        self.clock.move(0.8)
        self.session.tick()

    @rule(seconds=st.floats(0.05, 400.0))
    def wait(self, seconds: float) -> None:
        """Time passes, the program looks often."""
        end = self.clock.up_now + seconds
        while self.clock.up_now < end - 1e-9:
            due = self.session.next_due()
            step = min(
                end, max(self.clock.up_now + 0.01, due if due is not None else end), self.clock.up_now + 0.9
            )
            self.clock.move(step - self.clock.up_now)
            self.session.tick()

    @rule(seconds=st.floats(1.1, 30.0))
    def stall(self, seconds: float) -> None:
        """The program does not get to run for a while."""
        self.clock.move(seconds)
        self.session.tick()

    @rule(seconds=st.floats(1.0, 3600.0))
    def sleep(self, seconds: float) -> None:
        """The machine sleeps: what went on by itself in that time is held."""
        before = dict(self.session.bench.plates)
        asleep = self.clock.up_now
        self.clock.move(seconds, asleep=True)
        self.session.tick()
        for key, state in before.items():
            zero = clocks.automatic_zero(state)
            if (
                key != NEW
                and zero is not None
                and asleep < zero <= self.clock.up_now
                and state.phase == "running"
            ):
                assert self.session.bench.plates[key].held

    @rule(seconds=st.floats(-3600.0, 3600.0))
    def wall_steps(self, seconds: float) -> None:
        """The wall clock is set; no plate's time changes."""
        assume(abs(seconds) > 1.0)
        self.session.tick()  # what is due by now, a finished plate that leaves the bench too, comes first
        now = self.clock.up_now
        before = {key: plate_view(s, now).seconds for key, s in self.session.bench.plates.items()}
        self.clock.wall_now += seconds
        self.session.tick()
        after = {key: plate_view(s, now).seconds for key, s in self.session.bench.plates.items()}
        assert before == {key: after[key] for key in before}

    @rule(source=st.sampled_from(["bath", "developer", "room"]), celsius=st.floats(8.0, 34.0))
    def read(self, source: str, celsius: float) -> None:
        """A thermometer speaks."""
        self.session.intend(want.ReadTemperature(source, round(celsius, 2), "hand"))

    @rule(percent=st.floats(10.0, 100.0))
    def read_humidity(self, percent: float) -> None:
        """A hygrometer speaks."""
        self.session.intend(want.ReadHumidity(round(percent, 1), "hand"))

    @precondition(lambda self: self.session.bench.shown is not None and self.session.bench.large != NEW)
    @rule(
        intent=st.sampled_from([want.Skip(), want.Abandon("fogged"), want.PutBack(), want.AddExposure(3.0)])
    )
    def other(self, intent: want.Intent) -> None:
        """Something from the menu."""
        self.session.intend(intent)

    @precondition(lambda self: self.session.bench.rack)
    @rule(finish=st.booleans())
    def rack(self, finish: bool) -> None:
        """A plate from the rack."""
        plate = self.session.bench.rack[0].plate
        self.session.intend(want.FinishUnvarnished(plate) if finish else want.FromRack(plate))

    @precondition(lambda self: self.session.bench.large not in (None, NEW))
    @rule(pause=st.floats(0.0, 20.0))
    def strike_and_undo(self, pause: float) -> None:
        """A strike and its undo: the view is the one before, with its clock running on."""
        session = self.session
        session.tick()
        before = session.bench.shown
        assert before is not None
        plate = session.bench.large or ""
        decision = session.intend(want.Go())
        if decision.refusal is not None or session.bench.large != plate:
            return
        n = session.bench.plates[plate].last_n
        self.wait(pause) if pause > 0.05 else None
        now = self.clock.up_now
        session.decide_zeros(now)
        after = session.bench.plates[plate]
        step_kinds = (ev.StageStarted, ev.StageEnded, ev.LeadInStarted, ev.Cleared, ev.PlateEnded)
        if (
            any(line.n > n and isinstance(line, step_kinds) for line in after.lines)
            or session.bench.large != plate
        ):
            return
        if (
            session.intend(want.Undo()).refusal is not None
            and session.intend(want.Undo()).refusal is not None
        ):
            return
        undone = session.bench.plates[plate]
        if before.phase == "lead_in":
            # the lead-in goes too: of an added exposure, the plate stood ready for the developer before it
            lead_in = next(line for line in reversed(before.lines) if isinstance(line, ev.LeadInStarted))
            stood = "develop" if lead_in.part else before.stage.name
            assert (undone.phase, undone.stage.name) == ("ready", stood)
            return
        assert picture(plate_view(undone, now)) == picture(plate_view(aged(before, after), now))
        if undone.phase == "running":
            assert undone.since == before.since

    @rule(reboot=st.booleans(), away=st.floats(0.0, 2000.0))
    def restart(self, reboot: bool, away: float) -> None:
        """Killed, and started again, perhaps after a restart of the machine."""
        clock = self.clock
        self.session.tick()
        left = clock.up_now
        clock.move(away)
        before = {key: state for key, state in self.session.bench.plates.items() if key != NEW}
        if reboot:
            clock.up_now = clock.awake_now = 20.0
        self.boots += reboot
        self.open()
        for plate, lines in self.kept.files.items():
            state = fold([READER.decode(line) for line in lines])
            if state.phase == "ended":
                continue
            last = max((line for line in state.lines if line.up is not None), key=lambda line: line.n)
            self.session.bench = benches.with_plate(self.session.bench, state)
            from datetime import datetime

            if reboot:
                gap = max(0.0, clock.wall_now - datetime.fromisoformat(last.at).timestamp())
                self.session.intend(want.CameBack(plate, round(gap, 3), "wall", f"boot{self.boots}"))
            else:
                self.session.intend(
                    want.CameBack(plate, round(clock.up_now - last.up, 3), "up", f"boot{self.boots}")
                )
            assert set(before) >= {plate}
            zero = clocks.automatic_zero(before[plate])
            now_is = self.session.bench.plates[plate]
            if zero is not None and left < zero <= left + away - 0.01:
                assert now_is.held or now_is.phase == "ready"
        self.elapsed.clear()

    @invariant()
    def replay_gives_each_state(self) -> None:
        """Each plate is the fold of its own saved lines."""
        for plate, lines in self.kept.files.items():
            state = self.session.bench.plates.get(plate)
            if state is not None:
                assert fold([READER.decode(line) for line in lines]) == state

    @invariant()
    def lines_are_read_back_byte_for_byte(self) -> None:
        """Reading a saved line and writing it again gives the same bytes."""
        for plate, lines in self.kept.files.items():
            assert [READER.decode(line) for line in lines[-4:]] == self.kept.events[plate][-4:]
            assert [encode(READER.decode(line)) for line in lines[-4:]] == lines[-4:]

    @invariant()
    def no_acid_reaches_cyanide(self) -> None:
        """A plate that is in cyanide was rinsed, and for its least time at the strike that ended it."""
        for state in self.session.bench.plates.values():
            for done in state.done if "cyanide" in state.stage.holds and state.phase != "ended" else ():
                if done.stage == "rinse":
                    assert done.how != "skipped"
                    assert done.seconds >= 30.0 - 1e-3
            if "cyanide" in state.stage.holds and state.phase != "ended":
                assert "rinse" in {done.stage for done in state.done}

    @invariant()
    def numbers_have_no_gap(self) -> None:
        """The lines of a plate are numbered 1, 2, 3 …"""
        for events in self.kept.events.values():
            assert [event.n for event in events] == list(range(1, len(events) + 1))

    @invariant()
    def light_is_never_white_on_a_bare_sensitive_plate(self) -> None:
        """Nor about to be, while any plate is sensitive and not covered."""
        now = self.clock.up_now
        bench = self.session.bench
        for state in bench.plates.values():
            given_up = light.ended_at(state)
            if given_up is not None and now - given_up < 4.0 and state.phase == "ended":
                kept = state.ended is not None and state.ended.how == "abandoned"
                if kept and state.stage.light == "red" and state.stage.name in FOGS:
                    assert light.bench_light(bench.plates.values(), now + 5.0) == "red"
            if not state.on_bench or state.phase not in FOGS.get(state.stage.name, ()):
                continue
            for ahead in (0.0, 1.0, 5.0):
                seen = light.bench_light(bench.plates.values(), now + ahead)
                assert seen != "white"
                if state.stage.light != "covered":
                    assert seen == "red"

    @invariant()
    def elapsed_never_falls(self) -> None:
        """While a stage runs and nothing is corrected, its time only grows."""
        now = self.clock.up_now
        for key, state in self.session.bench.plates.items():
            if state.phase != "running" or key == NEW:
                continue
            corrections = sum(isinstance(line, (ev.Undone, ev.Moved, ev.Resumed)) for line in state.lines)
            mark = (key, f"{state.stage.name}{corrections}{len(state.done)}", len(state.parts))
            elapsed = now - state.since
            assert elapsed >= -1e-3
            assert elapsed >= self.elapsed.get(mark, 0.0) - 1e-3
            self.elapsed[mark] = elapsed

    @invariant()
    def what_is_offered_is_taken(self) -> None:
        """An action that is offered does something to the bench; one that is not leaves no step behind."""
        now, bench = self.clock.up_now, self.session.bench
        for action in (*ACTIONS, *MENU):
            intent = action.intent_for(bench)
            if intent is None:
                continue
            decision = decide_intent(bench, intent, Cause("2026-03-01T10:00:00.000+01:00", now))
            kinds = [type(line) for _, lines in decision.events for line in lines]
            assert (action.why_not(bench, now) is None) == (decision.refusal is None)
            if decision.refusal is None and kinds == [ev.Refused]:
                state = bench.shown
                assert action.id == "undo" and state is not None and questions.is_open(state, now)
            elif decision.refusal is None:
                changed = decision.large is not None and decision.large != bench.large
                assert changed or (kinds and ev.Refused not in kinds), action.id
            else:
                assert kinds in ([], [ev.Refused]), action.id

    @invariant()
    def the_view_can_be_drawn(self) -> None:
        """Whatever the state, there is a view of it."""
        bench_view(self.session.bench, self.clock.up_now)


def aged(before: PlateState, after: PlateState) -> PlateState:
    """The state before, with the readings that came since."""
    return replace(
        before,
        temperatures=after.temperatures,
        humidity=after.humidity,
        wet_time=after.wet_time,
        refused=None,
    )


TestMachine = Machine.TestCase
TestMachine.settings = settings(
    max_examples=examples(60),
    stateful_step_count=40,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much, HealthCheck.data_too_large],
)


def test_the_machine_has_a_process_with_every_kind_of_end() -> None:
    """The trial process exercises each way a stage can end."""
    assert {stage["ends"] for stage in PROCESS["stages"]} == {
        "by_eye",
        "on_time",
        "at_zero",
        "cleared",
        "exposure",
    }
