"""The rehearsal's fast clock and its simulated readings."""

from __future__ import annotations

from itertools import pairwise

import pytest

from darkroom.devices.clock import Watch
from darkroom.session.liquids import Air, Liquids
from darkroom.session.rehearsal import FastClock, Rehearsal
from tests.kit.clocks import HandClock


@pytest.mark.parametrize("speed", [1.0, 5.0, 20.0, 0.5])
def test_every_clock_runs_at_the_speed_from_where_it_was(speed: float) -> None:
    """up is start + (real − start) · speed, and so are the clock without sleep and the wall's."""
    real = HandClock(5000.0, 4000.0, 1_800_000_000.0)
    fast = FastClock(real, speed)
    assert (fast.up(), fast.awake(), fast.wall()) == (5000.0, 4000.0, 1_800_000_000.0)
    real.move(30.0)
    gained = 30.0 * speed
    assert (5000.0 + gained, 4000.0 + gained) == (fast.up(), fast.awake())
    assert fast.wall() == pytest.approx(1_800_000_000.0 + gained)
    assert fast.stamp(1_800_000_001.0) == real.stamp(1_800_000_001.0)


def test_a_sound_is_due_at_the_real_instant() -> None:
    """An instant of the fast clock is given back as the machine's: 100 s ahead at 20 is 5 s ahead."""
    real = HandClock(5000.0, 4000.0, 1_800_000_000.0)
    fast = FastClock(real, 20.0)
    real.move(12.0)
    assert fast.real_up(fast.up() + 100.0) == pytest.approx(real.up() + 5.0)


def test_sleep_is_sleep_on_the_fast_clock() -> None:
    """While the machine sleeps the fast clock without sleep stands still too."""
    real = HandClock(5000.0, 4000.0, 1_800_000_000.0)
    fast = FastClock(real, 20.0)
    real.move(60.0, asleep=True)
    assert (fast.up(), fast.awake()) == (5000.0 + 1200.0, 4000.0)


def test_a_step_of_the_wall_clock_keeps_its_size() -> None:
    """Setting the machine's wall clock an hour ahead is one hour here, seen by the watch as such."""
    real = HandClock(5000.0, 4000.0, 1_800_000_000.0)
    fast = FastClock(real, 20.0)
    watch = Watch(fast, speed=20.0)
    real.move(0.3)
    real.wall_now += 3600.0
    ((kind, seconds),) = watch.look()
    assert ("stepped", pytest.approx(3600.0)) == (kind, seconds)


def test_no_step_is_seen_where_there_is_none() -> None:
    """The fast wall clock and the fast boot clock keep together, so the watch sees nothing."""
    real = HandClock(5000.0, 4000.0, 1_800_000_000.0)
    fast = FastClock(real, 20.0)
    watch = Watch(fast, speed=20.0)
    for _ in range(50):
        real.move(0.07)
        assert watch.look() == []


def test_a_screen_that_redraws_is_no_stall() -> None:
    """At 100 the watch counts in the machine's own time: 0.9 s between two looks is nothing, 1.5 s is."""
    real = HandClock(5000.0, 4000.0, 1_800_000_000.0)
    watch = Watch(FastClock(real, 100.0), speed=100.0)
    real.move(0.9)
    assert watch.look() == []
    real.move(1.5)
    ((kind, seconds),) = watch.look()
    assert (kind, seconds) == ("stalled", pytest.approx(150.0))


@pytest.mark.parametrize("speed", [0.0, -1.0, float("nan")])
def test_a_clock_does_not_stand_or_run_back(speed: float) -> None:
    """A speed that is no speed is refused."""
    with pytest.raises(ValueError, match="does not run"):
        FastClock(HandClock(5000.0, 4000.0, 1_800_000_000.0), speed)


def rehearsal(**options: object) -> tuple[Rehearsal, FastClock, HandClock]:
    """Return a rehearsal at 20 with a bath colder than its room."""
    real = HandClock(5000.0, 4000.0, 1_800_000_000.0)
    air = Air(tends_to=20.0, wander=0.0, humid_wander=0.0)
    liquids = Liquids(0.0, {"room": 20.0, "bath": 14.0}, air=air, constants={"bath": 1000.0}, **options)  # type: ignore[arg-type]
    sitting = Rehearsal(20.0, False, liquids)
    return sitting, sitting.clock(real), real


def test_first_readings_are_all_told() -> None:
    """At the start every source has its first reading, humidity among them."""
    sitting, clock, _ = rehearsal(humidity=55.0)
    assert dict(sitting.due(clock.up())) == {"room": 20.0, "bath": 14.0, "humidity": 55.0}


def test_only_what_changed_is_told() -> None:
    """At once again nothing is due; a warming bath is due in fifths of a degree, the rest each minute."""
    sitting, clock, real = rehearsal()
    sitting.due(clock.up())
    assert sitting.due(clock.up()) == []
    readings: list[tuple[float, str, float]] = []
    for _ in range(300):
        real.move(0.1)  # two seconds on the fast clock
        readings += [(clock.up(), source, value) for source, value in sitting.due(clock.up())]
    bath = [14.0] + [value for _, source, value in readings if source == "bath"]
    steps = [b - a for a, b in pairwise(bath)]
    # values come in sixteenths, so the first that is 0.2 away is 0.25 away
    assert set(steps) <= {0.25, 0.1875, 0.3125} | {step for step in steps if 0 <= step < 0.2}
    assert bath[-1] == pytest.approx(sitting.liquids.at(clock.up())["bath"], abs=0.25)
    room = [instant for instant, source, _ in readings if source == "room"]
    assert all(60.0 <= b - a <= 62.1 for a, b in pairwise(room))
    assert len(room) == 10 - 1 or len(room) == 10


def test_without_liquids_nothing_is_simulated() -> None:
    """A rehearsal without liquids has no readings of its own."""
    assert Rehearsal(20.0).due(1e6) == []
