"""Two plates at a bench that is killed again and again under strikes, and what comes back of them."""

from __future__ import annotations

import random
import signal
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

import msgspec

from darkroom.bench import events as ev
from darkroom.devices.clock import Clock
from darkroom.log.journal.merge import PlateLog, read_plate
from darkroom.log.journal.write import JournalWriter
from tests.kit.disk_probe import DiskProbe
from tests.kit.photographer import Photographer, shortened, stages_of

PLATES = 2
EXACT = 0.05
"""Seconds by which the gap of a plate that came back may differ from the truth."""
LATEST = 0.12
"""The kill comes at most so many seconds after the last key."""
SAVED_BEFORE = 6
"""Files and folders whose saving a line may wait for when the tool has just begun."""
SHOWN = 0.05
"""Seconds in which a line is handed to the disk that has nothing else to save."""
MARK = ("6", "marked", ev.Mark)
GO = ("space", "then drain", ev.StageStarted)
BACK = ("backspace", "taken back", ev.Undone)
"""Keys, what the screen has once each is accepted, and the event that it then is."""
BATH = "9 min"
"""The time in the bath: no call covers an answer."""
ANSWER = 3.0
"""Seconds after which a key that is not the last was refused."""
PATIENCE = 60.0
up = Clock().up


@dataclass(frozen=True)
class Strike:
    """A key whose acceptance was shown: its event, when it was sent, and when it was seen accepted."""

    kind: type[ev.AnyEvent]
    sent: float
    seen: float


class KilledBench:
    """A log of its own in `folder`; `begin` puts the plates on, `kill` is one cycle."""

    def __init__(self, folder: Path, rng: random.Random) -> None:
        self.folder, self.home, self.rng = folder, folder / "home", rng
        self.kills = self.accepted = self.lost = self.waiting = 0
        self.worst_gap = 0.0

    def begin(self) -> None:
        """Put a plate on the bench, its first stage running; kill the tool; lay a second beside it."""
        hand = Photographer(self.home, 100, 24)
        with hand.terminal as terminal:
            process = shortened(self.folder)
            process.write_text(process.read_text().replace("time: 4 s", f"time: {BATH}"))
            hand.open("bench", str(process))
            hand.strike("sensitise")
            terminal.kill(signal.SIGKILL)
            terminal.wait(PATIENCE)
        (first,) = self.plates()
        assert isinstance(first.start, ev.PlateStarted)
        second = first.plate[:-6] + "aaaaaa"
        lines = [msgspec.structs.replace(first.start, plate=second, number=2), *first.events[1:]]
        writer = JournalWriter(self.home, lambda report: None)
        writer.write(second, first.path.parent.name, lines)
        assert writer.close(PATIENCE)
        assert len(self.plates()) == PLATES

    def plates(self) -> list[PlateLog]:
        """Read the plates of the log."""
        return [log for log in map(read_plate, self.home.glob("plates/*/*/*.jsonl")) if log.start]

    def _returns(self) -> int:
        return sum(isinstance(event, ev.Resumed) for log in self.plates() for event in log.events)

    def kill(self) -> list[str]:
        """Start the tool, strike, kill it; return what is wrong with the plates then."""
        before = {log.plate: log.events for log in self.plates()}
        before_returns = self._returns()
        hand = Photographer(self.home, 100, 24)
        accepted: list[Strike] = []
        with DiskProbe(self.folder) as disk, hand.terminal as terminal:
            spawned = up()
            terminal.spawn(hand.program)
            terminal.wait_until(lambda: self._returns() == before_returns + PLATES, PATIENCE)
            back = up()
            terminal.wait_for("mark", PATIENCE)
            in_coat = set(stages_of(self.home).values()) == {"coat"}
            keys = self.rng.choice(([MARK], [GO if in_coat else BACK], [MARK, GO if in_coat else BACK]))
            for number, (key, text, kind) in enumerate(keys, 1):
                sent = up()
                hand.press(key)
                with suppress(TimeoutError):  # refused, or not answered before the kill
                    terminal.wait_for(text, self.rng.uniform(0.0, LATEST) if number == len(keys) else ANSWER)
                    accepted.append(Strike(kind, sent, up()))
            due = up() - SHOWN - SAVED_BEFORE * disk.slowest
            terminal.kill(signal.SIGKILL)
            terminal.wait(PATIENCE)
        self.kills += 1
        self.accepted += len(accepted)
        return self._wrong(before, accepted, spawned, back, due)

    def _wrong(
        self,
        before: dict[str, tuple[ev.AnyEvent, ...]],
        accepted: list[Strike],
        spawned: float,
        back: float,
        due: float,
    ) -> list[str]:
        """Compare the journals with those of before the cycle, and with what was shown as accepted.

        A strike is answered at once and saved as fast as the disk saves; one that was sent later than `due`
        may still wait for it at the kill.
        """
        now = {log.plate: log for log in self.plates()}
        wrong = [f"plate {plate} is gone" for plate in before.keys() - now.keys()]
        fresh: list[ev.AnyEvent] = []
        for plate, old in before.items():
            if plate not in now:
                continue
            events = now[plate].events
            if events[: len(old)] != old:
                wrong.append(f"plate {plate}: lines of before the kill have changed")
            wrong += [f"plate {plate}: {problem.what}" for problem in now[plate].problems]
            more = events[len(old) :]
            fresh += more
            wrong += self._wrong_return(plate, old, more, spawned, back)
        for strike in accepted:
            if not any(
                isinstance(event, strike.kind)
                and event.up is not None
                and strike.sent <= event.up <= strike.seen
                for event in fresh
            ):
                if strike.sent > due:
                    self.waiting += 1
                    continue
                self.lost += 1
                wrong.append(f"an accepted {strike.kind.__name__} is not in the journal with its time")
        return wrong

    def _wrong_return(
        self,
        plate: str,
        old: tuple[ev.AnyEvent, ...],
        more: tuple[ev.AnyEvent, ...],
        spawned: float,
        back: float,
    ) -> list[str]:
        """Compare the line of a return with the clock: one line, its instant, its gap."""
        resumed = [event for event in more if isinstance(event, ev.Resumed)]
        if len(resumed) != 1:
            return [f"plate {plate} came back {len(resumed)} times"]
        last = max(event.up for event in old if event.up is not None)
        instant = resumed[0].up
        assert instant is not None
        off = abs(resumed[0].gap - (instant - last))
        self.worst_gap = max(self.worst_gap, off)
        wrong = []
        if off > EXACT or resumed[0].by != "up":
            wrong.append(f"plate {plate}: its gap is {off:.3f} s from the truth, by {resumed[0].by}")
        if not spawned <= instant <= back:
            wrong.append(f"plate {plate}: came back at {instant:.3f}, between {spawned:.3f} and {back:.3f}")
        return wrong


def kill_often(folder: Path, seed: str, kills: int) -> tuple[KilledBench, list[str]]:
    """Kill one bench so many times; return it with what was wrong, each with the kill's number."""
    bench = KilledBench(folder, random.Random(seed))
    bench.begin()
    return bench, [f"{seed}, kill {number}: {what}" for number in range(kills) for what in bench.kill()]
