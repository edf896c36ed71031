"""From judged plates to a proposed exposure with its interval. Pure.

Each judged plate says between which bounds its right speed lay (`effects`); all of them together, with what
was believed before (`priors`), give the speed of the plate to come as a mixture (`prediction`). The interval
is the middle 80 % of that mixture, the plate's own noise in it: four of five plates find their right time
inside. That holds where plates are made as the priors say.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import exp2

from darkroom.exposure import contradictions
from darkroom.exposure.assumptions import assumptions
from darkroom.exposure.effects import Observed, describe, light_constant, observe
from darkroom.exposure.judged import Conditions, JudgedPlate, LeftOut
from darkroom.exposure.learned import Learned, WeighingPlate
from darkroom.exposure.observations import Target, most_telling, number_effects
from darkroom.exposure.prediction import WeighedFit, fits, predicted, quantile, weights

MOST_PLATES = 200
"""So many judged plates are used at most, those that say most of the plate to come."""
BOUNDS = (0.1, 0.5, 0.9)
"""The chances below the low bound, the middle and the high bound: an interval of 80 %."""
WEIGHING = 2
"""So many of the plates that weigh most are named."""


def learn(plates: Sequence[JudgedPlate], wanted: Conditions, silent: Sequence[LeftOut] = ()) -> Learned:
    """Return what the plates say of the exposure of a plate under the wanted conditions.

    Plates of any number, order and process. A plate that says nothing of the speed is left out with the
    reason, after those that are known to be `silent`. Without a plate it is what was believed before any.
    """
    observed, without_speed = _sorted_out(plates)
    left_out = (*silent, *without_speed)
    described = describe(wanted)
    observed = most_telling(observed, described, wanted.day, MOST_PLATES)
    asked = [(described.speed, described.doubt)]
    if described.light:
        asked.append((described.terms, described.doubt))
    observations = number_effects(observed, asked, wanted.day)
    weighed = fits(observations)
    speed = _bounds(weighed, observations.targets[0])
    exposed = _bounds(weighed, observations.targets[-1]) if described.light else speed
    constant = light_constant(wanted)
    seconds: list[float | None] = [None, None, None]
    if constant is not None and described.ev is not None:
        seconds = [_seconds(constant - value - described.ev) for value in reversed(exposed)]
    heaviest = sorted(
        zip(weights(weighed, observations.targets[-1]), observed, strict=True), key=lambda pair: -abs(pair[0])
    )
    return Learned(
        low=speed[0],
        middle=speed[1],
        high=speed[2],
        seconds_low=seconds[0],
        seconds=seconds[1],
        seconds_high=seconds[2],
        plates=len(observed),
        left_out=left_out,
        weigh=tuple(
            WeighingPlate(plate=each.plate.plate, number=each.plate.number, weight=abs(weight))
            for weight, each in heaviest[:WEIGHING]
        ),
        unfitting=tuple(contradictions.unfitting(observed, observations, weighed)),
        disagree=tuple(contradictions.disagreeing(observed, observations, weighed)),
        assumed=tuple(assumptions(observed, left_out, wanted)),
    )


def _sorted_out(plates: Sequence[JudgedPlate]) -> tuple[list[Observed], list[LeftOut]]:
    observed: list[Observed] = []
    left_out: list[LeftOut] = []
    for plate in plates:
        found = observe(plate)
        if isinstance(found, Observed):
            observed.append(found)
        else:
            left_out.append(LeftOut(plate=plate.plate, number=plate.number, reason=found))
    return observed, left_out


def _bounds(weighed: Sequence[WeighedFit], target: Target) -> list[float]:
    parts = predicted(weighed, target)
    return [quantile(parts, chance) for chance in BOUNDS]


def _seconds(stops: float) -> float | None:
    """Return the seconds that are so many stops above one, None for a time that no number holds."""
    return exp2(stops) if abs(stops) < 1000 else None
