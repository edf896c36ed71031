"""From marks, answers and figures to the likeliest causes with their reasons."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from darkroom.faults.answer import Advice
from darkroom.faults.catalogue import Ask, Evidence
from darkroom.faults.catalogue import Test as Trial
from darkroom.faults.engine import posterior
from darkroom.faults.history import MarkedFault
from darkroom.faults.recommendation import FROM_ELSEWHERE
from darkroom.faults.weighing import Outcome, weigh
from tests.kit.small_faults import catalogue, cause, fault

EDGE = "Is the veil under the holder's edge too?"
COOL = Trial(do="Cool the developer for one more plate: shown if the fault goes.", shown=8, absent=-7)
DEVELOPER = Evidence(
    of="developer over usual",
    points=((-2.0, -7.0), (0.0, -5.0), (2.0, 0.0), (4.0, 5.0), (7.0, 9.0)),
    says="developer {value:+.1f} °C against your usual",
)
HOLDER = Evidence(of="holder", points=((-30.0, -4.0), (60.0, 8.0)), says="{value:+.0f} % with this holder")
PLATES = catalogue(
    [
        cause("warm", 0.06, label="developer too warm", evidence=(DEVELOPER,), test=COOL),
        cause("light", 0.04, label="stray light", evidence=(HOLDER,)),
        cause("soft glass", 0.02),
    ],
    [
        fault(
            "fog",
            0.01,
            {"warm": 0.4, "light": 0.7},
            label="general fog",
            asks=(Ask(question=EDGE, answers={"yes": {"light": -8.0, "warm": 4.0}, "no": {"light": 5.0}}),),
        ),
        fault(
            "band",
            0.01,
            {"light": 0.3},
            asks=(Ask(question=EDGE, answers={"yes": {"light": -3.0}, "no": {"light": 2.0}}),),
        ),
        fault("chips", 0.01, {"soft glass": 0.5}),
    ],
)


def weighed(
    *marks: MarkedFault,
    figures: Mapping[str, float] | None = None,
    absent: tuple[str, ...] = (),
    confirmed: Mapping[str, int] | None = None,
) -> Outcome:
    """Return what the marks and figures come to."""
    return weigh(PLATES, marks, absent, lambda faults: figures or {}, confirmed or {})


def test_figures_answers_and_tests_are_decibans_of_the_engine() -> None:
    """+6 degrees lie between 5 and 9 decibans (7.67); the answer adds 4, the test 8."""
    found = weighed(
        MarkedFault(name="fog", answers={EDGE: "yes", COOL.do: "shown"}),
        figures={"developer over usual": 6.0},
    )
    first = found.causes[0]
    assert [(each.of, pytest.approx(each.decibans)) for each in first.evidence] == [
        (COOL.do, 8.0),
        ("developer over usual", 5 + 4 * 2 / 3),
        (EDGE, 4.0),
    ]
    assert [each.says for each in first.evidence] == [
        "Cool the developer for one more plate: shown",
        "developer +6.0 °C against your usual",
        f"{EDGE} yes",
    ]
    expected, none = posterior(PLATES, ("fog",), (), {"warm": 12 + 5 + 4 * 2 / 3, "light": -8})
    assert {each.cause: each.chance for each in found.causes} == pytest.approx(expected)
    assert found.none == pytest.approx(none)


def test_what_is_not_recorded_adds_nothing_and_is_listed() -> None:
    """Without a figure the chances are those of the faults alone, and each cause says what is missing."""
    found = weighed(MarkedFault(name="fog"))
    expected, _ = posterior(PLATES, ("fog",), (), {})
    assert {each.cause: each.chance for each in found.causes} == pytest.approx(expected)
    assert {each.cause: each.silent for each in found.causes} == {
        "warm": ("developer over usual",),
        "light": ("holder",),
    }
    assert all(each.evidence == () for each in found.causes)


def test_names_are_known_by_label_in_any_case_and_others_are_listed() -> None:
    """A fault nobody knows weighs nothing; the same fault at two places counts once."""
    marks = (
        MarkedFault(name="General FOG"),
        MarkedFault(name="gremlins"),
        MarkedFault(name="fog", where="edge"),
    )
    found = weighed(*marks)
    assert (found.known, found.unknown) == (("fog",), ("gremlins",))
    assert found.causes == weighed(MarkedFault(name="fog")).causes


def test_only_a_fault_nobody_knows_has_no_cause_and_no_advice() -> None:
    """Nothing is inferred from a word that is not in the catalogue."""
    assert weighed(MarkedFault(name="gremlins")) == Outcome(unknown=("gremlins",))


def test_a_question_that_two_faults_ask_weighs_once() -> None:
    """Fog and band ask about the edge: it weighs for light as the one that gives it more, in either order."""
    marks = [MarkedFault(name="fog", answers={EDGE: "yes"}), MarkedFault(name="band")]
    found = {each.cause: each.evidence for each in weighed(*marks).causes}
    assert [each.decibans for each in found["light"]] == [-8.0]
    turned = {each.cause: each.evidence for each in weighed(*reversed(marks)).causes}
    assert [each.decibans for each in turned["light"]] == [-8.0]
    assert turned == found
    assert [each.decibans for each in turned["warm"]] == [4.0]


def test_answers_that_match_nothing_weigh_nothing() -> None:
    """An answer to a question that is no longer asked, or one that is neither yes nor no, is ignored."""
    marks = MarkedFault(name="fog", answers={"Was it a Monday?": "yes", EDGE: "not sure"})
    assert weighed(marks).causes == weighed(MarkedFault(name="fog")).causes


def test_contradictory_evidence_leaves_two_causes_open() -> None:
    """A warm developer, and a holder that fogs: both stay above 3 %."""
    found = weighed(
        MarkedFault(name="fog", answers={EDGE: "yes"}), figures={"developer over usual": 6.0, "holder": 60.0}
    )
    chances = {each.cause: each.chance for each in found.causes}
    assert chances["warm"] > chances["light"] > 0.03
    light = next(each for each in found.causes if each.cause == "light")
    assert sorted(each.decibans for each in light.evidence) == [-8.0, 8.0]


def test_each_cause_asks_the_figures_about_its_own_faults() -> None:
    """Figures about a fault are asked for the marked faults that the cause is linked to, once each."""
    asked: list[tuple[str, ...]] = []

    def figures(faults: tuple[str, ...]) -> dict[str, float]:
        asked.append(faults)
        return {"holder": 60.0 if faults == ("fog", "band") else -30.0}

    found = weigh(PLATES, (MarkedFault(name="fog"), MarkedFault(name="band")), (), figures, {})
    assert sorted(asked) == [("fog",), ("fog", "band")]
    light = next(each for each in found.causes if each.cause == "light")
    assert light.evidence[0].decibans == 8.0


def test_a_fault_that_came_from_none_of_the_causes_asks_for_no_change() -> None:
    """After "none of these" nothing is changed for that fault's causes; another fault's still are."""
    mark = MarkedFault(name="fog", cause="None of these", answers={COOL.do: "shown"})
    warm = {"developer over usual": 7.0}
    assert weighed(MarkedFault(name="fog", answers=mark.answers), figures=warm).advice == Advice(
        kind="change", do="Remedy warm.", cause="warm"
    )
    assert weighed(mark, figures=warm).advice == Advice(kind="note", do=FROM_ELSEWHERE)
    both = weighed(mark, MarkedFault(name="chips"), figures=warm)
    assert both.advice is not None
    assert both.advice.cause == "soft glass"
    assert both.causes[0].cause == "warm"


def test_confirmed_plates_move_the_chances_and_are_counted() -> None:
    """Five plates confirmed as stray light make it likelier, and the cause says how many they were."""
    before = {each.cause: each for each in weighed(MarkedFault(name="fog")).causes}
    after = {each.cause: each for each in weighed(MarkedFault(name="fog"), confirmed={"light": 5}).causes}
    assert after["light"].chance > before["light"].chance
    assert (after["light"].confirmed, after["warm"].confirmed) == (5, 0)


@pytest.mark.parametrize("plates", [None, 3])
def test_a_confirmation_does_not_move_the_chances_of_its_own_plate(plates: int | None) -> None:
    """Confirmed as light on this plate and two others: it weighs the two, and shows all three."""
    mark = MarkedFault(name="fog", cause="light")
    own = weigh(PLATES, (mark,), (), lambda _: {}, {"light": 3}, plates)
    others = weigh(PLATES, (MarkedFault(name="fog"),), (), lambda _: {}, {"light": 2}, 2)
    assert [each.chance for each in own.causes] == [each.chance for each in others.causes]
    assert {each.cause: each.confirmed for each in own.causes}["light"] == 3


def test_none_of_these_on_this_plate_does_not_count_for_itself() -> None:
    """A plate of which no cause was it is one of the plates with a word, but not for its own chances."""
    mark = MarkedFault(name="fog", cause="None of these")
    own = weigh(PLATES, (mark,), (), lambda _: {}, {"light": 1}, 2)
    others = weigh(PLATES, (MarkedFault(name="fog"),), (), lambda _: {}, {"light": 1}, 1)
    assert own.causes == others.causes


def test_nothing_else_speaks_against_the_causes_of_what_is_absent() -> None:
    """No band was seen: light, which often makes one, is less likely."""
    without = weighed(MarkedFault(name="fog"), absent=("band", "chips"))
    light = {each.cause: each.chance for each in without.causes}["light"]
    assert light < {each.cause: each.chance for each in weighed(MarkedFault(name="fog")).causes}["light"]
