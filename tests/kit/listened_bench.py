"""A bench worked by ear: a session on a clock of its own, and a sound card that keeps what it plays."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import msgspec

from darkroom.bench import clocks, endings
from darkroom.bench.cues import Cue
from darkroom.devices.clock import Watch
from darkroom.devices.sound.messages import plain
from darkroom.devices.sound.reports import CautionEnded, sound_report
from darkroom.devices.sound.sound_files import recorded
from darkroom.process.file.plain_form import to_plain
from darkroom.process.model import ExposurePlan, Process
from darkroom.session.cautions import to_confirm
from darkroom.session.key_map import NUDGES, KeyMap
from darkroom.session.session import Session
from darkroom.session.speech import SpokenSet
from darkroom.session.strikes import Recogniser
from darkroom.session.voice import CueSender
from tests.kit.bench import start
from tests.kit.clocks import HandClock
from tests.kit.session import MemoryJournal
from tests.kit.sound_card import RenderedPlayer

STEP = 0.1
"""Seconds between two looks at the clock."""
TIMED, CHANGE, DEVELOPER = 40.0, 16.0, 12.0
"""Seconds of the shortened stages: in a timed one there is time for the cautions of the next."""
CLEARS, BY_EYE = 24.0, 3.0
"""Seconds after which a plate has cleared, and after which any other stage is ended by eye."""
READ = {"room": (20.0, "hand"), "bath": (20.0, "hand"), "developer": (20.0, "hand")}


def shortened(process: Process) -> Process:
    """Return a process with short times: nothing else of it changes, but that its wash calls each change."""
    stages = []
    for stage in process.stages:
        changes: dict[str, Any] = {}
        if stage.time is not None or stage.wash is not None:
            developer = process.wet_window is not None and process.wet_window.to == stage.name
            changes = {"time": DEVELOPER if developer else TIMED, "wash": None}
        if stage.wash is not None:
            changes["repeat"] = {"every": CHANGE, "verb": "change"}
        if stage.at_least is not None:
            changes["at_least"] = 5.0
        if stage.expect is not None:
            changes["expect"] = (2.0, 90.0)
        kept = {name: value for name, value in msgspec.to_builtins(stage).items() if value is not None}
        stages.append({**kept, **changes})
    return msgspec.convert({**to_plain(process), "stages": stages}, Process)


class ListenedBench:
    """Plates of one process, struck by a hand that waits until the voice has finished."""

    def __init__(self, process: Process, seconds: float = 8.0) -> None:
        """`seconds` is the exposure of each plate."""
        self.process, self.plan = process, ExposurePlan(seconds=seconds)
        self.card, self.journal = RenderedPlayer(), MemoryJournal()
        self.clock = HandClock(up=self.card.now)
        self.sender = CueSender(self.clock, self.clock, 1.0)
        self.sender.player, self.sender.bell_only = _OnCard(self.card), False
        self.sender.spoken = SpokenSet(recorded())
        self.session = Session(
            clock=self.clock,
            watch=Watch(self.clock),
            writer=self.journal,
            voice=self.sender,
            recogniser=Recogniser(KeyMap().zone_of, NUDGES),
            new_id=lambda wall: f"p{len(self.journal.files) + 1}",
            next_number=lambda bench: len(self.journal.files) + self.first_number,
        )
        self.first_number = 1
        self._struck = self.clock.up()
        self._reports_heard = 0

    def put_on(self) -> None:
        """Put a plate on the bench: temperatures and humidity were read, questions answered with yes."""
        today = self.clock.stamp(self.clock.wall())
        for question in to_confirm(self.process):
            self.session.confirmations.confirm(self.process, question, today)
        read = {"temperatures": READ, "humidity": (50.0, "hand")}
        process = to_plain(self.process)
        self.session.put_on(start(up=self.clock.up(), process=process, plan=self.plan, **read))

    def wait(self, seconds: float = STEP) -> None:
        """Let time pass: the clock and the card go together."""
        for _ in range(max(1, round(seconds / STEP))):
            self.clock.move(STEP)
            self.card.run(STEP)
            self._hear_reports()
            self.session.tick()

    def _hear_reports(self) -> None:
        """Tell the session what the player reports of its cautions, as the application does."""
        new, self._reports_heard = self.card.reports[self._reports_heard :], len(self.card.reports)
        for report in (sound_report(kind, what) for kind, what in new):
            if isinstance(report, CautionEnded):
                self.session.caution_ended(said=report.said)

    @property
    def is_silent(self) -> bool:
        """True while nothing is said or sounded."""
        scheduler = self.card.player.scheduler
        return scheduler.playing is None and not scheduler.phrases

    def press(self, key: str = "space") -> None:
        """Press a key once the voice has finished, and not within two seconds of the press before."""
        while not self.is_silent or self.clock.up() - self._struck < 2.0:
            self.wait()
        self._struck = self.clock.up()
        self.session.key(key)
        self.wait(0.2)

    def carry_through(self, until: str | None = None) -> None:
        """Work the plates until each is finished or in the rack, or the large one is in the stage `until`.

        Gives up after an hour.
        """
        give_up = self.clock.up() + 3600.0
        while (state := self.session.bench.shown) is not None and state.on_bench:
            if state.stage.name == until:
                return
            assert self.clock.up() < give_up, state.stage.name
            zero = clocks.zero(state)
            called = endings.of(state.stage).calls and zero is not None and self.clock.up() > zero + 0.5
            lasts = CLEARS if endings.of(state.stage).clears else BY_EYE
            by_eye = zero is None and state.phase == "running" and self.clock.up() > state.since + lasts
            if state.phase == "ready" or called or by_eye:
                self.press()
            else:
                self.wait()


class _OnCard:
    """The player as the cue sender knows it: its lines go to the simulated card's player."""

    def __init__(self, card: RenderedPlayer) -> None:
        self._card = card

    def schedule(self, cues: Sequence[Cue], horizon: float) -> None:
        """Hand over the set."""
        self._card.schedule(*map(plain, cues))

    def play(self, cue: Cue) -> None:
        """Play a cue now."""
        self._card.play(plain(cue))
