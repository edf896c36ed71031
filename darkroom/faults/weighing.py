"""From what was marked, answered and recorded of one plate to its likeliest causes and one advice. Pure."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence

import msgspec

from darkroom.faults.answer import Advice, Likely, Weighed
from darkroom.faults.answered import Given, given_in, weighed_answers
from darkroom.faults.catalogue import Catalogue, Cause, is_none_of_these
from darkroom.faults.confirmed import of_other_plates, with_confirmed
from darkroom.faults.engine import posterior
from darkroom.faults.history import MarkedFault
from darkroom.faults.recommendation import recommend

Figures = Callable[[tuple[str, ...]], Mapping[str, float]]
"""Called with the ids of marked faults: {name: value} of the recorded figures, asked about these faults."""


class Outcome(msgspec.Struct, frozen=True, kw_only=True):
    """The causes, the likeliest first, the chance of none of them, and the one recommendation.

    `known` are the ids of the marked faults, `unknown` the names that the catalogue does not hold.
    """

    known: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()
    causes: tuple[Likely, ...] = ()
    none: float = 1.0
    advice: Advice | None = None


def weigh(
    catalogue: Catalogue,
    marks: Sequence[MarkedFault],
    absent: Iterable[str],
    figures: Figures,
    confirmed: Mapping[str, int],
    confirmed_plates: int | None = None,
) -> Outcome:
    """Return why a plate failed, as far as its own figures tell.

    `absent` are ids of faults that were looked for and not there. `confirmed` is {cause: plates of which
    the photographer said that it was this}, `confirmed_plates` those with any (without it, their sum). What
    was confirmed on this plate is among them and shown, and moves the chances of other plates alone.
    """
    named = [(mark.name, catalogue.fault(mark.name)) for mark in marks]
    known = tuple(dict.fromkeys(fault.id for _, fault in named if fault is not None))
    unknown = tuple(dict.fromkeys(name for name, fault in named if fault is None))
    if not known:
        return Outcome(unknown=unknown)
    given = given_in(marks)
    recorded: dict[tuple[str, ...], Mapping[str, float]] = {}
    evidence: dict[str, tuple[Weighed, ...]] = {}
    silent: dict[str, tuple[str, ...]] = {}
    for name in catalogue.linked(known):
        cause = catalogue.causes[name]
        about = tuple(fault for fault in known if name in catalogue.faults[fault].causes)
        if about not in recorded:
            recorded[about] = figures(about)
        evidence[name] = _evidence(catalogue, known, cause, recorded[about], given)
        silent[name] = tuple(each.of for each in cause.evidence if each.of not in recorded[about])
    decibans = {name: sum(each.decibans for each in weighed) for name, weighed in evidence.items()}
    others, other_plates = of_other_plates(catalogue, confirmed, confirmed_plates, marks)
    chances, none = posterior(with_confirmed(catalogue, others, other_plates), known, absent, decibans)
    causes = tuple(
        Likely(
            cause=name,
            label=catalogue.causes[name].label,
            chance=chances[name],
            evidence=evidence[name],
            silent=silent[name],
            confirmed=confirmed.get(name, 0),
        )
        for name in sorted(chances, key=lambda name: -chances[name])
    )
    said = {mark.cause for mark in marks if mark.cause}
    confirmed_here = tuple(found.id for name in said if (found := catalogue.cause(name)))
    still_open = tuple(fault for fault in known if not _explained_otherwise(catalogue, marks, fault))
    linked = catalogue.linked(still_open)
    to_act_on = [likely for likely in causes if likely.cause in linked]
    advice = recommend(catalogue, still_open, to_act_on, given, confirmed_here)
    return Outcome(known=known, unknown=unknown, causes=causes, none=none, advice=advice)


def _explained_otherwise(catalogue: Catalogue, marks: Sequence[MarkedFault], fault: str) -> bool:
    """Return whether the photographer says that a fault came from no cause of the catalogue."""
    said = [mark.cause for mark in marks if (found := catalogue.fault(mark.name)) and found.id == fault]
    return any(cause is not None and is_none_of_these(cause) for cause in said)


def _evidence(
    catalogue: Catalogue, known: Sequence[str], cause: Cause, recorded: Mapping[str, float], given: Given
) -> tuple[Weighed, ...]:
    """Return what the figures, answers and tests weigh for a cause, what weighs most first."""
    found = [
        Weighed(
            of=each.of,
            says=each.words(recorded[each.of]),
            decibans=each.decibans(recorded[each.of]),
            value=recorded[each.of],
        )
        for each in cause.evidence
        if each.of in recorded
    ]
    found += weighed_answers(catalogue, known, cause, given)
    return tuple(sorted(found, key=lambda weighed: -abs(weighed.decibans)))
