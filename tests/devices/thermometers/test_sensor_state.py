"""What is believed of one sensor, and what is reported of it."""

from __future__ import annotations

import pytest

from darkroom.devices.thermometers.sensor import Binding, SensorError
from darkroom.devices.thermometers.sensor_state import SensorReading, SensorState, Trouble

BATH = Binding("bath", "file", path="x", smoothing=0.0, name="probe")
AIR = Binding("humidity", "file", path="x", smoothing=0.0)


def told(
    sensor_state: SensorState, values, poll: float = 5.0, start: float = 0.0
) -> list[SensorReading | Trouble | None]:
    """Return what was said at each poll; an error stands for a failed one."""
    said = []
    for n, value in enumerate(values):
        now = start + n * poll
        said.append(
            sensor_state.failed(value, now)
            if isinstance(value, SensorError)
            else sensor_state.took(value, now)
        )
    return said


def test_first_reading_is_told_at_once() -> None:
    """The first good value goes out with its source, its name and its time."""
    assert [SensorReading("bath", 18.5, "probe", 0.0)] == told(SensorState(BATH), [18.5])


def test_only_changes_that_matter_are_told() -> None:
    """A change of 0.2 °C goes out, a smaller one waits until it has grown or a minute has passed."""
    said = told(SensorState(BATH), [18.0, 18.1, 18.19, 18.2, 18.3, 18.1])
    assert [one and one.value for one in said] == [18.0, None, None, 18.2, None, None]


def test_each_minute_is_told() -> None:
    """A steady value goes out once a minute."""
    said = told(SensorState(BATH), [18.0] * 25)
    assert [n for n, one in enumerate(said) if one] == [0, 12, 24]


def test_a_drift_is_told_in_fifths_of_a_degree() -> None:
    """One degree of slow drift goes out in five steps and the minutes between, no more."""
    said = [one for one in told(SensorState(BATH), [18.0 + n / 100 for n in range(101)]) if one]
    assert [round(18.0 + 0.12 * n, 2) for n in range(len(said))] == [one.value for one in said]


def test_humidity_is_told_in_steps_of_two() -> None:
    """Relative humidity goes out when it changed by 2 %, as per cent, not as a temperature."""
    said = told(SensorState(AIR), [50.0, 51.0, 52.0])
    assert [one and one.percent for one in said] == [50.0, None, 52.0]
    assert said[0].celsius is None


@pytest.mark.parametrize("value", [-10.1, 60.5, 85.0, 127.9375, -127.0, 21500.0, float("nan"), float("inf")])
def test_absurd_values_are_not_taken(value: float) -> None:
    """What no bath has is said, and the last good value kept with its age."""
    sensor_state = SensorState(BATH)
    said = told(sensor_state, [18.0, value])[1]
    assert isinstance(said, Trouble)
    assert (said.kind, said.last_good, said.age) == ("absurd", 18.0, 5.0)
    assert SensorReading("bath", 18.0, "probe", 0.0) == sensor_state.last


@pytest.mark.parametrize(
    ("value", "taken"), [(0.0, None), (106.0, None), (-5.0, None), (103.0, 100.0), (100.0, 100.0)]
)
def test_limits_of_humidity(value: float, taken: float | None) -> None:
    """Overshoot in saturated air is read as 100 %; none at all, or far too much, is absurd."""
    sensor_state = SensorState(AIR)
    said = sensor_state.took(value, 0.0)
    assert taken == (said.percent if isinstance(said, SensorReading) else None)


def test_a_lone_jump_is_said_and_not_taken() -> None:
    """One value far off is said; the next good one counts and is told, though it changed nothing."""
    said = told(SensorState(BATH), [18.0, 30.0, 18.0, 18.0])
    assert (said[1].kind, said[1].last_good) == ("jump", 18.0)
    assert "from 18.0 to 30.0" in said[1].why
    assert SensorReading("bath", 18.0, "probe", 10.0) == said[2]
    assert said[3] is None


def test_a_probe_that_was_moved_is_believed_at_the_third_poll() -> None:
    """Three values that agree with each other are where the probe is now."""
    said = told(SensorState(BATH), [18.0, 30.0, 29.0, 28.5])
    assert [said[2], None] == [None, None]
    assert said[3].value == 28.5


def test_values_that_jump_about_are_never_taken() -> None:
    """A sensor that says something else each time stays in trouble."""
    sensor_state = SensorState(BATH)
    told(sensor_state, [18.0, 30.0, 45.0, 30.0, 8.0, 40.0, 30.0, 55.0])
    assert sensor_state.trouble.kind == "jump"
    assert sensor_state.last.value == 18.0


def test_a_long_gap_allows_a_larger_change() -> None:
    """After ten minutes without a poll (the machine slept) eight degrees are no jump."""
    sensor_state = SensorState(BATH)
    sensor_state.took(18.0, 0.0)
    assert sensor_state.took(26.0, 600.0).value == 26.0


def test_trouble_is_said_once_a_minute_with_its_age() -> None:
    """The same trouble is not repeated at each poll; each minute it comes again, older."""
    sensor_state = SensorState(BATH)
    sensor_state.took(18.0, 0.0)
    gone = SensorError("it is not there", "vanished")
    said = [one for one in told(sensor_state, [gone] * 26, start=5.0) if one]
    assert [(one.last_good, one.age) for one in said] == [(18.0, 5.0), (18.0, 65.0), (18.0, 125.0)]


def test_another_trouble_is_said_at_once() -> None:
    """A change from one trouble to another is said when it comes."""
    crc, gone = SensorError("bad checksum", "checksum"), SensorError("it is not there", "vanished")
    said = told(SensorState(BATH), [crc, crc, gone, crc])
    assert [one.kind for one in said if one] == ["checksum", "vanished", "checksum"]


def test_a_sensor_that_never_worked_has_no_last_good() -> None:
    """Without a good reading there is neither a value nor an age."""
    said = SensorState(BATH).failed(SensorError("it is not there", "vanished"), 5.0)
    assert (said.last_good, said.age) == (None, None)


def test_recovery_is_told() -> None:
    """The first good value after a trouble goes out even when it is the old one."""
    said = told(SensorState(BATH), [18.0, SensorError("bad checksum", "checksum"), 18.05])
    assert SensorReading("bath", 18.05, "probe", 10.0) == said[2]


def test_a_smoothed_sensor_does_not_hide_a_warming_bath() -> None:
    """A bath warming by 1 °C a minute is told no more than 0.6 °C behind, with the usual smoothing."""
    sensor_state = SensorState(Binding("bath", "file", path="x"))
    last = 18.0
    for n in range(120):
        true = 18.0 + n * 5.0 / 60.0
        said = sensor_state.took(true, n * 5.0)
        last = said.value if isinstance(said, SensorReading) else last
        assert abs(last - true) <= 0.6
