"""What a photographer's judged plates make of the next exposure: directions, widths, what is said of it."""

from __future__ import annotations

import math
import random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from darkroom.exposure.judged import JudgedPlate, LeftOut
from darkroom.exposure.learned import Learned
from darkroom.exposure.learning import MOST_PLATES, learn
from tests.kit.judged_plates import USUAL, conditions, judged, open_ended

INF = math.inf
NEXT = conditions(day="2026-05-20", age=18.0)


def width(learned: Learned) -> float:
    """Return the stops from the low bound to the high one."""
    return learned.high - learned.low


def time(learned: Learned) -> float:
    """Return the proposed seconds, which must be there."""
    assert learned.seconds is not None
    return learned.seconds


def test_without_a_judged_plate_the_priors_are_proposed_and_said() -> None:
    """No plate: about ISO 1 with the shade's offset, wide open, and it says what that is."""
    learned = learn([], conditions(age=0.0))
    assert learned.middle == pytest.approx(0.6, abs=1e-4)
    assert 4.5 < width(learned) < 6
    assert learned.plates == 0
    assert learned.weigh == learned.unfitting == learned.disagree == ()
    assert "No judged plate yet" in learned.assumed[0]


def test_seconds_are_the_formula_of_the_speed() -> None:
    """The three times are 100·N²·F / (S·2^EV) of the three speeds: at f/5.6, EV 10, ISO 0.5 it is 6.125 s."""
    wanted = conditions(ev=10.0, lost=1.17)
    learned = learn([judged(1)], wanted)
    times = (learned.seconds_high, learned.seconds, learned.seconds_low)
    speeds = (learned.speed_low, learned.speed, learned.speed_high)
    assert times == pytest.approx([6.125 * 0.5 / speed * 2**1.17 for speed in speeds])
    assert learned.low < learned.middle < learned.high


def test_the_same_plate_again_gets_the_time_it_should_have_got() -> None:
    """Six plates of one day that were right at 6 s propose about 6 s; wanting a stop more, about 12 s."""
    assert time(learn([judged(n) for n in range(6)], USUAL)) == pytest.approx(6.0, rel=0.05)
    assert time(learn([judged(n, 1.0) for n in range(6)], USUAL)) == pytest.approx(12.0, rel=0.05)


@given(
    stops=st.lists(st.sampled_from((-1.5, -0.5, 0.0, 0.5, 1.0)), min_size=1, max_size=5),
    more=st.sampled_from((0.5, 1.0, 2.0)),
)
@settings(max_examples=25, deadline=None)
def test_plates_that_wanted_more_make_the_next_longer(stops: list[float], more: float) -> None:
    """All plates wanting more moves the time the same way, by no more than that."""
    before = time(learn([judged(n, value) for n, value in enumerate(stops)], NEXT))
    after = time(learn([judged(n, value + more) for n, value in enumerate(stops)], NEXT))
    assert 0 < math.log2(after / before) <= more * 1.05


def test_words_push_only_their_own_way() -> None:
    """`more` makes the next plate longer than the priors would, `less` shorter, and `right` lies between."""
    given_time = time(learn([], USUAL))
    more = time(learn([open_ended(1, 0.25, INF, given=given_time)], USUAL))
    right = time(learn([open_ended(1, -0.25, 0.25, given=given_time)], USUAL))
    less = time(learn([open_ended(1, -INF, -0.25, given=given_time)], USUAL))
    assert less < given_time < more
    assert less < right < more


@pytest.mark.parametrize(
    ("change", "stops"),
    [({"f_number": 11.2}, 2.0), ({"lost": 1.5}, 1.5), ({"ev": 12.0}, -1.0), ({"ev": 9.5}, 1.5)],
)
def test_stop_bellows_and_light_of_the_next_plate_are_the_formula_alone(
    change: dict[str, Any], stops: float
) -> None:
    """What the camera and the light take changes the time by its stops and the speed not at all."""
    plates = [judged(n, n / 4) for n in range(3)]
    before, after = learn(plates, NEXT), learn(plates, conditions(day=NEXT.day, age=NEXT.age, **change))
    assert math.log2(time(after) / time(before)) == pytest.approx(stops, abs=1e-4)
    assert after.middle == pytest.approx(before.middle, abs=1e-5)


@pytest.mark.parametrize(
    "change",
    [
        {"lens": "rapid rectilinear"},
        {"batch": "C-5"},
        {"process": "black glass"},
        {"kind": "tungsten", "light": "tungsten"},
        {"age": None},
        {"developer": None},
        {"batch": None},
        {"lens": None},
        {"ev_from": "light"},
        {"ev_from": "sun"},
    ],
)
def test_what_is_new_or_unknown_widens_the_interval(change: dict[str, Any]) -> None:
    """Another lens, batch, process or light than that of the plates, or an unknown one, is less certain."""
    plates = [judged(n) for n in range(6)]
    known = conditions(day=NEXT.day)
    assert width(learn(plates, conditions(day=NEXT.day, **change))) > width(learn(plates, known)) + 0.005


def test_old_collodion_asks_for_more_and_no_more_beyond_its_cap() -> None:
    """At 200 days the time is longer than at 12; beyond 400 days age counts no further."""
    plates = [judged(n) for n in range(4)]
    times = [time(learn(plates, conditions(day=NEXT.day, age=age))) for age in (12.0, 200.0, 400.0, 900.0)]
    assert times[0] < times[1] < times[2] == times[3]


def test_plates_narrow_the_interval() -> None:
    """One plate narrows the priors, nine more of three days narrow it to under two stops."""
    plates = [judged(n, (n % 3 - 1) / 2, day=f"2026-05-{n % 3 + 1:02}") for n in range(10)]
    widths = [width(learn(plates[:count], NEXT)) for count in (0, 1, 10)]
    assert widths[0] > widths[1] + 1 > widths[2] + 1
    assert widths[2] < 2


def test_the_order_of_the_plates_does_not_matter() -> None:
    """The same plates in another order give the same proposal and name the same plates."""
    plates = [judged(n, (n % 4) / 2, day=f"2026-05-{n // 3 + 1:02}") for n in range(9)] + [judged(9, 3.0)]
    shuffled = random.Random(3).sample(plates, len(plates))
    assert learn(shuffled, NEXT) == learn(plates, NEXT)


def test_a_slip_is_named_with_what_it_would_have_wanted() -> None:
    """A plate two and a half stops off eleven steady ones is the one that does not fit, and moves little."""
    steady = [judged(n, day=f"2026-05-{n // 3 + 1:02}") for n in range(11)]
    slip = judged(11, 2.5, day="2026-05-02")
    learned = learn([*steady, slip], NEXT)
    (found,) = learned.unfitting
    assert found.plate == "plate-11"
    assert (found.said_low, found.said_high) == (2.25, 2.75)
    assert found.expected == pytest.approx(0.0, abs=0.3)
    assert found.chance > 0.5
    assert abs(math.log2(time(learned) / time(learn(steady, NEXT)))) < 0.2
    assert "plate-11" not in {each.plate for each in learned.weigh}


def test_two_plates_of_a_day_three_stops_apart_disagree() -> None:
    """Two plates alike, one right at 6 s and one at 48 s, are named as a pair with their three stops."""
    learned = learn([judged(1), judged(2, 3.0)], USUAL)
    (pair,) = learned.disagree
    assert pair.numbers == (1, 2)
    assert pair.stops == pytest.approx(3.0)


def test_what_was_different_between_two_plates_is_no_disagreement() -> None:
    """More time under tungsten at the same reading, another day, and half a stop of scatter are in order."""
    tungsten = judged(2, 2.5, kind="tungsten", light="tungsten")
    assert learn([judged(1), tungsten], USUAL).disagree == ()
    assert learn([judged(n, (n % 2) / 2) for n in range(6)], USUAL).disagree == ()
    assert learn([judged(1), judged(2, 3.0, day="2026-05-15")], USUAL).disagree == ()


def test_contradictions_widen_what_agreement_narrows() -> None:
    """Four plates of a day two stops apart leave the next one less certain than four that agree."""
    agreeing = learn([judged(n) for n in range(4)], USUAL)
    torn = learn([judged(n, 2.0 * (n % 2)) for n in range(4)], USUAL)
    assert width(torn) > width(agreeing) + 0.5


def test_the_plates_most_alike_weigh_most() -> None:
    """Of plates of two lenses, days and batches, the two of the next plate's own day are named, as shares."""
    far = [judged(n, day=f"2026-03-{n + 1:02}", batch="C-1", lens="meniscus", age=60.0) for n in range(4)]
    near = [judged(n, day=NEXT.day) for n in (7, 8)]
    learned = learn([*far, *near], NEXT)
    assert {each.plate for each in learned.weigh} == {"plate-7", "plate-8"}
    assert all(0.1 < each.weight < 0.6 for each in learned.weigh)


def test_a_weight_is_what_the_proposal_moves_by() -> None:
    """Moving a plate's judgement by a little moves the middle by about its weight of that."""
    plates = [judged(n, (n % 3) / 4, day=f"2026-05-{n // 2 + 1:02}") for n in range(5)]
    learned = learn(plates, NEXT)
    heaviest = learned.weigh[0]
    moved = [
        judged(n, (n % 3) / 4 + 0.05 * (n == heaviest.number), day=f"2026-05-{n // 2 + 1:02}")
        for n in range(5)
    ]
    assert (learned.middle - learn(moved, NEXT).middle) / 0.05 == pytest.approx(heaviest.weight, rel=0.35)


def test_plates_of_another_process_stand_in_and_it_says_so() -> None:
    """Without a plate of the process the others shift and narrow the proposal, and a sentence names that."""
    others = [judged(n, 1.0, given=20.0, process="black glass", day=f"2026-05-{n + 1:02}") for n in range(6)]
    learned = learn(others, NEXT)
    none = learn([], NEXT)
    assert time(learned) > time(none)
    assert width(learned) < width(none)
    assert any("those of other processes" in said for said in learned.assumed)


def test_a_window_without_a_meter_learns_by_itself() -> None:
    """A named light without EV starts from its kind's usual EV, and six plates of it narrow the time."""
    window = {"light": "north window", "kind": "window", "ev": None, "ev_from": None}
    wanted = conditions(day=NEXT.day, **window)
    none = learn([], wanted)
    assert time(none) == pytest.approx(
        time(learn([], conditions(day=NEXT.day, kind="window", ev=9.0))), rel=1e-3
    )
    assert any("taken as EV 9" in said for said in none.assumed)
    learned = learn([judged(n, given=12.0, day=f"2026-05-{n + 1:02}", **window) for n in range(6)], wanted)
    assert time(learned) == pytest.approx(12.0, rel=0.15)
    assert any("learned from 6 plates" in said for said in learned.assumed)
    assert learned.seconds_low is not None and learned.seconds_high is not None
    assert math.log2(learned.seconds_high / learned.seconds_low) < 2
    other = learn([judged(n, given=12.0, day=f"2026-05-{n + 1:02}", **window) for n in range(6)], NEXT)
    assert width(other) > math.log2(learned.seconds_high / learned.seconds_low) + 1


@pytest.mark.parametrize(
    ("mine", "another"),
    [
        ({"light": "north window"}, {"light": "attic window"}),
        ({"light": "window", "place": "home"}, {"light": "window", "place": "mill"}),
    ],
)
def test_the_usual_ev_of_a_light_that_returns_is_corrected_by_its_plates(
    mine: dict[str, Any], another: dict[str, Any]
) -> None:
    """Plates at one window, reckoned with its usual EV, tell more of that window than of another."""
    window = {"kind": "window", "ev": 9.0, "ev_from": "light"}
    plates = [judged(n, 1.5, given=12.0, day=f"2026-05-{n + 1:02}", **mine, **window) for n in range(8)]
    same = learn(plates, conditions(day=NEXT.day, **mine, **window))
    other = learn(plates, conditions(day=NEXT.day, **another, **window))
    assert width(same) < width(other) - 0.3
    assert time(same) > time(other)


def test_the_usual_value_is_taken_where_the_ev_is_from_the_light() -> None:
    """An EV that is from the light and not told is the kind's usual one."""
    told = learn([judged(1)], conditions(kind="window", light="window", ev=9.0, ev_from="light"))
    assert learn([judged(1)], conditions(kind="window", light="window", ev=None, ev_from="light")) == told


@pytest.mark.parametrize("light", ["skylight of the barn", None])
def test_a_light_of_unknown_kind_still_gives_an_answer(light: str | None) -> None:
    """Metered light of no known kind counts as daylight; without EV and name there is a speed and no time."""
    metered = learn([judged(1)], conditions(light=light, kind=None))
    assert metered.seconds is not None
    assert any("taken as daylight" in said for said in metered.assumed)
    dark = learn([judged(1)], conditions(light=light, kind=None, ev=None))
    assert (dark.seconds is None) == (light is None)
    assert math.isfinite(dark.middle)


def test_without_an_f_number_there_is_a_speed_and_no_time() -> None:
    """A plate to come whose f-number is not known has no seconds, and a sentence says why."""
    learned = learn([judged(1)], conditions(f_number=None))
    assert (learned.seconds_low, learned.seconds, learned.seconds_high) == (None, None, None)
    assert any("f-number is not known" in said for said in learned.assumed)


@pytest.mark.parametrize(
    ("plate", "reason"),
    [
        (judged(1, f_number=None), "its f-number is not known"),
        (judged(1, f_number=0.0), "its f-number is not known"),
        (judged(1, f_number=math.nan), "its f-number is not known"),
        (judged(1, lost=INF), "its f-number is not known"),
        (judged(1, given=0.0), "its exposure is not known"),
        (judged(1, given=math.nan), "its exposure is not known"),
        (judged(1, math.nan), "its judgement is no interval"),
        (judged(1, half=-1.0), "its judgement is no interval"),
        (judged(1, INF), "its judgement is no interval"),
        (open_ended(1, -INF, INF), "its judgement is open to both sides"),
        (judged(1, ev=None, light=None, kind=None), "its light is not known"),
        (judged(1, ev=math.nan, light=None, kind=None), "its light is not known"),
    ],
)
def test_a_plate_that_says_no_speed_is_left_out_with_its_reason(plate: JudgedPlate, reason: str) -> None:
    """What cannot be reckoned is left out, named, and changes nothing of the others."""
    learned = learn([plate, judged(2)], NEXT)
    assert learned.left_out == (LeftOut(plate="plate-1", number=1, reason=reason),)
    assert learned.plates == 1
    assert learned.middle == learn([judged(2)], NEXT).middle


def test_a_judgement_of_one_exact_value_is_taken_as_a_narrow_one() -> None:
    """Bounds that are one number do not break the sums."""
    assert learn([judged(1, half=0.0)], USUAL).middle == pytest.approx(
        learn([judged(1, half=0.05)], USUAL).middle, abs=0.01
    )


@given(
    st.lists(
        st.builds(
            judged,
            st.integers(0, 99),
            st.floats(-30, 30),
            st.floats(1e-4, 1e6),
            st.floats(0, 5),
            day=st.sampled_from(("", "2026-05-01", "2026-05-02")),
            ev=st.one_of(st.none(), st.floats(-20, 30)),
            ev_from=st.sampled_from((None, "meter", "light", "sun", "else")),
            kind=st.sampled_from((None, "sun", "window", "flash", "moon")),
            light=st.sampled_from((None, "", "window", "Barn")),
            age=st.one_of(st.none(), st.floats(-1e6, 1e6)),
            developer=st.one_of(st.none(), st.floats(-100, 200)),
            lens=st.sampled_from((None, "petzval")),
        ),
        max_size=8,
    )
)
@settings(max_examples=60, deadline=None)
def test_no_plates_however_odd_break_learning(plates: list[JudgedPlate]) -> None:
    """Slips of any size give bounds in order, finite speeds, and every plate counted or left out."""
    learned = learn(plates, NEXT)
    assert -INF < learned.low < learned.middle < learned.high < INF
    assert learned.plates + len(learned.left_out) == len(plates)


def test_of_very_many_plates_the_most_telling_are_used() -> None:
    """Of 400 plates 200 are used: all of the own process, although those of another are newer."""
    own = [judged(n, day=f"2025-06-{n // 4 + 1:02}") for n in range(100)]
    other = [judged(n, 2.0, process="black glass", day=f"2026-04-{n // 12 + 1:02}") for n in range(100, 400)]
    learned = learn([*own, *other], NEXT)
    assert learned.plates == MOST_PLATES
    assert time(learned) == pytest.approx(time(learn(own, NEXT)), rel=0.1)
