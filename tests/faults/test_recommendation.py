"""The one recommendation: what is advised when, and that no bottle is altered without its test."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom.faults.answer import Advice, Likely
from darkroom.faults.answered import given_in
from darkroom.faults.catalogue import Ask, Evidence
from darkroom.faults.catalogue import Test as Trial
from darkroom.faults.history import MarkedFault
from darkroom.faults.recommendation import CHANGE_NOTHING, recommend
from tests.kit.small_faults import catalogue, cause, fault

LITMUS = Trial(do="Dip blue litmus in the bath.", shown=9, absent=-9)
DEVELOPER = Evidence(of="developer over usual", points=((0.0, -5.0), (7.0, 9.0)), says="{value}")
TIME = Evidence(of="developed share", points=((70.0, -6.0), (200.0, 8.0)), says="{value}")
AIR = Evidence(of="humidity", points=((20.0, -2.0), (90.0, 3.0)), says="{value}")
FOG = catalogue(
    [
        cause("warm", 0.06, evidence=(DEVELOPER, TIME), cost=1),
        cause(
            "alkaline bath",
            0.04,
            evidence=(AIR,),
            test=LITMUS,
            alters="bath",
            cost=2,
            cautions=("Nitric acid burns: goggles.",),
        ),
        cause("light", 0.04, cost=2, test=Trial(do="Develop a plate never exposed.", shown=8, absent=-8)),
    ],
    [
        fault(
            "fog",
            0.01,
            {"warm": 0.4, "alkaline bath": 0.5, "light": 0.7},
            asks=(
                Ask(question="Under the edge too?", answers={"yes": {"light": -8.0}, "no": {"light": 5.0}}),
            ),
            cautions=("The developer stains.",),
        )
    ],
)


def likely(**chances: float) -> list[Likely]:
    """Return causes with these chances, likeliest first, all of whose evidence is recorded."""
    names = {"alkaline": "alkaline bath"}
    return [
        Likely(cause=names.get(name, name), label=name, chance=chance)
        for name, chance in sorted(chances.items(), key=lambda item: -item[1])
    ]


def advised(causes: list[Likely], answers: dict[str, str] | None = None, *confirmed: str) -> Advice:
    """Return the advice for fog with these causes and answers."""
    marks = [MarkedFault(name="fog", answers=answers or {})]
    return recommend(FOG, ("fog",), causes, given_in(marks), confirmed)


def test_the_likeliest_cause_is_changed_and_its_cautions_are_said() -> None:
    """At 65 % the warm developer's remedy is advised, with what the fault warns of."""
    assert advised(likely(warm=0.65, alkaline=0.2, light=0.1)) == Advice(
        kind="change", do="Remedy warm.", cause="warm", cautions=("The developer stains.",)
    )


def test_a_cheap_change_goes_before_a_dear_one_that_is_little_likelier() -> None:
    """Light at 52 % costs 2, warm at 50 % costs 1: 0.42 against 0.45."""
    assert advised(likely(warm=0.50, light=0.52)).cause == "warm"
    assert advised(likely(warm=0.50, light=0.56)).cause == "light"


def test_a_remedy_that_alters_a_bottle_waits_for_its_test() -> None:
    """First the test with the cautions, after "shown" the change, after "absent" never the change."""
    causes = likely(alkaline=0.7, warm=0.1)
    test = advised(causes)
    assert (test.kind, test.do) == ("test", LITMUS.do)
    assert test.cautions == ("Nitric acid burns: goggles.", "The developer stains.")
    change = advised(causes, {LITMUS.do: "shown"})
    assert (change.kind, change.do, change.cautions) == ("change", "Remedy alkaline bath.", test.cautions)
    assert advised(causes, {LITMUS.do: "absent"}).kind == "note"
    assert advised(likely(alkaline=0.7, warm=0.45), {LITMUS.do: "absent"}).cause == "warm"


def test_an_answer_counts_as_typed_by_hand_and_two_answers_count_for_none() -> None:
    """The test is known in any case and spacing; marked as shown and absent it was not made."""
    causes = likely(alkaline=0.7)
    assert advised(causes, {"dip  blue litmus in the bath.": " Shown"}).kind == "change"
    marks = [
        MarkedFault(name="fog", answers={LITMUS.do: "shown"}),
        MarkedFault(name="fog", where="edge", answers={LITMUS.do: "absent"}),
    ]
    assert recommend(FOG, ("fog",), causes, given_in(marks)).kind == "test"
    assert advised(causes, {LITMUS.do: "perhaps"}).kind == "test"


@pytest.mark.parametrize(("chance", "kind"), [(0.41, "change"), (0.39, "note")])
def test_nothing_is_changed_for_a_cause_below_the_limit(chance: float, kind: str) -> None:
    """The limit of 0.35 holds for the chance less 0.05 for each step of cost."""
    causes = [Likely(cause="warm", label="", chance=chance, silent=("developed share",))]
    assert advised(causes).kind == kind


def test_below_the_limit_it_says_what_to_note_that_could_move_the_likeliest_most() -> None:
    """The developer's reading can weigh 9 for a cause of 30 %, the air 3 for one of 25 %."""
    causes = [
        Likely(cause="warm", label="", chance=0.30, silent=("developer over usual", "developed share")),
        Likely(cause="alkaline bath", label="", chance=0.25, silent=("humidity",)),
    ]
    assert advised(causes) == Advice(kind="note", do="Next time, read the developer's temperature.")
    pressed = [Likely(cause="warm", label="", chance=0.3, silent=("developed share",)), causes[1]]
    assert advised(pressed).do == "Next time, press at each step."


def test_an_open_question_that_could_move_more_goes_before_a_note() -> None:
    """Of light at 30 % the edge weighs 8, of the bath the air 3; at 10 % the developer's reading is more."""
    bath = Likely(cause="alkaline bath", label="", chance=0.3, silent=("humidity",))
    light = Likely(cause="light", label="", chance=0.3)
    assert advised([light, bath]).do == 'Answer in the judging form: "Under the edge too?"'
    assert advised([light, bath], {"Under the edge too?": "no"}).do == "Next time, read or type the humidity."
    warm = Likely(cause="warm", label="", chance=0.3, silent=("developer over usual",))
    unlikely = Likely(cause="light", label="", chance=0.1)
    assert advised([warm, unlikely]).do == "Next time, read the developer's temperature."


def test_with_all_recorded_it_asks_then_tries_then_waits() -> None:
    """The advice is never empty: an open question, an untried test, or the next plate unchanged."""
    causes = likely(light=0.3, warm=0.2, alkaline=0.1)
    assert advised(causes).do == 'Answer in the judging form: "Under the edge too?"'
    answers = {"Under the edge too?": "no"}
    assert advised(causes, answers) == Advice(
        kind="test", do="Develop a plate never exposed.", cause="light", cautions=("The developer stains.",)
    )
    answers["Develop a plate never exposed."] = "absent"
    assert advised(causes, answers).do == LITMUS.do
    answers[LITMUS.do] = "absent"
    assert advised(causes, answers) == Advice(kind="note", do=CHANGE_NOTHING)


def test_a_cause_that_was_confirmed_for_this_plate_is_acted_upon() -> None:
    """The photographer's word goes before the chances, but not before a bottle's own test."""
    causes = likely(warm=0.6, light=0.1, alkaline=0.05)
    assert advised(causes, None, "light").cause == "light"
    assert advised(causes, None, "alkaline bath").kind == "test"


@given(
    st.lists(st.floats(0, 1), min_size=3, max_size=3),
    st.sampled_from([None, "shown", "absent", "yes"]),
    st.sampled_from([(), ("alkaline bath",), ("warm",)]),
    st.booleans(),
)
def test_one_advice_is_always_given_and_the_bath_is_never_altered_untested(
    chances: list[float], litmus: str | None, confirmed: tuple[str, ...], silent: bool
) -> None:
    """For any chances there is one advice; the bath's remedy stands in it after its own test alone."""
    causes = sorted(
        (
            Likely(cause=name, label="", chance=chance, silent=("humidity",) if silent else ())
            for name, chance in zip(FOG.causes, chances, strict=True)
        ),
        key=lambda one: -one.chance,
    )
    advice = advised(causes, {} if litmus is None else {LITMUS.do: litmus}, *confirmed)
    assert advice.do
    if "Remedy alkaline bath." in advice.do:
        assert litmus == "shown"
    assert sum(remedy in advice.do for remedy in (one.remedy for one in FOG.causes.values())) <= 1
