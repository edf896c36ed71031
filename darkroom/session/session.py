"""The bench alive: keys, clocks and thermometers become intents; events go to the journal, cues out.

No toolkit here: a screen, a test or a rehearsal drives it by `key`, `intend` and `tick`, and reads
`bench`. Everything is decided in the order of its causes: a zero at z is decided 60 ms later, after
every handful whose first key came before z.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from darkroom.bench import all_plates, clocks, cues, decide_all, large_place, light
from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.bench.all_plates import NEW, Bench
from darkroom.bench.cues import Cue
from darkroom.bench.decide_for_plate import decide_for_plate
from darkroom.bench.intents import Cause, Decision, Intent
from darkroom.session import rack
from darkroom.session.actions import BY_ZONE
from darkroom.session.answers import Answer, Answers
from darkroom.session.cautions import Confirmations
from darkroom.session.feedback import came_back, happenings
from darkroom.session.protocols import ClockWatch, SessionClock, TakeBack, Voice, Writer
from darkroom.session.strikes import SETTLE, Recogniser, Strike, Void

if TYPE_CHECKING:
    from darkroom.session.lesson import Happening

RENEW = 5.0
"""The cue set is handed over anew after so many seconds."""


class Session:
    """One sitting at the bench."""

    def __init__(
        self,
        *,
        clock: SessionClock,
        watch: ClockWatch,
        writer: Writer,
        voice: Voice,
        recogniser: Recogniser,
        new_id: Callable[[float], str],
        next_number: Callable[[Bench], int],
        changed: Callable[[], None] = lambda: None,
        real_clock: SessionClock | None = None,
        pace: float = 1.0,
        take_back: TakeBack = lambda plate: None,
    ) -> None:
        self.clock, self.writer, self.voice, self.recogniser = clock, writer, voice, recogniser
        self.new_id, self.next_number, self.changed = new_id, next_number, changed
        self.real_clock = real_clock or clock
        self.pace, self.take_back, self.watch = pace, take_back, watch
        self.bench = Bench()
        self.answers = Answers(voice, self.now, self._answered)
        self.dates: dict[str, str] = {}
        self.confirmations = Confirmations()
        self._cues: tuple[Cue, ...] = ()
        self._scheduled_at = self._last_cause = self._earliest = -math.inf
        self.open_menu: Callable[[], None] = lambda: None
        self.ask_to_confirm: Callable[[], None] = lambda: None
        self.on_happening: Callable[[Happening], None] = lambda happening: None

    # --- time and causes -----------------------------------------------------------------

    def now(self) -> float:
        """Return the instant, in seconds on the boot clock."""
        return self.clock.up()

    def cause(self, up: float) -> Cause:
        """Return the cause of something that happened at `up`."""
        wall = self.clock.wall() - (self.clock.up() - up)
        instant = round(up, 6)
        if instant == self._last_cause:
            instant = round(instant + 1e-6, 6)  # two causes are told apart by their instants
        self._last_cause = instant
        return Cause(at=self.clock.stamp(wall), up=instant)

    # --- what comes in -------------------------------------------------------------------

    def key(self, name: str, arrived: float | None = None) -> None:
        """Take a key of the bench that arrived at `arrived` of `real_clock`; it acts when gathered."""
        self._check_clocks()
        up = self.real_clock.up()
        self._take_verdicts(self.recogniser.key(name, up if arrived is None else arrived, up))
        self.tick()

    def tick(self) -> None:
        """Decide everything that is due: handfuls, zeros, calls that take the large place."""
        self._check_clocks()
        now = self.now()
        self._take_verdicts(self.recogniser.due(self.real_clock.up()))
        self.decide_zeros(now - SETTLE * self.pace)
        self._settle(now)
        self._retire(now)
        if now - self._scheduled_at >= RENEW * self.pace:
            self._schedule_cues(now)
            self.answers.say_cautions(self.bench)

    def next_due(self) -> float | None:
        """Return the next instant at which `tick` has something to decide, or None."""
        due, gathered = [], self.recogniser.next_due()
        if gathered is not None:
            due.append(self._instant(gathered))
        since = self._instant(self.recogniser.gathered_since)
        for state in self.bench.plates.values():
            zero = clocks.automatic_zero(state)
            if zero is not None and zero < since:  # any other waits for the handful
                due.append(zero + SETTLE * self.pace)
        return min(due, default=None)

    def intend(self, intent: Intent, up: float | None = None, plate: str | None = None) -> Decision:
        """Decide an intent of `up` (now by default) for a plate (the large one by default); carry it out."""
        instant = self.now() if up is None else up
        if isinstance(intent, want.ClockDid | want.CameBack):
            self._earliest = instant
        else:  # a zero that passed in a sleep or while away must not be decided before that is known
            self.decide_zeros(instant)
            self._settle(instant)
        if isinstance(intent, rack.RackIntent):
            return self._from_rack(intent, instant)
        before = self.bench
        decision = decide_for_plate(before, plate, intent, self.cause(instant))
        self._carry_out(before, intent, decision, instant)
        return decision

    def _from_rack(self, intent: rack.RackIntent, instant: float) -> Decision:
        """Take a plate from the rack, its journal first; what is refused is any writer's again."""
        before, decision = self.bench, Decision()
        back = rack.with_journal_back(before, intent, self.take_back)
        if isinstance(back, str):
            decision = Decision(refusal=back)
        else:
            before, intent = back
            decision = decide_all.decide_intent(before, intent, self.cause(instant))
        if intent.plate in before.handed_over and not decision.events:
            self.writer.release(intent.plate)
        self._carry_out(before, intent, decision, instant)
        return decision

    def decide_zeros(self, until: float) -> None:
        """Decide the automatic zeros up to `until`, the earliest first; none behind a handful's first key."""
        until = min(until, self._instant(self.recogniser.gathered_since))
        while True:
            zeros = ((clocks.automatic_zero(state), plate) for plate, state in self.bench.plates.items())
            due = [(zero, plate) for zero, plate in zeros if zero is not None and zero <= until]
            if not due:
                return
            zero, plate = min(due)
            before = self.bench
            decision = decide_all.decide_intent(before, want.Zero(plate), self.cause(zero))
            if not decision.events:
                return
            self._earliest = zero
            self._carry_out(before, want.Zero(plate), decision, zero)

    def put_on(self, start: ev.PlateStarted) -> None:
        """Put a plate on the bench that waits for its first strike."""
        self.bench = all_plates.with_new(self.bench, start, self.now())
        self._schedule_cues(self.now())
        self.changed()

    def say_came_back(self) -> None:
        """Say which plates came back, and which of them is wet."""
        if (text := came_back(self.bench)) is not None:
            self.answers.say(text)

    def take_off_new(self) -> None:
        """Take the plate that waits for its first strike off the bench."""
        self.bench = all_plates.without_new(self.bench)
        self.changed()

    # --- inside --------------------------------------------------------------------------

    def _check_clocks(self) -> None:
        for kind, seconds in self.watch.look():
            if kind == "stalled":
                self._take_verdicts(self.recogniser.due(self.real_clock.up()))
            self.intend(want.ClockDid(kind=kind, seconds=round(seconds, 3)))

    def _take_verdicts(self, verdicts: Sequence[object]) -> None:
        for verdict in verdicts:
            if isinstance(verdict, Strike):
                self._strike(verdict.zone, max(self._instant(verdict.up), self._earliest))
            elif isinstance(verdict, Void):
                self.on_happening("void")
                self.refuse(verdict.why)
            else:
                self.on_happening("dead")
                why = str(getattr(verdict, "why", None) or "that key does nothing here")
                self.answers.refuse(why, aloud=False)

    def _instant(self, up: float) -> float:
        """Return the instant of the hand's `up`: it lives in real time, also where the clock runs faster."""
        return self.now() - (self.real_clock.up() - up) * self.pace

    def refuse(self, why: str) -> None:
        """Say on the screen and by voice that nothing was done, and why; nothing is recorded."""
        self.answers.refuse(why)

    def _strike(self, zone: str, up: float) -> None:
        action = BY_ZONE[zone]
        if action.opens is not None:
            if action.opens == "tell":
                self.answers.tell(self.bench)
                self.on_happening("told")
            else:
                self.open_menu()
            return
        intent = action.intent_for(self.bench)
        if isinstance(intent, want.Go) and large_place.is_at_rest(self.bench, up):
            self.open_menu()  # its first row is a new plate like the last
            return
        if isinstance(intent, want.Go) and self.bench.large == NEW:
            intent = self._first_strike(up)
        if intent is not None:
            self.intend(intent, up)

    def _first_strike(self, up: float) -> want.Go | None:
        wall = self.clock.wall() - (self.clock.up() - up)
        answers = self.confirmations.complete(self.bench.plates[NEW].process, self.clock.stamp(wall))
        if answers is not None:
            return want.Go(plate=self.new_id(wall), number=self.next_number(self.bench), acknowledged=answers)
        self.ask_to_confirm()  # a plate may wait for its first strike past the end of the day
        return None

    def _retire(self, now: float) -> None:
        """Let others write in the journals of finished and racked plates; the finished leave the bench."""
        for state in rack.due_to_leave(self.bench, now, self.pace):
            leaves = all_plates.hand_over if state.racked else all_plates.without
            self.bench = leaves(self.bench, state.plate)
            self.writer.release(state.plate)
            self.changed()

    def _settle(self, now: float) -> None:
        settled = large_place.settle(self.bench, now)
        if settled is self.bench:
            return
        self.bench = settled
        state = settled.shown
        if state is not None and state.plate:
            self.answers.say_large(state.number)
            self.on_happening("large_changed")
        self.changed()

    def _carry_out(self, before: Bench, intent: Intent, decision: Decision, up: float) -> None:
        after = all_plates.apply_decision(before, decision)
        self.bench = large_place.remember(after, intent, decision, up)
        for plate, events in decision.events:
            if plate != NEW:
                self._write(plate, events)
        now = self.now()
        self.answers.answer(before, self.bench, intent, decision)
        self.answers.say_cautions(self.bench)
        self._schedule_cues(now)
        for happening in happenings(before, intent, decision):
            self.on_happening(happening)
        self.changed()

    def _write(self, plate: str, events: Sequence[ev.AnyEvent]) -> None:
        if plate not in self.dates:
            self.dates[plate] = datetime.fromisoformat(events[0].at).date().isoformat()
        self.writer.write(plate, self.dates[plate], events)

    def _answered(self) -> None:
        self.changed()

    def _schedule_cues(self, now: float) -> None:
        self._scheduled_at = now
        self._cues = cues.cues(self.bench, now)
        self.voice.schedule(self._cues)

    def caution_ended(self, *, said: bool) -> None:
        """The voice has said the caution on its way to its end, or has not; the next may be said."""
        self.answers.caution_ended(said=said)
        if said:
            self.answers.say_cautions(self.bench)

    def reschedule_cues(self) -> None:
        """Hand the cue set over anew: there is a player to hear it now."""
        self._schedule_cues(self.now())

    # --- what others ask -------------------------------------------------------------------

    @property
    def answer(self) -> Answer | None:
        """What the bench said last."""
        return self.answers.last

    @property
    def needs_safelight(self) -> bool:
        """True while any plate on the bench asks for the safelight, or is sensitive and covered."""
        return light.needs_safelight(self.bench.plates.values(), self.now())
