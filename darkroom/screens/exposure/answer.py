"""What is asked on the exposure page, and the answer to it, as values."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from datetime import datetime

from darkroom.exposure import factors
from darkroom.exposure.daylight import DayOfLight
from darkroom.exposure.factors import Planned
from darkroom.exposure.judged import LeftOut
from darkroom.exposure.learned import Learned
from darkroom.exposure.steps import TestPlate
from darkroom.session.plate_form import PlateForm


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What is asked: the form of the plate, and what the page asks besides it.

    `source` is one of "plates", "plate", "meter", "sun". `process` is the process's own name, `at` the typed
    time of the sun, `size` the picture against the thing, `stops` more exposure than the known plate's,
    `developer` its temperature in °C, `wet` how long the plate stays wet in seconds, `strips` how many a test
    plate is to have: None lets the interval choose.
    """

    source: str
    form: PlateForm
    process: str
    plate: str = ""
    speed: float | None = None
    at: str = ""
    size: float | None = None
    stops: float | None = None
    developer: float | None = None
    wet: float | None = None
    strips: int | None = None


@dataclass(slots=True, kw_only=True, eq=False)
class Answer:
    """The answer to a question.

    `planned` is the time with its factors, which count from `counted_from`; without one `says` tells why.
    `judged` says how the one plate was judged that the time is reckoned from, where that is in it.
    `process` is the one asked about: that of the one plate, else the question's.
    `learned` is what the judged plates say, whatever the time was reckoned from. `light` is the day's light
    for `place` and a `kind` of light, at the instant `at`. `says` are sentences on what is not known and
    what was assumed. `draw` is the bellows draw in mm that a picture's size means. Where there are no
    `strips`, `no_strips` says why.
    """

    question: Question
    at: datetime
    planned: Planned | None = None
    counted_from: str = ""
    judged: str = ""
    process: str = ""
    learned: Learned | None = None
    strips: TestPlate | None = None
    no_strips: str = ""
    light: DayOfLight | None = None
    place: str = ""
    kind: str = ""
    draw: float | None = None
    left_out: tuple[LeftOut, ...] = ()
    says: list[str] = field(default_factory=list)

    @property
    def size_lost(self) -> float:
        """The stops that the picture's size takes."""
        size = self.question.size
        return 0.0 if size is None else math.log2(factors.magnification_factor(size))

    @property
    def seconds(self) -> float | None:
        """The time that is proposed, None where nothing says one."""
        return None if self.planned is None else self.planned.seconds
