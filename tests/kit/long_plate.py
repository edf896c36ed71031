"""A plate of very many events, of every kind, with strikes taken back, moved and put back."""

from __future__ import annotations

import random
from typing import Any

from darkroom.bench import events as ev
from darkroom.process.model import ExposurePlan
from tests.kit.journals import PROCESS, started

STAGES = ("coat", "sensitise", "expose", "develop", "fix")
WITH_LEAD_IN = ("expose", "develop")
BY_ITSELF = {"ends": "at_zero", "time": [[10.0, 60.0], [30.0, 5.0]]}
"""A stage that ends by itself, the sooner the warmer its liquid is: an undo then looks at the readings."""
PROCESS_BY_ITSELF = {
    **PROCESS,
    "stages": [
        {**stage, **BY_ITSELF} if stage["name"] in ("sensitise", "develop") else stage
        for stage in PROCESS["stages"]
    ],
}
OTHERS = (
    *("reading",) * 22, *("humidity",) * 4, *("mark",) * 6, *("refused",) * 4, *("acknowledged",) * 2,
    *("step",) * 2, *("note",) * 2, "slept", "plan",
)  # fmt: skip
"""What is written between two strikes, as often as it stands here."""


class LongPlate:
    """Writes the events of one plate, one after the other, a second apart; `rng` decides which."""

    def __init__(self, rng: random.Random, *, lively: bool = False) -> None:
        """Begin with the first strike. A `lively` plate is struck often, and goes on more often than not."""
        self.rng = rng
        self.kinds = (*OTHERS, *("step",) * 20, *("slept",) * 4) if lively else OTHERS
        self.taken_back = 0.4 if lively else 0.9
        self.lines: list[ev.AnyEvent] = [started(process=PROCESS_BY_ITSELF)]
        self.up, self.place, self.runs = 0.0, 0, False

    def write(self, count: int) -> list[ev.AnyEvent]:
        """Write until there are `count` events; return all of them."""
        while len(self.lines) < count:
            getattr(self, f"_{self.rng.choice(self.kinds)}")()
        return self.lines[:count]

    def _add(self, kind: type[Any], /, **members: Any) -> int:
        """Add an event of this instant; return its number."""
        minutes, seconds = divmod(int(self.up), 60)
        at = f"2026-03-01T{minutes // 60 % 24:02d}:{minutes % 60:02d}:{seconds:02d}.000+01:00"
        self.lines.append(kind(n=len(self.lines) + 1, at=at, up=self.up, **members))
        return len(self.lines)

    def _reading(self) -> None:
        self.up += 1.0
        source = self.rng.choice(("bath", "developer", "room"))
        self._add(ev.Temperature, source=source, celsius=20 + self.rng.randrange(30) / 10, from_="a glass")

    def _humidity(self) -> None:
        self.up += 1.0
        self._add(ev.Humidity, percent=float(self.rng.randrange(30, 60)), from_="hand")

    def _mark(self) -> None:
        self.up += 1.0
        self._add(ev.Mark)

    def _refused(self) -> None:
        self.up += 1.0
        asks = self.rng.choice((None, None, "short"))
        self._add(ev.Refused, intent="go", reason="it went on by itself", asks=asks)

    def _acknowledged(self) -> None:
        self.up += 1.0
        self._add(ev.Acknowledged, what="goggles", stage=STAGES[self.place])

    def _note(self) -> None:
        self.up += 1.0
        self._add(ev.Note, text="thin at the left edge")

    def _slept(self) -> None:
        self.up += 30.0
        self._add(ev.Clock, kind="slept", seconds=29.0)

    def _plan(self) -> None:
        self.up += 1.0
        self._add(ev.ExposureSet, plan=ExposurePlan(seconds=float(self.rng.randrange(2, 9))))

    def _step(self) -> None:
        """A strike, mostly taken back: a plate goes through its stages once."""
        self.up += 3.0
        rng = self.rng
        if not self.runs and STAGES[self.place] in WITH_LEAD_IN and rng.random() < 0.5:
            self._add(ev.LeadInStarted, stage=STAGES[self.place], seconds=5.0)
            self.up += 5.0
        if not self.runs:
            strike = [self._add(ev.StageStarted, stage=STAGES[self.place], planned=None, celsius=20.0)]
        else:
            strike = [
                self._add(ev.StageEnded, stage=STAGES[self.place], seconds=3.0, planned=None, how="strike")
            ]
        stands = True
        chance = rng.random()
        if chance < 0.25:
            self.up += 1.0
            strike.append(self._add(ev.Moved, moves=tuple(strike), seconds=-0.5))
        elif chance < 0.3:
            self.up += 1.0
            by = rng.choice(("up", "wall"))
            self._add(ev.Resumed, gap=float(rng.randrange(60)), by=by, boot="boot-b")
        if rng.random() < self.taken_back or self.place == len(STAGES) - 1:
            self.up += 1.0
            undone = self._add(ev.Undone, undoes=tuple(strike), held=rng.random() < 0.2)
            stands = False
            if rng.random() < 0.2:
                self.up += 1.0
                put_back = self._add(ev.Undone, undoes=(undone,), held=False)
                if rng.random() < 0.5:
                    self.up += 1.0
                    self._add(ev.Undone, undoes=(put_back,), held=False)
                else:
                    stands = True
        if stands:
            if self.runs:
                self.place = min(self.place + 1, len(STAGES) - 1)
            self.runs = not self.runs


def long_plate(count: int, seed: int = 10_000) -> list[ev.AnyEvent]:
    """Return the events of one plate; the same for the same seed."""
    return LongPlate(random.Random(seed)).write(count)
