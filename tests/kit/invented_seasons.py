"""Invented plates whose right exposure is known, to see how often the proposed interval holds it.

The own truth is drawn from the very family that learning believes in: its priors, sds and share of slips.
The other truth breaks it: noise of Student's t with 3 degrees of freedom (and the family's sds), ageing that
begins late and then is steep, and 6 % slips of one to three stops.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from dataclasses import dataclass

from darkroom.exposure import judgements, priors
from darkroom.exposure.judged import Conditions, JudgedPlate
from darkroom.exposure.learning import learn
from darkroom.exposure.light_kinds import EV_DOUBT, LIGHT_KINDS

KINDS = ("sun", "cloud", "shade", "window", "tungsten")
LENSES = ("petzval", "rapid rectilinear", "meniscus")
PROCESSES = ("clear glass", "black glass")
STRIPS = (-2, -1, 0, 1, 2)
"""A test plate's strips, in stops from its middle one."""


@dataclass
class Truth:
    """One photographer's world; `wrong` breaks the family."""

    chance: random.Random
    wrong: bool

    def __post_init__(self) -> None:
        self.known: dict[tuple[str, str], float] = {}
        self.day_sd = _one_of(self.chance, priors.DAY_SDS)
        self.plate_sd = _one_of(self.chance, priors.PLATE_SDS)
        self.speed = self._drawn("speed", "", priors.SPEED.mean, priors.SPEED.sd)
        self.ageing = self._drawn("age", "", priors.AGE.mean, priors.AGE.sd)
        self.warmth = self._drawn("warmth", "", priors.WARMTH.mean, priors.WARMTH.sd)

    def plate(self, conditions: Conditions) -> float:
        """Return log2 of the speed one plate shows under these conditions."""
        kind = LIGHT_KINDS[conditions.kind or ""]
        speed = self.speed
        speed += self._drawn("process", conditions.process, priors.PROCESS.mean, priors.PROCESS.sd)
        speed += self._drawn("lens", str(conditions.lens), priors.LENS.mean, priors.LENS.sd)
        speed += self._drawn("kind", kind.name, kind.offset, kind.doubt)
        speed += self._drawn("batch", str(conditions.batch), priors.BATCH.mean, priors.BATCH.sd)
        speed += self._drawn("day", conditions.day, 0.0, self.day_sd)
        speed += self._aged(conditions.age or 0.0)
        speed += self.warmth * ((conditions.developer or 20.0) - priors.USUAL_CELSIUS) / 10
        if conditions.ev_from == "light":
            speed += self.chance.gauss(0.0, EV_DOUBT)
        return speed + self._noise()

    def _aged(self, age: float) -> float:
        if self.wrong:
            return 2.5 * self.ageing * max(0.0, age - 60.0) / 100
        return self.ageing * min(age, priors.OLDEST) / 100

    def _noise(self) -> float:
        chance = self.chance
        if self.wrong:
            spread = math.sqrt(sum(chance.gauss(0.0, 1.0) ** 2 for _ in range(3)) / 3)
            slip = chance.choice((-1, 1)) * chance.uniform(1.0, 3.0) if chance.random() < 0.06 else 0.0
            return self.plate_sd / math.sqrt(3) * chance.gauss(0.0, 1.0) / spread + slip
        slipped = chance.random() < priors.SLIP_SHARE
        return chance.gauss(0.0, math.sqrt(self.plate_sd**2 + slipped * priors.SLIP_VARIANCE))

    def _drawn(self, what: str, name: str, mean: float, sd: float) -> float:
        key = (what, name)
        if key not in self.known:
            self.known[key] = self.chance.gauss(mean, sd)
        return self.known[key]


@dataclass(frozen=True)
class Season:
    """Judged plates, the conditions of the next one, and log2 of the speed that one will show."""

    plates: tuple[JudgedPlate, ...]
    wanted: Conditions
    speed: float


def season(number: int, plates: int, wrong: bool = False) -> Season:
    """Return an invented season; the same number gives the same one."""
    chance = random.Random(f"{number} {plates} {wrong}")
    truth = Truth(chance, wrong)
    days = _days(chance)
    judged: list[JudgedPlate] = []
    guess = chance.gauss(0.0, 1.5)
    for at in range(plates):
        conditions = next(days)
        speed = truth.plate(conditions)
        judged.append(_judged(chance, at + 1, conditions, speed, guess))
        guess = speed + chance.gauss(0.0, 0.5)
    wanted = next(days)
    return Season(tuple(judged), wanted, truth.plate(wanted))


def _days(chance: random.Random) -> Iterator[Conditions]:
    """Yield the conditions of plate after plate: some plates a day, days apart, a new batch now and then."""
    day, batch, age = 0, 1, chance.uniform(1.0, 40.0)
    lens, process = chance.choice(LENSES), chance.choice(PROCESSES)
    while True:
        day += 1
        age += chance.expovariate(1 / 6)
        if chance.random() < 0.1:
            batch, age = batch + 1, chance.uniform(1.0, 20.0)
        celsius = chance.gauss(20.0, 3.0)
        kind = chance.choice(KINDS)
        for _ in range(chance.randint(1, 8)):
            if chance.random() < 0.15:
                lens = chance.choice(LENSES)
            if chance.random() < 0.05:
                process = chance.choice(PROCESSES)
            metered = chance.random() < 0.8
            usual = LIGHT_KINDS[kind].usual_ev or 0.0
            yield Conditions(
                process=process,
                day=f"day {day:04}",
                lens=lens,
                light=kind,
                kind=kind,
                ev=usual + chance.uniform(-2.0, 1.0) if metered else usual,
                ev_from="meter" if metered else "light",
                f_number=chance.choice((3.6, 5.6, 8.0)),
                lost=chance.choice((0.0, 0.0, 0.5, 1.2)),
                batch=f"C-{batch}",
                age=age,
                developer=celsius + chance.gauss(0.0, 0.5),
            )


def _judged(
    chance: random.Random, number: int, conditions: Conditions, speed: float, guess: float
) -> JudgedPlate:
    """Return the plate as judged, exposed for a speed of `guess` where it needed `speed`."""
    wanted, way = guess - speed, chance.random()
    given = seconds(conditions, guess)
    if way < 0.2:
        best = min(STRIPS, key=lambda strip: abs(strip - wanted))
        totals = [given * 2.0**strip for strip in STRIPS]
        given = totals[STRIPS.index(best)]
        low, high = judgements.from_best_strip(totals, STRIPS.index(best) + 1)
    elif way < 0.4:
        word = "right" if abs(wanted) < judgements.RIGHT else "more" if wanted > 0 else "less"
        low, high = judgements.from_word(word)
    else:
        low, high = judgements.from_stops(round(2 * wanted) / 2)
    return JudgedPlate(
        plate=f"plate {number}", number=number, conditions=conditions, given=given, low=low, high=high
    )


def seconds(conditions: Conditions, speed: float) -> float:
    """Return the time that log2 of a speed asks for: t = 100·N²·F / (S·2^EV)."""
    assert conditions.f_number is not None and conditions.ev is not None
    return 100 * conditions.f_number**2 * 2.0 ** (conditions.lost - speed - conditions.ev)


def holds(there: Season) -> bool:
    """Return whether the proposed interval holds the speed that the next plate shows."""
    learned = learn(there.plates, there.wanted)
    return learned.low <= there.speed <= learned.high


def last_holds(there: Season) -> bool:
    """Return whether the last plate's right speed, a stop to either side, holds that of the next plate."""
    last = there.plates[-1]
    middle = (last.low + last.high) / 2
    stops = middle if math.isfinite(middle) else last.low if math.isfinite(last.low) else last.high
    right = last.given * 2.0**stops
    return abs(math.log2(seconds(last.conditions, there.speed) / right)) <= 1.0


def covered(plates: int, seasons: int, wrong: bool = False) -> tuple[float, float]:
    """Return the shares of seasons that learning and the last plate hold, of so many plates each."""
    all_seasons = [season(number, plates, wrong) for number in range(seasons)]
    held = sum(map(holds, all_seasons)) / seasons
    return held, sum(map(last_holds, all_seasons)) / seasons


def _one_of(chance: random.Random, weighed: tuple[tuple[float, float], ...]) -> float:
    return chance.choices([value for value, _ in weighed], [weight for _, weight in weighed])[0]
