"""Whatever is marked, answered and recorded: one safe answer of the shipped catalogue, told at any width."""

from __future__ import annotations

from functools import cache

from hypothesis import given
from hypothesis import strategies as st

from darkroom.faults.answer import Why
from darkroom.faults.catalogue import NONE_OF_THESE, Catalogue
from darkroom.faults.evidence_names import NAMES
from darkroom.faults.history import MarkedFault
from darkroom.faults.laid_out import laid_out
from darkroom.faults.weighing import Outcome, weigh
from darkroom.faults.words import home_advice, lines
from darkroom.resources import fault_catalogue


@cache
def shipped() -> Catalogue:
    """Return the shipped catalogue, whole."""
    catalogue, problems = fault_catalogue()
    assert not problems
    return catalogue


@st.composite
def marks(draw: st.DrawFn) -> tuple[MarkedFault, ...]:
    """Draw up to four marked faults, known or not, with answers to questions and outcomes of tests."""
    catalogue = shipped()
    found = []
    for name in draw(st.lists(st.sampled_from([*catalogue.faults, "gremlins"]), min_size=1, max_size=4)):
        fault = catalogue.faults.get(name)
        answers = {}
        if fault is not None:
            tests = [test.do for cause in fault.causes if (test := catalogue.causes[cause].test)]
            for question in (*(ask.question for ask in fault.asks), *tests):
                answers[question] = draw(st.sampled_from(["", "yes", "no", "shown", "absent", "Shown "]))
        causes = [None, NONE_OF_THESE, *(fault.causes if fault else ()), "own words"]
        found.append(
            MarkedFault(
                name=name,
                cause=draw(st.sampled_from(causes)),
                answers={q: a for q, a in answers.items() if a},
            )
        )
    return tuple(found)


FIGURES = st.fixed_dictionaries({}, optional={name.name: st.floats(name.low, name.high) for name in NAMES})


def outcome(
    marked: tuple[MarkedFault, ...], figures: dict[str, float], nothing_else: bool, confirmed: dict[str, int]
) -> Outcome:
    """Return what the marks and figures come to."""
    names = {mark.name for mark in marked}
    absent = [name for name in shipped().faults if name not in names] if nothing_else else []
    return weigh(shipped(), marked, absent, lambda faults: figures, confirmed)


@given(
    marks(),
    FIGURES,
    st.booleans(),
    st.dictionaries(st.sampled_from(sorted(shipped().causes)), st.integers(1, 40), max_size=3),
)
def test_any_marks_and_figures_give_one_advice_and_no_bottle_is_altered_untested(
    marked: tuple[MarkedFault, ...], figures: dict[str, float], nothing_else: bool, confirmed: dict[str, int]
) -> None:
    """There is one advice for a known fault; a change to a bottle stands on a test shown and not denied."""
    catalogue = shipped()
    found = outcome(marked, figures, nothing_else, confirmed)
    assert all(0 <= cause.chance <= 1 for cause in found.causes) and 0 <= found.none <= 1
    assert [cause.chance for cause in found.causes] == sorted(
        (cause.chance for cause in found.causes), reverse=True
    )
    assert (found.advice is None) == (not found.known)
    if found.advice is None:
        return
    assert found.advice.do.strip()
    if found.advice.cause is None:
        assert found.advice.kind == "note"
        return
    cause = catalogue.causes[found.advice.cause]
    assert set(cause.cautions) <= set(found.advice.cautions)
    if found.advice.kind == "change" and cause.alters is not None:
        assert cause.test is not None
        said = {
            answer.strip().casefold()
            for mark in marked
            for asked, answer in mark.answers.items()
            if asked == cause.test.do
        }
        assert said == {"shown"}


@given(marks(), FIGURES, st.integers(20, 120))
def test_any_answer_can_be_told_at_any_width(
    marked: tuple[MarkedFault, ...], figures: dict[str, float], columns: int
) -> None:
    """Rows fit, exactly one advice is told for a known fault, at home it is one sentence."""
    found = outcome(marked, figures, False, {})
    why = Why(
        plate="p",
        number=1,
        faults=marked,
        unknown=found.unknown,
        causes=found.causes,
        none=found.none,
        advice=found.advice,
    )
    told = lines(why, shipped())
    assert sum(line.kind == "advice" for line in told) == (1 if found.known else 0)
    assert all(len(text) <= columns for _, text in laid_out(told, columns))
    assert bool(home_advice(why, shipped())) == bool(found.known)
    assert ("not in the catalogue: gremlins" in [line.text for line in told]) == bool(found.unknown)
