"""Which sensors a machine has."""

from __future__ import annotations

from pathlib import Path

from darkroom.devices.thermometers.discover import discover
from darkroom.devices.thermometers.polling import open_sensor
from darkroom.devices.thermometers.sensor import Binding
from darkroom.devices.thermometers.text_file import SensorClock
from tests.kit.fake_sys import DEVICE, GOOD, hwmon, iio, w1


def machine(root: Path) -> None:
    """Make a machine with sensors of every kind."""
    w1(root)
    w1(root, "28-00000badbad0", GOOD.replace("YES", "NO"))
    hwmon(root, 0, "coretemp", "platform", temp1_input="45000", temp2_input="44000")
    hwmon(root, 1, "lm75", temp1_input="20500")
    hwmon(root, 2, "w1_slave_temp", "w1", temp1_input="23125")
    hwmon(root, 3, "jc42", temp1_input="35000")
    hwmon(root, 4, "sht3x", temp1_input="20000", humidity1_input="48000")
    hwmon(root, 5, "sht3x", temp1_input="21000", humidity1_input="49000")
    iio(root, 0, "hdc100x", in_temp_raw="320", in_temp_scale="62.5", in_humidityrelative_input="50000")
    iio(root, 1, "gyro", in_anglvel_x_raw="1", in_temp_raw="0")


def test_everything_is_found_once_with_what_it_says(tmp_path) -> None:
    """Probes, chips and devices are found once each; a bad one says why; a second face of a probe is not."""
    machine(tmp_path)
    found = discover(tmp_path)
    outside = [
        (one.binding.kind, one.binding.device, one.binding.channel, one.says)
        for one in found
        if not one.inside
    ]
    assert ("w1", DEVICE, None, "23.1 °C") in outside
    assert ("w1", "28-00000badbad0", None, "nothing: bad checksum: noise or a loose wire") in outside
    assert ("hwmon", "lm75", None, "20.5 °C") in outside
    assert ("iio", "hdc100x", None, "20.0 °C") in outside
    assert ("iio", "hdc100x", None, "50.0 %") in outside
    assert not [one for one in found if one.binding.device == "w1_slave_temp"]


def test_the_machines_own_parts_stand_last(tmp_path) -> None:
    """Sensors of processor, memory and motion are marked as inside and come after those of the room."""
    machine(tmp_path)
    found = discover(tmp_path)
    inside = [one.inside for one in found]
    assert sorted(inside) == inside
    assert {"coretemp", "jc42", "gyro"} == {one.binding.device for one in found if one.inside}


def test_two_chips_of_one_name_are_bound_by_path(tmp_path) -> None:
    """Where a name would be ambiguous the line to paste holds the path."""
    machine(tmp_path)
    pair = [one.binding for one in discover(tmp_path) if one.binding.path]
    assert [int(Path(one.path).parent.name[-1]) for one in pair] == [4, 4, 5, 5]
    assert all(one.device is None for one in pair)


def test_what_is_found_can_be_opened(tmp_path) -> None:
    """The binding of each sensor found reads the value it was found with."""
    machine(tmp_path)
    good = [one for one in discover(tmp_path) if one.value is not None]
    assert len(good) == 12
    for one in good:
        assert open_sensor(one.binding, _NoClock(), tmp_path).read() == one.value


def test_a_machine_without_sensors(tmp_path) -> None:
    """Without the kernel's folders nothing is found, and nothing is wrong."""
    assert discover(tmp_path) == []
    assert Binding("bath", "w1", device=DEVICE).called == f"w1 {DEVICE}"


class _NoClock(SensorClock):
    """No sensor of the kernel asks for the time."""
