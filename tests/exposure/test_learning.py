"""What judged plates make of the next exposure: its time, its width, and which way they move it."""

from __future__ import annotations

import math
import random

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from darkroom.exposure.learning import learn
from tests.kit.judged_plates import USUAL, conditions, judged, open_ended, time, width

INF = math.inf
NEXT = conditions(day="2026-05-20", age=18.0)


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


def test_plates_of_one_number_and_day_may_come_in_any_order() -> None:
    """Two benches number alike: what two plates of one number say does not depend on which comes first."""
    plates = [judged(1, stops, given=given) for stops, given in ((0.0, 6.0), (0.5, 9.0), (-1.0, 5.0))]
    plates = [msgspec.structs.replace(plate, plate=f"bench-{at}") for at, plate in enumerate(plates)]
    assert learn(plates[::-1], NEXT) == learn(plates, NEXT)
