"""A fault and a cause of the catalogue in words, and as plain values. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

import msgspec

from darkroom.faults.catalogue import COSTS, Catalogue, Cause, Evidence, Fault
from darkroom.faults.evidence_names import BY_NAME, NAMES, EvidenceName
from darkroom.faults.weight_words import how_often, percent, strength
from darkroom.process.text.plain_text import plain
from darkroom.process.uses import role_text

BEWARE = "beware"
Line = tuple[int, str, str]
"""(depth, what it is, text)."""


def as_plain(fault: Fault, catalogue: Catalogue) -> dict[str, Any]:
    """Return a fault as JSON has it: as its file says, and whether it is the photographer's own."""
    return {**msgspec.to_builtins(fault), "own": fault.id in catalogue.own}


def cause_as_plain(cause: Cause, catalogue: Catalogue) -> dict[str, Any]:
    """Return a cause as JSON has it: as its file says, and whether it is the photographer's own."""
    return {**msgspec.to_builtins(cause), "own": cause.id in catalogue.own}


def fault_lines(
    fault: Fault, catalogue: Catalogue, confirmed: Mapping[str, int] | None = None, plates: int = 0
) -> list[Line]:
    """Return a fault with its causes, the one that shows so most often first, and the figures of all.

    `confirmed` are {cause id: plates on which the photographer confirmed it}, of `plates` with such a word.
    """
    lines: list[Line] = [(0, "", _titled(fault, catalogue)), (1, "looks", fault.looks)]
    if fault.where:
        lines.append((1, "where", ", ".join(fault.where)))
    if fault.words:
        lines.append((1, "also called", ", ".join(fault.words)))
    lines += [(1, BEWARE, caution) for caution in fault.cautions]
    lines += [(1, "source", _source(fault)), (0, "", ""), (0, "", "What it comes from")]
    for cause_id, link in sorted(fault.causes.items(), key=lambda linked: -linked[1]):
        cause = catalogue.causes[cause_id]
        lines += [
            (1, "", _titled(cause, catalogue)),
            (2, "shows", f"{how_often(link)} like this ({percent(link)})"),
        ]
        lines += _cause_body(cause, (confirmed or {}).get(cause_id, 0), plates)
    lines.append((1, "", f"none of these: {percent(fault.unexplained)} of plates"))
    for ask in fault.asks:
        lines += [(0, "", ""), (0, "", ask.question)]
        lines += [(1, answer, _weighs(weights, catalogue)) for answer, weights in ask.answers.items()]
    return [*lines, *_figure_lines(catalogue.causes[cause] for cause in fault.causes)]


def shown_as(cause: str, catalogue: Catalogue) -> str:
    """Return as which faults a cause shows and how often, the closest link first; nothing for an unknown one.

    For a list of causes: what is to be done stands with its test and its cautions alone.
    """
    faults = [fault for fault in catalogue.faults.values() if cause in fault.causes]
    faults.sort(key=lambda fault: -fault.causes[cause])
    told = ", ".join(f"{fault.label} ({how_often(fault.causes[cause])})" for fault in faults)
    return plain(f"shows as {told}") if told else ""


def cause_lines(
    cause: Cause, catalogue: Catalogue, confirmed: Mapping[str, int] | None = None, plates: int = 0
) -> list[Line]:
    """Return a cause by itself, and the faults that it shows as; `confirmed` as in `fault_lines`."""
    shows = [
        f"{fault.label} ({how_often(fault.causes[cause.id])}, {percent(fault.causes[cause.id])})"
        for fault in catalogue.faults.values()
        if cause.id in fault.causes
    ]
    return [
        (0, "", _titled(cause, catalogue)),
        (1, "shows as", "; ".join(shows) or "no fault names it"),
        *(
            (depth - 1, what, text)
            for depth, what, text in _cause_body(cause, (confirmed or {}).get(cause.id, 0), plates)
        ),
        *_figure_lines([cause]),
    ]


def evidence_lines(names: Iterable[EvidenceName] = NAMES) -> Iterator[Line]:
    """Yield the figures that evidence can be of, each with its unit, its range and how it gets recorded."""
    for name in names:
        unit = f", {name.unit}" if name.unit else ""
        between = f"{name.low:g} to {name.high:g}"
        yield 0, "", f"{name.name}{unit}"
        yield 1, "", f"{name.what}; {between}"
        yield 1, "", f"noted: {name.noted_by}"


def _titled(entry: Fault | Cause, catalogue: Catalogue) -> str:
    own = ", your own" if entry.id in catalogue.own else ""
    return (entry.label if entry.label == entry.id else f"{entry.label} ({entry.id})") + own


def _source(entry: Fault | Cause) -> str:
    return f"{entry.source}; weights: {entry.weights}"


def _cause_body(cause: Cause, confirmed: int, plates: int) -> Iterator[Line]:
    of = f"{plates} plate{'' if plates == 1 else 's'} whose cause you named"
    own = f"; confirmed on {confirmed} of {of}" if confirmed else ""
    yield 2, "usual", f"at work on {percent(cause.usual)} of plates{own}"
    for evidence in cause.evidence:
        yield 2, "figure", f"{evidence.of}: {_at_its_ends(evidence)}"
    if cause.test is not None:
        test = cause.test
        outcome = f"shown speaks {strength(test.shown)} for it, absent {strength(test.absent)} against it"
        yield 2, "test", f"{test.do} ({COSTS[test.cost]}; {outcome})"
    after = f"; after its test alone, it alters the {role_text(cause.alters)}" if cause.alters else ""
    yield 2, "remedy", f"{cause.remedy} ({COSTS[cause.cost]}{after})"
    for caution in cause.cautions:
        yield 2, BEWARE, caution
    yield 2, "source", _source(cause)


def _at_its_ends(evidence: Evidence) -> str:
    """Return at which values a figure speaks most against the cause and most for it, and how strongly."""
    ends = (min(evidence.points, key=_weight), max(evidence.points, key=_weight))
    return ", ".join(
        f"{strength(weight)} {'for' if weight > 0 else 'against'} {_at(evidence.of, value)}"
        for value, weight in ends
    )


def _at(name: str, value: float) -> str:
    unit = BY_NAME[name].unit
    if unit:
        return f"at {value:g} {unit}"
    return "if so" if value else "if not"


def _figure_lines(causes: Iterable[Cause]) -> Iterator[Line]:
    """Yield what the figures of causes are, and how they get recorded."""
    named = {evidence.of for cause in causes for evidence in cause.evidence}
    if named:
        yield from ((0, "", ""), (0, "", "The figures, and how they get recorded"))
    noted: dict[str, list[str]] = {}
    for name in NAMES:
        if name.name in named:
            what = name.what.replace(" (1) or not (0)", "")
            yield 1, "", f"{name.name}: {what}"
            noted.setdefault(name.noted_by, []).append(name.name)
    for noted_by, names in noted.items():
        yield 1, "noted", f"{', '.join(names)}: {noted_by}"


def _weight(point: tuple[float, float]) -> float:
    return point[1]


def _weighs(weights: Any, catalogue: Catalogue) -> str:
    parts = [
        f"{strength(weight)} {'for' if weight > 0 else 'against'} {catalogue.causes[cause].label}"
        for cause, weight in sorted(weights.items(), key=lambda weighed: -abs(weighed[1]))
        if weight
    ]
    return "; ".join(parts) or "says nothing"
