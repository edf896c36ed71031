"""The rehearsal's liquids, against Newton's law of cooling and the statistics of their noise."""

from __future__ import annotations

import math
import statistics

import pytest

from darkroom.session.liquids import STEP, Air, Liquids, settled, time_constant

STILL = Air(tends_to=20.0, constant=3600.0, wander=0.0, humid_wander=0.0)
"""A room that stays at 20 °C."""


def test_newtons_law_of_cooling() -> None:
    """The textbook case: 100 → 60 °C in 20 °C in 10 minutes means 40 °C after 20 minutes (halved twice)."""
    constant = 600.0 / math.log(2.0)
    assert settled(100.0, 20.0, 600.0, constant) == pytest.approx(60.0)
    assert settled(100.0, 20.0, 1200.0, constant) == pytest.approx(40.0)


def test_settled_solves_the_differential_equation() -> None:
    """dT/dt = (A − T)/τ, to the accuracy of a central difference."""
    for seconds in (0.5, 30.0, 400.0, 5000.0):
        slope = (
            settled(12.0, 21.0, seconds + 1e-3, 900.0) - settled(12.0, 21.0, seconds - 1e-3, 900.0)
        ) / 2e-3
        assert slope == pytest.approx((21.0 - settled(12.0, 21.0, seconds, 900.0)) / 900.0, rel=1e-5)


def test_time_constant_of_a_tray() -> None:
    """τ = m·c/(h·S): one litre of water giving 10 W/(m²·K) through 0.1 m² has 4186 s."""
    assert time_constant(1.0, 0.1, 10.0) == pytest.approx(4186.0)


@pytest.mark.parametrize("seconds", [0.0, 7.3, 60.0, 600.0, 3605.0])
def test_liquids_in_a_steady_room_follow_the_exponential(seconds: float) -> None:
    """In a room that keeps its temperature a bath is A + (T₀ − A)·e^(−t/τ), at any instant."""
    liquids = Liquids(500.0, {"room": 20.0, "bath": 14.0, "developer": 26.0}, air=STILL)
    temperatures = liquids.at(500.0 + seconds)
    for source, begin in (("bath", 14.0), ("developer", 26.0)):
        exact = 20.0 + (begin - 20.0) * math.exp(-seconds / liquids.constants[source])
        assert temperatures[source] == pytest.approx(exact, abs=1e-9)
    assert temperatures["room"] == 20.0


def test_a_liquid_in_a_warming_room_matches_the_coupled_solution() -> None:
    """With the room itself settling exponentially the pair has a solution in closed form; the steps of
    the room (10 s held) keep within 0.01 °C of it over an hour."""
    room = Air(tends_to=24.0, constant=1800.0, wander=0.0, humid_wander=0.0)
    liquids = Liquids(0.0, {"room": 18.0, "bath": 12.0}, air=room, constants={"bath": 900.0})
    for seconds in range(0, 3601, 300):
        a, r, b = 24.0, 1.0 / 1800.0, 1.0 / 900.0
        # T = a + k·(A₀ − a)·e^(−r·t) + c·e^(−b·t), with k = b/(b − r)
        room_term = b / (b - r) * (18.0 - a)
        exact = a + room_term * math.exp(-r * seconds) + (12.0 - a - room_term) * math.exp(-b * seconds)
        assert liquids.at(float(seconds))["bath"] == pytest.approx(exact, abs=0.01)


def test_running_water_settles_at_the_mains() -> None:
    """The tap goes to the temperature of the mains, not to the room's."""
    liquids = Liquids(0.0, {"room": 20.0, "water": 20.0}, air=STILL, mains=11.0)
    assert liquids.at(3600.0)["water"] == pytest.approx(11.0, abs=0.01)


def test_the_same_seed_is_the_same_weather() -> None:
    """Two rehearsals of one seed see the same values; another seed sees others."""
    first, same, another = (Liquids(0.0, {"room": 20.0}, seed=seed) for seed in (3, 3, 4))
    times = [60.0 * n for n in range(30)]
    assert [first.at(t) for t in times] == [same.at(t) for t in times]
    assert [first.at(t)["room"] for t in times] != [another.at(t)["room"] for t in times]


def test_what_is_seen_does_not_depend_on_when_one_looked() -> None:
    """Looking often, once, or back in time gives the same values."""
    often, once = Liquids(0.0, {"room": 20.0}, seed=5), Liquids(0.0, {"room": 20.0}, seed=5)
    for n in range(400):
        often.at(n * 2.5)
    assert often.at(1000.0) == once.at(1000.0)
    assert often.at(333.0) == once.at(333.0)


def test_before_the_start_nothing_has_drifted() -> None:
    """An instant before the start shows the start."""
    liquids = Liquids(100.0, {"room": 20.0, "bath": 16.0})
    assert liquids.at(0.0)["bath"] == 16.0


def test_the_rooms_shaking_has_the_deviation_and_memory_it_names() -> None:
    """The Ornstein–Uhlenbeck steps have the stationary deviation σ and the correlation e^(−lag/memory)."""
    air = Air(tends_to=20.0, constant=3600.0, wander=0.5, memory=100.0, humid_wander=0.0)
    liquids = Liquids(0.0, {"room": 20.0}, seed=11, air=air, constants={})
    room = [liquids.at(n * STEP)["room"] - 20.0 for n in range(20_000)][100:]
    assert statistics.pstdev(room) == pytest.approx(0.5, rel=0.08)
    lag = 10
    correlation = statistics.correlation(room[:-lag], room[lag:])
    assert correlation == pytest.approx(math.exp(-lag * STEP / 100.0), abs=0.06)


def test_warmer_air_is_relatively_drier() -> None:
    """With its water kept, air at 50 % warmed from 20 to 25 °C has about 36.9 % (from the saturation
    pressures 2339 and 3170 Pa of the ASHRAE Handbook, 2017)."""
    room = Air(tends_to=25.0, constant=600.0, wander=0.0, humid_wander=0.0)
    liquids = Liquids(0.0, {"room": 20.0}, humidity=50.0, air=room)
    assert liquids.humidity(0.0) == pytest.approx(50.0)
    assert liquids.humidity(36_000.0) == pytest.approx(50.0 * 2339.0 / 3170.0, abs=0.5)


def test_humidity_stays_within_what_air_can_hold() -> None:
    """However the air wanders, a hygrometer shows between 8 and 97 %."""
    air = Air(tends_to=20.0, humid_wander=60.0)
    liquids = Liquids(0.0, {"room": 20.0}, air=air, seed=2)
    humidities = [liquids.humidity(n * 60.0) for n in range(500)]
    assert min(humidities) == 8.0
    assert max(humidities) == 97.0
