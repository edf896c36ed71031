"""The engine against exact fractions over all sets, worked examples and what must hold of any catalogue."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom.faults.catalogue import Catalogue
from darkroom.faults.engine import MOST_CANDIDATES, posterior
from tests.kit.small_faults import brute_force, catalogue, cause, fault

TWO = catalogue(
    [cause("warm", 0.1), cause("light", 0.2)],
    [fault("fog", 0.02, {"warm": 0.8, "light": 0.5}), fault("stain", 0.02, {"light": 0.75})],
)


def test_two_causes_of_one_fault_give_what_is_worked_by_hand() -> None:
    """Fog from 10 % warm (link 0.8), 20 % light (0.5), 2 % unexplained.

    It shows from none with 0.02, from warm with 1 - 0.98*0.2 = 0.804, from light with 0.51, from both with
    0.902; times the chances of the sets: 0.0144, 0.06432, 0.0918, 0.01804, together 0.18856.
    """
    chances, none = posterior(TWO, ("fog",), (), {})
    assert chances == {
        "warm": pytest.approx((0.06432 + 0.01804) / 0.18856),
        "light": pytest.approx((0.0918 + 0.01804) / 0.18856),
    }
    assert none == pytest.approx(0.0144 / 0.18856)


def test_a_fault_that_is_known_to_be_absent_speaks_against_its_cause() -> None:
    """No stain: light (link 0.75) keeps a quarter of its odds, so its sets weigh 0.02295 and 0.00451."""
    chances, none = posterior(TWO, ("fog",), ("stain",), {})
    whole = 0.0144 + 0.06432 + 0.02295 + 0.00451
    assert chances["light"] == pytest.approx((0.02295 + 0.00451) / whole)
    assert chances["warm"] == pytest.approx((0.06432 + 0.00451) / whole)
    assert none == pytest.approx(0.0144 / whole)


@pytest.mark.parametrize(
    ("certain", "asked", "with_it", "without"),
    [
        (("cold", "flu"), "malaria", 0.988, 0.88),
        (("cold", "malaria"), "flu", 0.988, 0.94),
        (("flu", "malaria"), "cold", 0.988, 0.98),
        (("cold",), "flu", 0.88, 0.4),
        (("malaria",), "flu", 0.98, 0.9),
    ],
)
def test_the_textbook_table_of_fever_is_met(
    certain: tuple[str, ...], asked: str, with_it: float, without: float
) -> None:
    """P(fever) of Russell and Norvig's noisy-or table (Artificial Intelligence, 3rd ed., figure 14.10).

    The table is from memory: cold inhibited with 0.6, flu 0.2, malaria 0.1. With some causes certain, fever
    multiplies the odds of one more by the ratio of two of its entries.
    """
    fever = catalogue(
        [cause(name, 0.1) for name in ("cold", "flu", "malaria")],
        [fault("fever", 1e-12, {"cold": 0.4, "flu": 0.8, "malaria": 0.9})],
    )
    sure = dict.fromkeys(certain, 200.0)
    others = {name: -200.0 for name in ("cold", "flu", "malaria") if name not in (*certain, asked)}
    chance = posterior(fever, ("fever",), (), {**sure, **others})[0][asked]
    assert chance / (1 - chance) == pytest.approx(0.1 / 0.9 * with_it / without, rel=1e-6)


@pytest.mark.parametrize(("decibans", "odds"), [(0, 1), (3, 2), (6, 4), (10, 10), (20, 100), (-10, 0.1)])
def test_decibans_multiply_the_odds_by_the_known_table(decibans: float, odds: float) -> None:
    """3, 6, 10 and 20 decibans are odds of 2, 4, 10 and 100 to 1.

    Jaynes, Probability Theory (2003), table 4.1, where 3 and 6 are rounded; from memory.
    """
    even = catalogue([cause("one", 0.5)], [fault("fog", 0.05, {"one": 0.5})])
    before = posterior(even, ("fog",), (), {})[0]["one"]
    after = posterior(even, ("fog",), (), {"one": decibans})[0]["one"]
    assert (after / (1 - after)) / (before / (1 - before)) == pytest.approx(odds, rel=0.005)


USUAL = st.floats(0.005, 0.3)
LINK = st.floats(0.05, 0.95)
LEAK = st.floats(0.001, 0.05)
WEIGHT = st.floats(-24, 24)


@st.composite
def catalogues(draw: st.DrawFn, most: int = 7) -> Catalogue:
    """Draw a catalogue of some causes and two to four faults, each of which has a cause or several."""
    names = [f"c{number}" for number in range(draw(st.integers(1, most)))]
    faults = []
    for number in range(draw(st.integers(2, 4))):
        linked = draw(st.lists(st.sampled_from(names), min_size=1, unique=True))
        faults.append(fault(f"f{number}", draw(LEAK), {name: draw(LINK) for name in linked}))
    return catalogue([cause(name, draw(USUAL)) for name in names], faults)


@st.composite
def cases(draw: st.DrawFn) -> tuple[Catalogue, list[str], list[str], dict[str, float]]:
    """Draw a catalogue, marked faults, faults that were looked for in vain, and weights of causes."""
    whole = draw(catalogues())
    names = draw(st.permutations(list(whole.faults)))
    marked = draw(st.integers(1, len(names)))
    absent = draw(st.integers(marked, len(names)))
    weights = {name: draw(WEIGHT) for name in whole.causes}
    return whole, names[:marked], names[marked:absent], weights


@given(cases())
def test_the_engine_adds_up_what_exact_fractions_add_up(
    case: tuple[Catalogue, list[str], list[str], dict[str, float]],
) -> None:
    """Over all sets of at most three causes the chances are those of exact fractions."""
    whole, marked, absent, weights = case
    odds = {name: Fraction(10 ** (weight / 10)) for name, weight in weights.items()}
    expected, none = brute_force(whole, marked, absent, odds, most=3)
    chances, engine_none = posterior(whole, marked, absent, weights)
    assert list(expected) == list(chances)
    for name, chance in expected.items():
        assert chances[name] == pytest.approx(float(chance), rel=1e-9, abs=1e-12)
    assert engine_none == pytest.approx(float(none), rel=1e-9, abs=1e-12)


def test_leaving_out_sets_of_four_and_more_moves_no_chance_by_a_hundredth() -> None:
    """With ten usual causes and what a plate's record says, all 1,024 sets give the same within 0.01."""
    links = {f"c{number}": 0.15 + 0.07 * number for number in range(10)}
    whole = catalogue(
        [cause(name, 0.02 + 0.008 * place) for place, name in enumerate(links)], [fault("fog", 0.01, links)]
    )
    weights = {"c2": 9.0, "c5": -6.0, "c7": 5.0, "c9": -3.0}
    odds = {name: Fraction(10 ** (weight / 10)) for name, weight in weights.items()}
    expected, none = brute_force(whole, ["fog"], [], odds, most=10)
    chances, engine_none = posterior(whole, ("fog",), (), weights)
    assert chances == {name: pytest.approx(float(chance), abs=0.01) for name, chance in expected.items()}
    assert engine_none == pytest.approx(float(none), abs=0.01)


@given(cases())
def test_chances_are_chances_and_no_order_matters(
    case: tuple[Catalogue, list[str], list[str], dict[str, float]],
) -> None:
    """Every chance lies in 0 to 1, and the order of causes and faults moves none."""
    whole, marked, absent, weights = case
    chances, none = posterior(whole, marked, absent, weights)
    assert all(0 <= chance <= 1 for chance in (*chances.values(), none))
    assert sum(chances.values()) + none >= 1 - 1e-9
    turned = Catalogue(
        faults=dict(reversed(whole.faults.items())), causes=dict(reversed(whole.causes.items()))
    )
    again, none_again = posterior(turned, marked[::-1], absent[::-1], weights)
    assert again == {name: pytest.approx(chance, rel=1e-9, abs=1e-15) for name, chance in chances.items()}
    assert none_again == pytest.approx(none, rel=1e-9)


@given(cases(), st.floats(0.5, 12), st.data())
def test_evidence_for_a_cause_raises_its_chance(
    case: tuple[Catalogue, list[str], list[str], dict[str, float]], more: float, data: st.DataObject
) -> None:
    """More decibans for one cause raise its chance and lower that of none."""
    whole, marked, absent, weights = case
    chances, none = posterior(whole, marked, absent, weights)
    name = data.draw(st.sampled_from(list(chances)))
    after, none_after = posterior(whole, marked, absent, {**weights, name: weights[name] + more})
    assert after[name] >= chances[name]
    assert none_after <= none
    if 1e-6 < chances[name] < 1 - 1e-6:
        assert after[name] > chances[name]


@given(catalogues(most=3), st.floats(0.5, 12), st.data())
def test_what_one_cause_explains_speaks_less_for_the_others(
    whole: Catalogue, more: float, data: st.DataObject
) -> None:
    """With one fault marked, evidence for one of up to three causes never raises another."""
    one = data.draw(st.sampled_from(list(whole.faults)))
    before = posterior(whole, (one,), (), {})[0]
    name = data.draw(st.sampled_from(list(before)))
    after = posterior(whole, (one,), (), {name: more})[0]
    assert all(after[other] <= before[other] + 1e-12 for other in before if other != name)


def test_without_a_known_fault_there_is_no_cause() -> None:
    """Names that the catalogue does not hold say nothing; none of its causes is at work for all we know."""
    assert posterior(TWO, (), ("fog",), {"warm": 9}) == ({}, 1.0)
    assert posterior(TWO, ("haze",), (), {}) == ({}, 1.0)
    assert posterior(TWO, ("fog", "haze", "fog"), ("haze", "fog"), {}) == posterior(TWO, ("fog",), (), {})


def test_extreme_weights_stay_numbers() -> None:
    """Thousands of decibans and hundreds of marked faults neither overflow nor divide by nothing."""
    names = [f"c{number}" for number in range(5)]
    faults = [fault(f"f{number}", 0.001, {names[number % 5]: 0.05}) for number in range(400)]
    whole = catalogue([cause(name, 0.005) for name in names], faults)
    for weight in (-9000.0, 0.0, 9000.0):
        chances, none = posterior(whole, tuple(whole.faults), (), dict.fromkeys(names, weight))
        assert all(0 <= chance <= 1 for chance in (*chances.values(), none))


def test_of_very_many_causes_each_faults_strongest_are_weighed() -> None:
    """A catalogue of 300 causes is weighed within bounds, and the cause the record speaks for leads."""
    names = [f"c{number}" for number in range(300)]
    faults = [
        fault("fog", 0.01, dict.fromkeys(names[:290], 0.5)),
        fault("stain", 0.01, dict.fromkeys(names[280:], 0.3)),
    ]
    whole = catalogue([cause(name, 0.03) for name in names], faults)
    chances, _ = posterior(whole, ("fog", "stain"), (), {"c250": 9.0, "c299": 7.0})
    assert len(chances) == MOST_CANDIDATES
    assert sorted(chances, key=lambda name: -chances[name])[:2] == ["c250", "c299"]
