"""Plates that failed for known reasons, drawn from a catalogue of faults; how well their causes are found.

    python -m tests.kit.invented_failures [PLATES]

The truth is invented: causes are at work independently with the chance `usual` and show as faults by the
noisy-or of links; `invented_figures` says what is known of a plate. What this measures is the engine, not the
weights: real plates need not be made as the catalogue says. Beside the engine stands naive Bayes, which knows
one cause at a time.
"""

from __future__ import annotations

import math
import random
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence

import msgspec

from darkroom.faults.catalogue import Catalogue, Fault
from darkroom.faults.engine import posterior
from darkroom.resources import fault_catalogue
from tests.kit.invented_figures import Known, for_each_cause, shared_by_causes

Chances = Mapping[str, float]


class Failed(msgspec.Struct, frozen=True, kw_only=True):
    """A plate with a fault or several: what was truly at work, and what is known of it.

    `decibans` is {cause: what its figures weigh}; `absent` are the faults that were looked for in vain.
    """

    causes: frozenset[str]
    faults: tuple[str, ...]
    absent: tuple[str, ...]
    decibans: Mapping[str, float]


class Score(msgspec.Struct, frozen=True, kw_only=True):
    """How well causes were found.

    `first` is the share of plates whose likeliest cause was at work, `brier` the mean square of its chance
    less 1 or 0, `calibration` how far chances lie from what was so (mean over ten equal bins, by how many
    chances a bin holds), `small` how often a cause that was given less than 5 % was at work.
    """

    plates: int
    first: float
    brier: float
    calibration: float
    small: float


def failed_plates(
    true: Catalogue, count: int, rng: random.Random, known: Known, looked: float = 1.0
) -> Iterator[Failed]:
    """Yield plates that failed as a catalogue says; of the share `looked` it is known what is absent."""
    found = 0
    while found < count:
        at_work = frozenset(name for name, cause in true.causes.items() if rng.random() < cause.usual)
        faults = tuple(name for name, fault in true.faults.items() if rng.random() < shows(fault, at_work))
        if not faults:
            continue
        found += 1
        absent = [name for name in true.faults if name not in faults] if rng.random() < looked else []
        yield Failed(
            causes=at_work, faults=faults, absent=tuple(absent), decibans=known(at_work, faults, rng)
        )


def shows(fault: Fault, at_work: frozenset[str]) -> float:
    """Return the chance that a fault shows with these causes at work."""
    return 1 - (1 - fault.unexplained) * math.prod(1 - fault.causes.get(name, 0.0) for name in at_work)


def disturbed(catalogue: Catalogue, rng: random.Random) -> Catalogue:
    """Return a catalogue that is wrong as judgement is: usual, links and decibans moved at random.

    Usual and the odds of links by a factor of about 2; true weights are a fifth less than told in the middle,
    and lie about 40 % and 1.5 decibans round that: who judges tends to be too sure.
    """

    def share(chance: float) -> float:
        return 1 / (1 + (1 - chance) / chance * math.exp(rng.gauss(0, 0.7)))

    def weight(decibans: float) -> float:
        moved = decibans * math.exp(rng.gauss(-0.25, 0.4)) + rng.gauss(0, 1.5)
        return math.copysign(max(0.2, math.copysign(1, decibans) * moved), decibans)

    causes = {
        name: msgspec.structs.replace(
            cause,
            usual=share(cause.usual),
            evidence=tuple(
                msgspec.structs.replace(
                    each, points=tuple((at, weight(w) if w else 0.0) for at, w in each.points)
                )
                for each in cause.evidence
            ),
            test=cause.test
            and msgspec.structs.replace(
                cause.test, shown=weight(cause.test.shown), absent=weight(cause.test.absent)
            ),
        )
        for name, cause in catalogue.causes.items()
    }
    faults = {
        name: msgspec.structs.replace(
            fault,
            unexplained=share(fault.unexplained),
            causes={cause: share(link) for cause, link in fault.causes.items()},
            asks=tuple(
                msgspec.structs.replace(
                    ask,
                    answers={
                        answer: {cause: weight(w) for cause, w in weights.items() if w}
                        for answer, weights in ask.answers.items()
                    },
                )
                for ask in fault.asks
            ),
        )
        for name, fault in catalogue.faults.items()
    }
    return Catalogue(causes=causes, faults=faults)


def by_engine(catalogue: Catalogue, plate: Failed) -> Chances:
    """Return the engine's chances."""
    return posterior(catalogue, plate.faults, plate.absent, plate.decibans)[0]


def by_one_cause(catalogue: Catalogue, plate: Failed) -> Chances:
    """Return the chances by naive Bayes: exactly one cause, or none, made all the faults."""
    weights = {"": 1.0}
    for name in catalogue.linked(plate.faults):
        usual = catalogue.causes[name].usual
        weights[name] = usual / (1 - usual) * 10 ** (plate.decibans.get(name, 0.0) / 10)
    for name in weights:
        only = frozenset([name])
        for fault in plate.faults:
            weights[name] *= shows(catalogue.faults[fault], only)
        for fault in plate.absent:
            weights[name] *= 1 - shows(catalogue.faults[fault], only)
    whole = sum(weights.values())
    return {name: weight / whole for name, weight in weights.items() if name}


def score(
    catalogue: Catalogue,
    plates: Sequence[Failed],
    method: Callable[[Catalogue, Failed], Chances] = by_engine,
) -> Score:
    """Return how well a method that believes a catalogue finds the causes of plates."""
    firsts: list[tuple[float, bool]] = []
    pairs: list[tuple[float, bool]] = []
    for plate in plates:
        chances = method(catalogue, plate)
        first = max(chances, key=lambda name: chances[name])
        firsts.append((chances[first], first in plate.causes))
        pairs += [(chance, name in plate.causes) for name, chance in chances.items()]
    small = [so for chance, so in pairs if chance < 0.05]
    return Score(
        plates=len(plates),
        first=sum(so for _, so in firsts) / len(firsts),
        brier=sum((chance - so) ** 2 for chance, so in firsts) / len(firsts),
        calibration=calibration(pairs),
        small=sum(small) / max(1, len(small)),
    )


def calibration(pairs: Sequence[tuple[float, bool]]) -> float:
    """Return how far chances lie from the share of what was so, over ten equal bins, in mean."""
    bins: list[list[tuple[float, bool]]] = [[] for _ in range(10)]
    for chance, so in pairs:
        bins[min(9, int(10 * chance))].append((chance, so))
    return sum(abs(sum(chance - so for chance, so in each)) for each in bins) / len(pairs)


def drawn(
    catalogue: Catalogue, count: int, recorded: float = 1.0, wrong: bool = False, shared: bool = False
) -> list[Failed]:
    """Return so many plates, the same for the same arguments.

    Each figure is recorded with the chance `recorded`; where the weights are `wrong`, each hundred plates
    follow another disturbed catalogue; `shared` figures speak of several causes.
    """
    rng = random.Random(12)
    plates: list[Failed] = []
    while len(plates) < count:
        true = disturbed(catalogue, rng) if wrong else catalogue
        known = (shared_by_causes if shared else for_each_cause)(catalogue, true, recorded)
        plates += failed_plates(true, min(100, count - len(plates)), rng, known, recorded)
    return plates


def rows(catalogue: Catalogue, count: int) -> Iterator[tuple[str, Score, Score]]:
    """Yield (what was tried, the engine's score, naive Bayes's) for each way in which records are wanting."""
    for what, recorded, wrong, shared in (
        ("the catalogue's own weights", 1.0, False, False),
        ("disturbed weights", 1.0, True, False),
        ("half of the record missing", 0.5, False, False),
        ("half missing, disturbed weights", 0.5, True, False),
        ("one figure speaks of several causes", 1.0, False, True),
        ("the same, disturbed weights", 1.0, True, True),
        ("nothing recorded", 0.0, False, False),
    ):
        plates = drawn(catalogue, count, recorded, wrong, shared)
        yield what, score(catalogue, plates), score(catalogue, plates, by_one_cause)


def main(count: int) -> None:
    """Print the table of DEVELOPERS.md."""
    catalogue, _ = fault_catalogue()
    print(
        f"| {count} invented plates | method | first cause right | Brier | calibration error | told < 5 % |"
    )
    print("|---|---|---|---|---|---|")
    for what, engine, naive in rows(catalogue, count):
        for method, found in (("engine", engine), ("one cause", naive)):
            print(
                f"| {what} | {method} | {100 * found.first:.0f} % | {found.brier:.3f} | "
                f"{found.calibration:.3f} | {100 * found.small:.1f} % |"
            )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2500)
