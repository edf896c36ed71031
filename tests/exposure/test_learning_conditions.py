"""What stop, light, lens, collodion and process of the plates and of the next one do to the proposal."""

from __future__ import annotations

import math
from typing import Any

import pytest

from darkroom.exposure.learning import learn
from tests.kit.judged_plates import conditions, judged, time, width

INF = math.inf
NEXT = conditions(day="2026-05-20", age=18.0)


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


def test_a_developer_that_nobody_works_with_counts_as_the_nearest_one() -> None:
    """Below 0 °C and above 50 °C warmth counts no further, of plates as of the next one."""
    plates = [judged(n) for n in range(4)]
    for edge, wild in ((0.0, -40.0), (50.0, 68.0), (50.0, 1e12)):
        at_edge, beyond = conditions(developer=edge), conditions(developer=wild)
        assert learn(plates, beyond).seconds == learn(plates, at_edge).seconds
        odd = [*plates, judged(5, developer=wild)]
        assert learn(odd, NEXT) == learn([*plates, judged(5, developer=edge)], NEXT)


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
