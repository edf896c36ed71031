"""Sensors of hwmon and iio, against the kernel's documentation of their files."""

from __future__ import annotations

import pytest

from darkroom.devices.thermometers.hwmon import HwmonSensor
from darkroom.devices.thermometers.iio import IioSensor
from darkroom.devices.thermometers.sensor import SensorError
from tests.kit.fake_sys import hwmon, iio, put


def test_hwmon_gives_thousandths(tmp_path) -> None:
    """`tempN_input` is in thousandths of a degree (Documentation/hwmon/sysfs-interface.rst)."""
    hwmon(tmp_path, 2, "lm75", temp1_input="20500\n", temp2_input="-1250\n")
    assert HwmonSensor("lm75", root=tmp_path).read() == 20.5
    assert HwmonSensor("lm75", "temp2", root=tmp_path).read() == -1.25
    assert HwmonSensor("hwmon2", root=tmp_path).read() == 20.5


def test_hwmon_humidity(tmp_path) -> None:
    """`humidityN_input` is in thousandths of a per cent (same document)."""
    hwmon(tmp_path, 0, "sht3x", temp1_input="20000", humidity1_input="48750")
    assert HwmonSensor("sht3x", root=tmp_path, humid=True).read() == 48.75


def test_hwmon_chip_keeps_its_name_when_its_number_changes(tmp_path) -> None:
    """A chip is found by its name: its folder's number may be another after each start."""
    sensor = HwmonSensor("lm75", root=tmp_path)
    folder = hwmon(tmp_path, 1, "lm75", temp1_input="20500")
    assert sensor.read() == 20.5
    folder.rename(folder.with_name("hwmon7"))
    assert sensor.read() == 20.5


def test_hwmon_fault_is_said(tmp_path) -> None:
    """`tempN_fault` 1 means a broken sensor (same document), whatever the value."""
    hwmon(tmp_path, 0, "lm75", temp1_input="20500", temp1_fault="1\n")
    with pytest.raises(SensorError, match="broken") as caught:
        HwmonSensor("lm75", root=tmp_path).read()
    assert caught.value.kind == "fault"


def test_two_chips_of_one_name_are_not_guessed_between(tmp_path) -> None:
    """Where two chips share a name the path must be given."""
    hwmon(tmp_path, 0, "lm75", temp1_input="20500")
    second = hwmon(tmp_path, 1, "lm75", temp1_input="15000")
    with pytest.raises(SensorError, match="2 hwmon chips") as caught:
        HwmonSensor("lm75", root=tmp_path).read()
    assert caught.value.kind == "ambiguous"
    assert HwmonSensor(path=second / "temp1_input").read() == 15.0


def test_iio_scaled(tmp_path) -> None:
    """`in_temp_input` is in thousandths of a degree, humidity in thousandths of a per cent
    (Documentation/ABI/testing/sysfs-bus-iio)."""
    iio(tmp_path, 0, "hdc100x", in_temp_input="24187", in_humidityrelative_input="51500")
    assert IioSensor("hdc100x", root=tmp_path).read() == 24.187
    assert IioSensor("hdc100x", root=tmp_path, humid=True).read() == 51.5


def test_iio_raw_with_offset_and_scale(tmp_path) -> None:
    """(raw + offset) × scale gives thousandths (same document). The figures are the HDC1000 data
    sheet's law T = raw/2^16 · 165 − 40 (from memory), as its driver cuts it into scale and offset."""
    raw, humid = 24_000, 32_768
    iio(
        tmp_path,
        3,
        "hdc100x",
        in_temp_raw=f"{raw}\n",
        in_temp_offset="-15887.515151\n",
        in_temp_scale="2.517700195\n",
        in_humidityrelative_raw=f"{humid}",
        in_humidityrelative_scale="1.525878906",
    )
    assert IioSensor("hdc100x", root=tmp_path).read() == pytest.approx(raw / 65536 * 165 - 40, abs=0.001)
    assert IioSensor("iio:device3", root=tmp_path, humid=True).read() == pytest.approx(50.0, abs=0.001)


def test_iio_channels_share_a_scale(tmp_path) -> None:
    """A scale without a channel number holds for every channel of the type (same document)."""
    iio(tmp_path, 0, "probes", in_temp1_raw="320", in_temp_scale="62.5", in_temp2_raw="240")
    assert IioSensor("probes", "temp1", root=tmp_path).read() == 20.0
    assert IioSensor("probes", "temp2", root=tmp_path).read() == 15.0


def test_iio_by_the_path_of_its_file(tmp_path) -> None:
    """A path to the raw file takes offset and scale beside it; a path that is gone has vanished."""
    folder = iio(tmp_path, 0, "x", in_temp_raw="320", in_temp_scale="62.5")
    assert IioSensor(path=folder / "in_temp_raw").read() == 20.0
    with pytest.raises(SensorError) as caught:
        IioSensor(path=folder / "in_temp1_raw").read()
    assert caught.value.kind == "vanished"


def test_iio_driver_that_gives_whole_per_cent(tmp_path) -> None:
    """The unit % takes a humidity in per cent as it stands: a driver shows 41.074 for 41 %."""
    iio(tmp_path, 0, "bme", in_humidityrelative_input="41.074000000")
    assert IioSensor("bme", root=tmp_path, humid=True, unit="%").read() == pytest.approx(41.074)


@pytest.mark.parametrize("text", ["", "cold", "nan", "inf", "1e999", "12 13"])
def test_no_number_is_said(tmp_path, text: str) -> None:
    """A file of the kernel without a finite number is no reading."""
    file = put(tmp_path / "temp1_input", text)
    with pytest.raises(SensorError, match="no number") as caught:
        HwmonSensor(path=file).read()
    assert caught.value.kind == "no_number"


def test_a_missing_device_is_said(tmp_path) -> None:
    """Names that no device has are said, with nothing in /sys at all."""
    with pytest.raises(SensorError, match="no hwmon chip lm75"):
        HwmonSensor("lm75", root=tmp_path).read()
    with pytest.raises(SensorError, match="no iio device hdc"):
        IioSensor("hdc", root=tmp_path).read()
