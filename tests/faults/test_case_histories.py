"""Case histories: the cause that a practitioner names first is the first of the shipped catalogue.

Situations and figures are invented. Where a book gives the cause, the case's `because` names it: Schriever,
Library of Practical Photography, par. 892, 914, 915, 942, 952, 957, 958, 959, 1024; Estabrooke; Hasluck, The
Book of Photography (1905); Wilson's Photographics (1881) par. 150, and par. 177 quoting Hardwich; Archer, The
Collodion Process on Glass (1854); Hunt, Manual of Photography (1850s); Rodger (1850s); Henley's Twentieth
Century Formulas. All others are common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

import pytest

from darkroom.faults.catalogue import Catalogue, name_key
from darkroom.faults.evidence_names import BY_NAME
from darkroom.faults.weighing import Outcome, weigh
from darkroom.resources import fault_catalogue
from tests.kit.case_histories import CaseHistory, read_case_histories

CASES = read_case_histories()
CATALOGUE, _ = fault_catalogue(Path("no folder"))


def outcome(case: CaseHistory, figures: Mapping[str, float]) -> Outcome:
    """Return what the shipped catalogue makes of a case with these figures."""
    marked = {fault.name for fault in case.faults}
    absent = [fault for fault in CATALOGUE.faults if fault not in marked] if case.nothing_else else []
    return weigh(CATALOGUE, case.faults, absent, lambda _: figures, {})


def questions_of(catalogue: Catalogue) -> set[str]:
    """Return all questions and tests of a catalogue, as answers are compared."""
    asked = {name_key(ask.question) for fault in catalogue.faults.values() for ask in fault.asks}
    tried = {name_key(cause.test.do) for cause in catalogue.causes.values() if cause.test is not None}
    return asked | tried


@pytest.mark.parametrize("title", CASES)
def test_named_cause_is_first(title: str) -> None:
    """The cause that a practitioner names first is the likeliest; one named beside it is among three."""
    case = CASES[title]
    found = [cause.cause for cause in outcome(case, case.figures).causes]
    assert case.first == found[0]
    assert case.also is None or case.also in found[:3]


@pytest.mark.parametrize("title", CASES)
def test_case_is_well_formed(title: str) -> None:
    """A case has faults, answers and figures that there are, and says what is not recorded."""
    case = CASES[title]
    assert {fault.name for fault in case.faults} <= CATALOGUE.faults.keys()
    assert {name_key(question) for fault in case.faults for question in fault.answers} <= questions_of(
        CATALOGUE
    )
    assert case.figures.keys() | set(case.not_recorded) <= BY_NAME.keys()
    assert not case.figures.keys() & set(case.not_recorded)
    assert all(BY_NAME[name].low <= value <= BY_NAME[name].high for name, value in case.figures.items())


def test_cases_are_many_and_of_many_kinds() -> None:
    """There are at least 24 cases, of more than half of the faults, some with conflicts and gaps."""
    cases = CASES.values()
    assert len(cases) >= 24
    assert len({fault.name for case in cases for fault in case.faults}) > len(CATALOGUE.faults) / 2
    assert len({case.first for case in cases}) >= 20
    assert sum(len(case.faults) > 1 for case in cases) >= 3
    assert sum(case.nothing_else for case in cases) >= 3
    assert sum(len(case.figures) <= 2 for case in cases) >= 3


def test_cases_hold_conflicts() -> None:
    """In some cases the record speaks against the right cause, in many plainly for another one."""
    found = [outcome(case, case.figures).causes for case in CASES.values()]
    assert sum(any(each.decibans <= -1 for each in causes[0].evidence) for causes in found) >= 4
    rivals = [[each.decibans for cause in causes[1:] for each in cause.evidence] for causes in found]
    assert sum(max(weights, default=0) >= 3 for weights in rivals) >= 10


@pytest.mark.parametrize("title", CASES)
def test_without_figures_the_case_is_less_sure(title: str) -> None:
    """With no figure and no answer on record the named cause is less likely than with the case's own."""
    case = CASES[title]
    bare = CaseHistory(
        **{
            **{name: getattr(case, name) for name in case.__struct_fields__},
            "faults": tuple(type(fault)(name=fault.name) for fault in case.faults),
            "nothing_else": False,
        }
    )
    known = {cause.cause: cause.chance for cause in outcome(case, case.figures).causes}
    unknown = {cause.cause: cause.chance for cause in outcome(bare, {}).causes}
    if case.figures:
        assert unknown[case.first] < known[case.first]


def test_reasons_are_sentences() -> None:
    """Each case says in a sentence why its cause is named first."""
    assert all(re.fullmatch(r"[A-Z].{20,}[.)]", case.because) for case in CASES.values())
