"""The shipped catalogue of faults: whole, reachable, never settled by one thing alone."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest

from darkroom.faults.catalogue import Cause, Fault
from darkroom.faults.engine import posterior
from darkroom.faults.evidence_names import BY_NAME
from darkroom.resources import fault_catalogue

CATALOGUE, PROBLEMS = fault_catalogue(Path("no folder"))
SETTLED = 0.9

TRADE = {
    "general fog",
    "fog of a new bath",
    "fog of over-development",
    "organic fog",
    "pinholes",
    "dust specks and comets",
    "oyster-shell markings",
    "streaks at the top",
    "developer streaks",
    "greasy lines",
    "curtain marks",
    "perpendicular lines",
    "line across the plate",
    "bath flow band",
    "scum on the film",
    "circular marks",
    "scum from the holder",
    "film leaves the plate",
    "uneven thickness",
    "ridges or crape lines",
    "repelled patches",
    "lack of contrast",
    "thin weak image",
    "harsh image",
    "flat positive",
    "yellow or brown stain",
    "crystals on the dry plate",
    "iridescent veil",
    "developer specks",
    "developer repels",
    "image torn by water",
    "insensitive plate",
    "varnish ridges",
    "varnish lifts the film",
    "finger marks",
}


def weighed(figures: Mapping[str, float], causes: Mapping[str, float] | None = None) -> dict[str, float]:
    """Return {cause: decibans} of figures, and of what is given besides."""
    found = {
        name: sum(each.decibans(figures[each.of]) for each in cause.evidence if each.of in figures)
        for name, cause in CATALOGUE.causes.items()
    }
    for name, decibans in (causes or {}).items():
        found[name] += decibans
    return found


def chances(fault: str, decibans: Mapping[str, float]) -> dict[str, float]:
    """Return {cause: chance} of a plate with one fault."""
    return posterior(CATALOGUE, [fault], [], decibans)[0]


def single_facts(fault: Fault) -> Iterator[tuple[str, dict[str, float]]]:
    """Yield everything that can be known alone: a figure's value, an answer, a test's outcome."""
    for name in fault.causes:
        cause = CATALOGUE.causes[name]
        for evidence in cause.evidence:
            for value, _ in evidence.points:
                yield f"{evidence.of} {value:g}", weighed({evidence.of: value})
        if cause.test is not None:
            yield cause.test.do, {name: float(cause.test.shown)}
    for ask in fault.asks:
        for answer, causes in ask.answers.items():
            yield f"{ask.question} {answer}", dict(causes)


def most_for(cause: Cause, fault: Fault) -> dict[str, float]:
    """Return the decibans of a record that speaks as much for a cause as it can."""
    figures = {
        evidence.of: max(evidence.points, key=lambda point: point[1])[0] for evidence in cause.evidence
    }
    answered = [max(ask.answers.values(), key=lambda causes: causes.get(cause.id, 0.0)) for ask in fault.asks]
    given: dict[str, float] = {}
    for causes in answered:
        for name, decibans in causes.items():
            given[name] = given.get(name, 0.0) + decibans
    if cause.test is not None:
        given[cause.id] = given.get(cause.id, 0.0) + cause.test.shown
    return weighed(figures, given)


def test_files_hold_no_mistake() -> None:
    """The shipped files are read without a problem."""
    assert PROBLEMS == []


def test_faults_are_the_trade_s() -> None:
    """The 35 faults of the period books are all there, each with its causes."""
    assert set(CATALOGUE.faults) == TRADE
    assert all(len(fault.causes) >= 2 for fault in CATALOGUE.faults.values())


def test_every_cause_is_linked() -> None:
    """Every cause shows as some fault."""
    linked = {cause for fault in CATALOGUE.faults.values() for cause in fault.causes}
    assert set(CATALOGUE.causes) == linked


@pytest.mark.parametrize("name", CATALOGUE.causes)
def test_cause_can_be_first(name: str) -> None:
    """With its figures, answers and test all for it a cause is the first of a fault it is linked to."""
    cause = CATALOGUE.causes[name]
    firsts = []
    for fault in CATALOGUE.faults.values():
        if name in fault.causes:
            found = chances(fault.id, most_for(cause, fault))
            firsts.append(max(found, key=lambda one: found[one]) == name and found[name] > 0.5)
    assert any(firsts)


@pytest.mark.parametrize("name", CATALOGUE.causes)
def test_evidence_speaks_both_ways(name: str) -> None:
    """Within the values that a figure can have, each evidence speaks for its cause and against it."""
    for evidence in CATALOGUE.causes[name].evidence:
        believed = BY_NAME[evidence.of]
        values = [value for value, _ in evidence.points if believed.low <= value <= believed.high]
        assert min(map(evidence.decibans, values)) < 0 < max(map(evidence.decibans, values)), evidence.of


@pytest.mark.parametrize("name", CATALOGUE.faults)
def test_no_single_fact_settles(name: str) -> None:
    """No figure, answer or test alone makes a cause of a fault as good as certain."""
    fault = CATALOGUE.faults[name]
    for fact, decibans in single_facts(fault):
        assert max(chances(name, decibans).values()) < SETTLED, fact


@pytest.mark.parametrize("name", CATALOGUE.faults)
def test_a_bare_mark_leaves_the_cause_open(name: str) -> None:
    """A fault that is marked and nothing else makes no cause likelier than four in five."""
    assert max(chances(name, {}).values()) < 0.8


def test_many_plates_have_none_of_the_causes() -> None:
    """By what is usual a quarter to six in ten of all plates have no cause at work (judgement, no source)."""
    free = math.prod(1 - cause.usual for cause in CATALOGUE.causes.values())
    assert 0.25 < free < 0.6


def test_every_figure_is_used() -> None:
    """Each figure of the closed list is evidence of some cause."""
    used = {evidence.of for cause in CATALOGUE.causes.values() for evidence in cause.evidence}
    assert set(BY_NAME) == used


def test_questions_tell_causes_apart() -> None:
    """A fault asks at most two questions, each of causes that it is linked to."""
    for fault in CATALOGUE.faults.values():
        assert len(fault.asks) <= 2
        for ask in fault.asks:
            named = {cause for causes in ask.answers.values() for cause in causes}
            assert named <= set(fault.causes), ask.question
            for causes in ask.answers.values():
                assert causes, ask.question
