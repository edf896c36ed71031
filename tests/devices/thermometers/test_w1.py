"""1-wire thermometers, against the kernel's documentation and published data sheets."""

from __future__ import annotations

import pytest

from darkroom.devices.thermometers.sensor import SensorError
from darkroom.devices.thermometers.w1 import W1Sensor, checksum, devices, from_bytes
from tests.kit.fake_sys import DEVICE, GOOD, put, w1

DEAD = "ff ff ff ff ff ff ff ff ff : crc=c9 NO\n46 01 4b 46 7f ff 0a 10 85 t=-62\n"
"""What the driver shows of a dead bus, with the last good bytes kept below."""
SHORT = "00 00 00 00 00 00 00 00 00 : crc=00 YES\n00 00 00 00 00 00 00 00 00 t=0\n"
"""A wire held down: every bit is 0, and so is their check."""


def scratchpad(raw: int, sixth: int = 0x0C, rest: bytes = b"\x4b\x46\x7f\xff") -> str:
    """Return the two lines for a sixteenths value, with a right checksum."""
    data = raw.to_bytes(2, "little", signed=True) + rest + bytes([sixth, 0x10])
    crc = checksum(data)
    text = " ".join(f"{byte:02x}" for byte in (*data, crc))
    return f"{text} : crc={crc:02x} YES\n{text} t={raw * 1000 // 16 if raw >= 0 else -(-raw * 1000 // 16)}\n"


def test_two_lines_of_the_driver_are_read() -> None:
    """The example given with the Linux driver w1_therm reads 23.125 °C."""
    assert from_bytes(GOOD) == 23.125


@pytest.mark.parametrize(
    ("raw", "celsius"),
    [(0x07D0, 125.0), (0x0191, 25.0625), (0x00A2, 10.125), (0x0008, 0.5), (0x0000, 0.0),
     (-0x0008, -0.5), (-0x00A2, -10.125), (-0x0191, -25.0625), (-0x0370, -55.0)],
)  # fmt: skip
def test_table_of_the_data_sheet(raw: int, celsius: float) -> None:
    """The temperature/data table of the DS18B20 data sheet (Table 1; from memory) is read right."""
    assert from_bytes(scratchpad(raw)) == pytest.approx(celsius, abs=0.001)


def test_checksum_of_the_rom_code() -> None:
    """The worked example of Maxim's application note 27 (from memory): 02 1C B8 01 00 00 00 has A2."""
    assert checksum(bytes.fromhex("021cb801000000")) == 0xA2


def test_checksum_over_itself_is_nothing() -> None:
    """Bytes followed by their own check give 0, as for every cyclic check of this kind."""
    assert checksum(bytes.fromhex("72014b467fff0e1057")) == 0


@pytest.mark.parametrize(
    ("text", "kind", "phrase"),
    [
        (DEAD, "checksum", "bad checksum"),
        (GOOD.replace("YES", "NO"), "checksum", "loose wire"),
        (GOOD.replace("72 01", "73 01"), "checksum", "bad checksum"),  # YES, but the bytes say no
        (SHORT, "checksum", "short circuit"),
        (scratchpad(0x0550), "power_on", "85 °C"),
        (GOOD.replace("t=23125", "t=33125"), "checksum", "does not fit"),
        (GOOD.replace("t=23125", ""), "no_number", "t="),
        (GOOD[:20], "no_number", "two lines"),
        ("", "no_number", "it is empty"),
    ],
)
def test_what_is_not_believed(text: str, kind: str, phrase: str) -> None:
    """A wrong checksum, a short circuit, the power-on value and torn lines are refused with the reason."""
    with pytest.raises(SensorError, match=phrase) as caught:
        from_bytes(text)
    assert kind == caught.value.kind


def test_85_that_was_measured_next_to_it_is_read() -> None:
    """Only exactly 85 °C is the power-on value; a sixteenth more is a measurement."""
    assert from_bytes(scratchpad(0x0551)) == pytest.approx(85.0625, abs=0.001)


def test_sensor_by_its_device(tmp_path) -> None:
    """A device's name finds its w1_slave file under the root."""
    w1(tmp_path)
    assert W1Sensor(DEVICE, root=tmp_path).read() == 23.125


def test_temperature_file_serves_where_the_other_is_missing(tmp_path) -> None:
    """`temperature` holds thousandths of a degree (kernel documentation of w1_therm)."""
    put(tmp_path / "bus/w1/devices" / DEVICE / "temperature", "18062\n")
    assert W1Sensor(DEVICE, root=tmp_path).read() == pytest.approx(18.062)


@pytest.mark.parametrize(
    ("text", "kind"), [("85000\n", "power_on"), ("\n", "checksum"), ("warm\n", "no_number")]
)
def test_temperature_file_that_is_not_believed(tmp_path, text: str, kind: str) -> None:
    """The power-on value, nothing and no number are refused in the short file too."""
    file = put(tmp_path / "temperature", text)
    with pytest.raises(SensorError) as caught:
        W1Sensor(path=file).read()
    assert kind == caught.value.kind


def test_a_device_that_is_not_there(tmp_path) -> None:
    """An unplugged probe is said to have vanished."""
    with pytest.raises(SensorError, match="no 1-wire thermometer") as caught:
        W1Sensor(DEVICE, root=tmp_path).read()
    assert caught.value.kind == "vanished"


def test_only_thermometers_are_listed(tmp_path) -> None:
    """The bus master and chips of other families are no thermometers."""
    w1(tmp_path)
    w1(tmp_path, "10-000802b5a1f2")
    w1(tmp_path, "01-000802b5a1f2")
    (tmp_path / "bus/w1/devices/w1_bus_master1").mkdir()
    assert devices(tmp_path) == ["10-000802b5a1f2", DEVICE]
