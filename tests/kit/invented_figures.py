"""What is known of an invented plate that failed: figures, answers and tests worth their decibans.

`for_each_cause` is the model that the engine believes: each figure speaks of one cause alone. In
`shared_by_causes` there is one value of each figure and one answer to each question, however many causes they
speak of, as on a real plate; the engine's sums are then no longer exact.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Mapping, Sequence

import numpy as np
from scipy.optimize import nnls

from darkroom.faults.catalogue import Catalogue, Cause

Known = Callable[[frozenset[str], Sequence[str], random.Random], Mapping[str, float]]
"""(causes at work, marked faults, chance) -> {cause: decibans of all that is known}."""
Channel = tuple[float, float]
"""What two values of one figure weigh for a cause, in decibans: the one against it, the one for it."""
Weights = Sequence[Mapping[str, float]]
"""For each value that a figure may take: {cause: decibans}."""


def for_each_cause(told: Catalogue, true: Catalogue, recorded: float) -> Known:
    """Return what draws each figure for each cause by itself, as `true` says, weighed as `told` says.

    Each is recorded with the chance `recorded`.
    """

    def known(at_work: frozenset[str], faults: Sequence[str], rng: random.Random) -> dict[str, float]:
        weights = {}
        for name in told.linked(tuple(faults)):
            pairs = zip(channels(told, told.causes[name]), channels(true, true.causes[name]), strict=True)
            weights[name] = sum(
                seen[value(truth, name in at_work, rng)] for seen, truth in pairs if rng.random() < recorded
            )
        return weights

    return known


def channels(catalogue: Catalogue, cause: Cause) -> list[Channel]:
    """Return all that speaks for or against a cause: its figures, its test, its faults' questions."""
    found = [
        (min(weight for _, weight in each.points), max(weight for _, weight in each.points))
        for each in cause.evidence
    ]
    if cause.test is not None:
        found.append((cause.test.absent, cause.test.shown))
    for fault in catalogue.faults.values():
        for ask in fault.asks if cause.id in fault.causes else ():
            weights = [answers.get(cause.id, 0.0) for answers in ask.answers.values()]
            if min(weights) < 0 < max(weights):
                found.append((min(weights), max(weights)))
    return found


def value(channel: Channel, at_work: bool, rng: random.Random) -> int:
    """Draw 0 (against) or 1 (for) so that each is 10^(decibans/10) times likelier with the cause at work."""
    against, speaking_for = (10 ** (decibans / 10) for decibans in channel)
    without = (1 - against) / (speaking_for - against)
    return int(rng.random() < (without * speaking_for if at_work else without))


def shared_by_causes(told: Catalogue, true: Catalogue, recorded: float) -> Known:
    """Return what draws one value of each figure and one answer to each question for all causes together."""
    figures = [(_of_figures(told)[name], weights) for name, weights in _of_figures(true).items()]
    bases = {id(weights): base(weights) for _, weights in figures}
    questions = {
        fault.id: [
            (list(ask.answers.values()), list(twin.answers.values()))
            for ask, twin in zip(told.faults[fault.id].asks, fault.asks, strict=True)
        ]
        for fault in true.faults.values()
    }
    bases |= {id(twin): base(twin) for asks in questions.values() for _, twin in asks}

    def known(at_work: frozenset[str], faults: Sequence[str], rng: random.Random) -> dict[str, float]:
        weights = dict.fromkeys(told.linked(tuple(faults)), 0.0)
        for seen, truth in (*figures, *(pair for fault in faults for pair in questions[fault])):
            if rng.random() >= recorded or not any(name in weights for said in truth for name in said):
                continue
            law = [
                chance * 10 ** (sum(said.get(name, 0.0) for name in at_work) / 10)
                for chance, said in zip(bases[id(truth)], truth, strict=True)
            ]
            (drawn,) = rng.choices(range(len(law)), law)
            for name, decibans in seen[drawn].items():
                if name in weights:
                    weights[name] += decibans
        return weights

    return known


def _of_figures(catalogue: Catalogue) -> dict[str, Weights]:
    """Return {figure or test: for each value that matters, {cause: decibans}}."""
    points: dict[str, set[float]] = {}
    for cause in catalogue.causes.values():
        for each in cause.evidence:
            points.setdefault(each.of, set()).update(point for point, _ in each.points)
    found: dict[str, Weights] = {
        name: [
            {
                cause.id: each.decibans(point)
                for cause in catalogue.causes.values()
                for each in cause.evidence
                if each.of == name
            }
            for point in sorted(values)
        ]
        for name, values in points.items()
    }
    for cause in catalogue.causes.values():
        if cause.test is not None:
            found[f"test of {cause.id}"] = [{cause.id: cause.test.absent}, {cause.id: cause.test.shown}]
    return found


def base(weights: Weights) -> list[float]:
    """Return how likely each value is with no cause at work.

    It is chosen so that for each cause alone the values' chances add up to 1, as nearly as can be (least
    squares with no chance below 0).
    """
    causes = sorted({name for said in weights for name in said})
    sums = np.array([[10 ** (said.get(name, 0.0) / 10) for said in weights] for name in causes])
    whole = 100 * np.ones((1, len(weights)))
    found, _ = nnls(np.vstack([sums, whole]), np.concatenate([np.ones(len(causes)), [100.0]]))
    total = math.fsum(found)
    return [float(chance / total) for chance in found]
