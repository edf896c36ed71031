"""Which judged plates count, weigh, do not fit, disagree or are left out."""

from __future__ import annotations

import math

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from darkroom.exposure.judged import Conditions, JudgedPlate, LeftOut
from darkroom.exposure.learning import MOST_PLATES, learn
from tests.kit.judged_plates import USUAL, conditions, judged, open_ended, time, width

INF = math.inf
NEXT = conditions(day="2026-05-20", age=18.0)


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


def test_plates_of_the_day_and_of_the_batch_are_never_crowded_out() -> None:
    """Beside 300 plates of the same light, two of the day and three of the batch by other light count."""
    alike = [judged(n, day=f"2025-07-{n // 12 + 1:02}", batch="C-1") for n in range(300)]
    of_batch = [judged(n, day="2025-06-01", kind="sun", light="sun") for n in (301, 302, 303)]
    of_day = [judged(n, day=NEXT.day, batch="C-2", kind="sun", light="sun") for n in (304, 305)]
    counted = learn([*alike, *of_batch, *of_day], NEXT)
    moved = learn(
        [*alike, *(msgspec.structs.replace(each, given=24.0) for each in (*of_batch, *of_day))], NEXT
    )
    assert counted.plates == moved.plates == MOST_PLATES
    assert time(moved) > 1.1 * time(counted)


def test_a_flash_has_no_time() -> None:
    """A flash gives its light at once: no time is proposed for it, and its plates say no speed."""
    flash = Conditions(
        process="Tintype", day="2026-06-01", light="flash", kind="flash", ev=12.0, f_number=5.6
    )
    plate = JudgedPlate(plate="p1", number=1, conditions=flash, given=1.0, low=-0.25, high=0.25)
    found = learn([plate], flash)
    assert (found.seconds, found.plates) == (None, 0)
    assert [each.reason for each in found.left_out] == ["lit by flash"]
    assert "A flash gives its light at once, so there is no time." in found.assumed
