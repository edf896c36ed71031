"""A photographer with several plates, whose foot slips: strikes where none was meant, each noted.

What the plates do is read from the journals; the screen is read to compare it with them.
"""

from __future__ import annotations

import json
import random
import time
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from darkroom.bench import clocks, endings, large_place, questions
from darkroom.bench.all_plates import Bench
from darkroom.bench.state import PlateState
from darkroom.bench.view import PlateView, bench_view
from darkroom.devices.clock import Clock
from darkroom.screens.widgets.plate_summary import LIGHT_WORDS, large_time_text, wet_row
from tests.kit.bench_replay import Choice, Replay, asks
from tests.kit.letters import large_text_is_shown, light_is_shown, reads, time_is_shown
from tests.kit.photographer import APART, CHANGED, UNLOCKED, Photographer, journal

up = Clock().up
WORKED = 3.0
"""Seconds after which a hand has done what a stage without a clock asks for."""
SOON = 1.0
"""Within so many seconds a key is read."""
CLEARED = 8.0
"""Seconds after which a plate has cleared in the fixer: later than is asked about, and more than 5 s."""
CALM = 12.0
"""No other plate claims the large place for so many seconds when a new one is put on."""

PATIENCE = 300.0
"""Seconds after which something that has not come will not come."""


class Stray(NamedTuple):
    """A strike that nobody meant: when it was typed, and the stage of the plate that was large."""

    up: float
    plate: str
    stage: str
    asked: bool


class StrayHand(Photographer):
    """Does what is due for the large plate; strays are thrown in when the test says so."""

    def __init__(self, home: Path, columns: int, rows: int, seed: str, **env: str) -> None:
        super().__init__(home, columns, rows, **env)
        self.rng = random.Random(seed)
        self.replay = Replay()
        self.choices: list[Choice] = []
        self.strays: list[Stray] = []
        self.read: set[tuple[str, str]] = set()
        """The (plate, moment) at which the screen was read."""

    def bench(self) -> Bench:
        """Return the bench as the journals and the rules have it now."""
        return self.replay.take(self.home, self.choices).at(up())

    def large(self) -> PlateState | None:
        """Return the large plate."""
        return self.bench().shown

    # --- strikes -------------------------------------------------------------------------

    def strike_large(self) -> None:
        """Strike go, and wait for what is written of it; nothing is in the second after a question."""
        before, began = len(self.replay.strikes), up()
        self.press("space")
        while len(self.replay.strikes) == before and up() < began + 3.0:
            time.sleep(0.05)
            self.bench()
        if len(self.replay.strikes) > before:  # read late, it is nearer to the next key than it was typed
            self.last = max(self.last, time.monotonic() - (up() - self.replay.strikes[-1].cause.up))

    def stray(self) -> None:
        """Strike where nobody meant to."""
        time.sleep(
            max(0.0, self.last + APART - time.monotonic(), self.terminal.sent + UNLOCKED - time.monotonic())
        )
        if not self.may_slip():
            return
        state, now = self.large(), up()
        assert state is not None
        asked = asks(state, now) and asks(state, now + SOON)
        self.strays.append(Stray(now, state.plate, state.stage.name, asked))
        self.strike_large()

    def answer_no(self) -> None:
        """Take back while a question is open: it is answered no."""
        self.press("backspace")

    # --- what is due -----------------------------------------------------------------------

    def is_due(self, bench: Bench, now: float) -> bool:
        """Return whether the hand means to strike now: the large plate needs it, and would take it."""
        state = bench.shown
        if state is None or not state.on_bench or self._just_changed(bench, state, now):
            return False
        if state.phase == "ready":
            return now - state.since >= 0.5
        if state.phase != "running":
            return False
        zero, ending = clocks.zero(state), endings.of(state.stage)
        if zero is not None:
            return ending.calls and now >= zero + 0.3
        if ending.clears:
            return now - state.since >= CLEARED
        return not ending.opens_lens and now - state.since >= WORKED

    @staticmethod
    def _just_changed(bench: Bench, state: PlateState, now: float) -> bool:
        """Whether a strike would be refused: the plate went on by itself, or has just become large."""
        went_on = state.automatic_at is not None and now - state.automatic_at < CHANGED
        return went_on or (bench.taken_at is not None and now - bench.taken_at < CHANGED)

    def work(self) -> bool:
        """Do what is due, if anything is; return whether something was done."""
        bench, now = self.bench(), up()
        if not self.is_due(bench, now):
            return False
        self.strike_large()
        return True

    def may_slip(self) -> bool:
        """Return whether a strike of the large plate now would be one of its own, and of no open question."""
        bench, now = self.bench(), up()
        state = bench.shown
        if state is None or not state.on_bench or not state.plate or self._just_changed(bench, state, now):
            return False
        return questions.is_open(state, now) is None and not self.is_due(bench, now)

    @staticmethod
    def would_ask(state: PlateState) -> bool:
        """Return whether a strike now would be asked about."""
        return asks(state, up())

    def has(self, what: str) -> bool:
        """Return whether so many plates stand in a stage, or are past it: "2 sensitise"."""
        count, _, stage = what.partition(" ")
        reached = 0
        for state in self.bench().plates.values():
            place = state.process.index(stage) if any(s.name == stage for s in state.process.stages) else 99
            running = state.phase != "ready" or state.index > place
            reached += bool(state.plate) and state.index >= place and running
        return reached >= int(count)

    def carry_until_calm(self, carry_one: Callable[[], None]) -> None:
        """Go on until a new plate may be put on in peace."""
        end = time.monotonic() + PATIENCE
        while not self.is_calm():
            assert time.monotonic() < end, self.terminal.screen()
            carry_one()

    def came_back(self) -> None:
        """Wait until the plates are back, and note which of them is large."""
        plates = len(list(self.home.glob("plates/*/*/*.jsonl")))

        def resumed() -> list[float]:
            return [
                line["up"] for lines in journal(self.home) for line in lines if line["event"] == "resumed"
            ]

        self.terminal.wait_until(lambda: len(resumed()) == plates)
        large = json.loads((self.home / "bench.json").read_text())["large"]
        self.choices.append(Choice(max(resumed()) + 0.001, "came back", large))

    # --- new plates ------------------------------------------------------------------------

    def is_calm(self) -> bool:
        """Return whether no plate on the bench claims the large place, now or soon."""
        bench, now = self.bench(), up()
        return not any(large_place.claims(bench, now + later) for later in (0.0, CALM / 2, CALM))

    def was_put_on(self) -> None:
        """Note that a plate stands ready for its first strike."""
        self.choices.append(Choice(up(), "put on"))

    def begin(self) -> None:
        """Strike the plate that was put on for the first time."""
        plates = len(self.replay.bench.plates)
        self.strike_large()
        state = self.large()
        assert state is not None and state.plate and len(self.replay.bench.plates) == plates

    # --- reading ---------------------------------------------------------------------------

    def read_screen(self) -> None:
        """Read word, time, light and wet time of the large plate from the cells; fails where one is missing.

        The screen may be a second behind the clock that it is compared with, and a frame late.
        """
        end = time.monotonic() + 10.0
        missing: list[str] = []
        while time.monotonic() < end:
            bench, now = self.bench(), up()
            screen = self.terminal.screen()
            for off in (0.0, 0.5, 1.0, 1.5):
                view = bench_view(bench, now - off)
                assert view.large is not None
                missing = self._missing(screen, view.large, LIGHT_WORDS[view.light])
                if not missing:
                    self.read.add((view.large.plate, view.large.stage.name))
                    return
            time.sleep(0.05)
        raise AssertionError(f"not read: {missing} of\n{self.terminal.screen()}")

    def _missing(self, screen: str, view: PlateView, light: str) -> list[str]:
        columns, rows = self.terminal.columns, self.terminal.rows
        word, shown_time = view.word.text.upper(), large_time_text(view.large_time)
        wet = "".join(text for text, _ in wet_row(view.wet)).strip()
        return [
            what
            for what, stands in (
                (word, lambda: large_text_is_shown(screen, word, columns, range(3, rows // 5 + 1))),
                (shown_time, lambda: time_is_shown(screen, shown_time, columns, rows)),
                (light, lambda: light_is_shown(screen, light, columns)),
                (wet, lambda: view.large_time.shape in ("wet", "past_wet") or reads(wet, screen)),
            )
            if what and not stands()
        ]
