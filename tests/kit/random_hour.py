"""An hour at the bench of a hand that presses anything, with kills, restarts, sleeps and clocks that are set.

The tool is put together as it starts, on a clock that is moved by hand, with its real journals on the disk.
"""

from __future__ import annotations

import random
import time
from collections.abc import Callable
from pathlib import Path
from unittest import mock

from darkroom.bench import bottle_change, cues
from darkroom.bench import intents as want
from darkroom.bench.all_plates import NEW
from darkroom.bench.bottles_at_hand import BottleAtHand
from darkroom.bench.fold import fold
from darkroom.bench.view import bench_view
from darkroom.log.journal.merge import read_plate
from darkroom.log.store import paths
from darkroom.process.model import ExposurePlan
from darkroom.resources import load_process
from darkroom.screens.bench.layout import face
from darkroom.screens.bench.rail import BenchStatus
from darkroom.screens.services import Services
from darkroom.screens.start import build
from darkroom.session import telling
from darkroom.session.plate_form import PlateForm
from tests.kit.clocks import HandClock

PROCESSES = ("clear-glass", "tintype-cyanide", "negative")
EXPOSURES = ("", "8 s", "2,2,4", "2,3 press", "2,3 pause 4s", "3 flashes 5 s")
KEYS = ("space",) * 8 + (
    "backspace",
    "backspace",
    "1",
    "6",
    "0",
    "left",
    "right",
    "up",
    "down",
    "q",
    "escape",
)
MENU: tuple[want.Intent, ...] = (
    want.Skip(), want.Skip(), want.PutBack(), want.AddExposure(3.0), want.AddExposure(), want.TellOpen(4.0),
    want.SetPlan(ExposurePlan(steps=(2.0, 2.0), between="run_on"), None), want.SetWetTime(300.0),
    want.SetWetTime(None), want.JudgeExposure("more"), want.Say("thin"), want.Abandon("fogged"),
)  # fmt: skip
BOTTLES = tuple(
    BottleAtHand(id=f"{what}-{number}", name=f"{what[0].upper()}-{number}", what=what, made="2026-05-02")
    for what in ("collodion", "bath", "developer", "fixer", "varnish")
    for number in (1, 2)
)
HOUR = 3600.0


class RandomHour:
    """One hour; `failures` are what was not as it must be, `actions` how many things were done."""

    def __init__(self, home: Path, seed: int) -> None:
        """Begin with an empty bench. `seed` decides everything that happens."""
        self.home, self.rng = home, random.Random(seed)
        self.clock, self.boot = HandClock(up=1000.0, wall=time.time()), 1
        self.failures: list[str] = []
        self.actions = self.kills = 0
        self.services = self._open()

    def _open(self) -> Services:
        boot = f"start {self.boot}"
        with (
            mock.patch("darkroom.screens.start.Clock", lambda: self.clock),
            mock.patch.object(paths, "boot_id", lambda: boot),
        ):
            return build(self.home)

    def live(self) -> None:
        """Live through the hour, and leave the bench."""
        weighted: tuple[tuple[Callable[[], None], int], ...] = (
            (self._press, 12), (self._wait, 10), (self._from_menu, 3), (self._read, 2), (self._new_plate, 2),
            (self._from_rack, 1), (self._change_bottle, 2), (self._sleep, 1), (self._stall, 1),
            (self._set_wall, 1), (self._kill, 1),
        )  # fmt: skip
        actions, weights = zip(*weighted, strict=True)
        lived = 0.0
        while lived < HOUR:
            before = self.clock.awake_now
            (action,) = self.rng.choices(actions, weights)
            try:
                action()
                self._look()
                self.services.memory.save(self.services.session.bench, self.services.today())
            except Exception as error:
                self.failures.append(f"{action.__name__}: {type(error).__name__}: {error}")
                self._kill()
            self.actions += 1
            lived += max(0.5, self.clock.awake_now - before)
        self._compare()
        self.services.close()

    # --- what happens ----------------------------------------------------------------------------

    def _press(self) -> None:
        self.services.session.key(self.rng.choice(KEYS))
        self._move(self.rng.choice((0.02, 0.1, 0.8, 1.5)))

    def _wait(self) -> None:
        self._move(self.rng.choice((0.3, 1.0, 5.0, 20.0, 60.0, 200.0)))

    def _move(self, seconds: float) -> None:
        """Let time pass as the tool lives through it: it looks when something is due, and every 0.9 s."""
        session, end = self.services.session, self.clock.up_now + seconds
        while self.clock.up_now < end - 1e-9:
            due = session.next_due()
            soon = max(self.clock.up_now + 0.01, end if due is None else due)
            self.clock.move(min(end, soon, self.clock.up_now + 0.9) - self.clock.up_now)
            session.tick()

    def _from_menu(self) -> None:
        if self.services.session.bench.large not in (None, NEW):
            self.services.session.intend(self.rng.choice(MENU))

    def _read(self) -> None:
        session = self.services.session
        if self.rng.random() < 0.3:
            session.intend(want.ReadHumidity(round(self.rng.uniform(10.0, 100.0), 1), "hand"))
        else:
            source = self.rng.choice(("room", "bath", "developer", "fixer", "water"))
            session.intend(want.ReadTemperature(source, round(self.rng.uniform(4.0, 36.0), 2), "hand"))

    def _new_plate(self) -> None:
        session = self.services.session
        if len(session.bench.on_bench) >= 3:
            return
        process = load_process(self.rng.choice(PROCESSES))
        form = PlateForm(
            exposure=self.rng.choice(EXPOSURES),
            timed=self.rng.choice(("here", "here", "away")),
            prepare=self.rng.random() < 0.2,
        )
        for stage in process.stages:
            if stage.confirm:
                session.confirmations.confirm(process, stage.confirm, session.clock.stamp(self.clock.wall()))
        session.put_on(self.services.plate_from(form, process))

    def _from_rack(self) -> None:
        rack = self.services.session.bench.rack
        if rack:
            plate = self.rng.choice(rack).plate
            kind = self.rng.choice((want.FromRack, want.FinishUnvarnished))
            self.services.session.intend(kind(plate))

    def _change_bottle(self) -> None:
        """Choose a bottle for what is still to begin, or for one plate of the rack."""
        session, bottle = self.services.session, self.rng.choice(BOTTLES)
        session.bench = bottle_change.with_at_hand(session.bench, BOTTLES)
        racked = [state.plate for state in session.bench.rack]
        plate = self.rng.choice(racked) if racked and bottle.what == "varnish" else None
        self.services.bottles.change(bottle.what, bottle, plate)

    def _chosen(self) -> dict[tuple[str, str], str | None]:
        """Return {(plate, role): bottle} of what each plate took or is to take."""
        bench, roles = self.services.session.bench, {bottle.what for bottle in BOTTLES}
        plates = [plate for plate, state in bench.plates.items() if plate != NEW and state.phase != "ended"]
        return {
            (plate, role): bottle_change.chosen_for(bench, plate, role) for plate in plates for role in roles
        }

    def _sleep(self) -> None:
        self.clock.move(self.rng.uniform(1.0, 900.0), asleep=True)
        self.services.session.tick()

    def _stall(self) -> None:
        self.clock.move(self.rng.uniform(1.1, 40.0))
        self.services.session.tick()

    def _set_wall(self) -> None:
        self.clock.wall_now += self.rng.choice((-HOUR, HOUR, -3.0, 3.0, 86400.0))
        self.services.session.tick()

    def _kill(self) -> None:
        """End the tool where it stands, perhaps with a torn last line, perhaps with the machine; start it."""
        self.kills += 1
        self.services.journal_writer.flush(20.0)
        states = {
            plate: state
            for plate, state in self.services.session.bench.plates.items()
            if plate != NEW and state.phase != "ended"
        }
        chosen = self._chosen()
        self.services.close()
        if states and self.rng.random() < 0.4:
            self._tear(self.rng.choice(sorted(states)))
        self.clock.move(self.rng.choice((0.5, 5.0, 60.0, 900.0)))
        if self.rng.random() < 0.3:
            self.boot += 1
            self.clock.up_now = self.clock.awake_now = self.rng.uniform(5.0, 60.0)
            self.clock.wall_now -= self.rng.choice((0.0, 0.0, 7200.0))
        self.services = self._open()
        back = set(self.services.session.bench.plates)
        for plate in sorted(set(states) - back):
            self.failures.append(f"kill: {plate} did not come back: {self.services.notices.text}")
        if self._chosen() != chosen:
            self.failures.append("kill: another bottle than was chosen")

    def _tear(self, plate: str) -> None:
        """Write the half of a line behind the plate's last one, as a cut in power would."""
        path = next(iter(self.home.glob(f"plates/*/*/{plate}.jsonl")), None)
        if path is not None:
            with path.open("ab") as file:
                file.write(b'{"n":9999,"at":"2026-0')

    # --- what must hold ----------------------------------------------------------------------------

    def _look(self) -> None:
        """Draw, call and tell the bench as it stands; now and then compare it with the disk."""
        bench, now = self.services.session.bench, self.services.session.now()
        columns, rows = self.rng.choice(((80, 24), (40, 12), (120, 40)))
        face(bench_view(bench, now), BenchStatus(), columns, rows)
        cues.cues(bench, now)
        telling.tell(bench, now)
        if self.rng.random() < 0.2:
            self._compare()

    def _compare(self) -> None:
        """Each plate of the bench is the fold of its journal as it lies on the disk."""
        session = self.services.session
        if not self.services.journal_writer.flush(20.0):
            self.failures.append("the writer did not come to its end")
        for plate, state in session.bench.plates.items():
            if plate == NEW or plate in session.bench.handed_over:
                continue
            log = read_plate(paths.plate_path(self.home, plate, session.dates[plate]))
            if fold(log.events) != state:
                self.failures.append(f"{plate}: the journal does not lead to what the bench shows")
            if [line.n for line in log.events] != list(range(1, len(log.events) + 1)):
                self.failures.append(f"{plate}: its lines are not 1, 2, 3 …")
