"""Any text file with a number as a thermometer."""

from __future__ import annotations

import os

import pytest

from darkroom.devices.thermometers.sensor import SensorError
from darkroom.devices.thermometers.text_file import FileSensor, number_in
from tests.kit.clocks import HandClock
from tests.kit.fake_sys import put


@pytest.mark.parametrize(
    ("text", "celsius"),
    [
        ("21.5\n", 21.5), ("21,5", 21.5), ("21.5 C", 21.5), ("21.5°C", 21.5), ("21.5 deg C", 21.5),
        ("70.7 F\n", 21.5), ("70.7 °F", 21.5), ("32F", 0.0), ("-4 °C", -4.0), ("−4", -4.0), (".5", 0.5),
        ("19.0\n20.0\n21.5\n", 21.5), ("21.5 ℃", 21.5), ("21.5 Celsius", 21.5),
    ],
)  # fmt: skip
def test_numbers_that_programs_write(text: str, celsius: float) -> None:
    """A number counts with or without a unit; of several lines the last; 32 °F is 0 °C."""
    assert number_in(text) == pytest.approx(celsius)


def test_unit_of_the_settings_holds_where_the_file_says_none() -> None:
    """The binding's F makes 212 the boiling point, but a C in the file wins."""
    assert number_in("212", "F") == pytest.approx(100.0)
    assert number_in("21.5 C", "F") == 21.5


@pytest.mark.parametrize(
    ("text", "percent"), [("55", 55.0), ("55 %", 55.0), ("55.5 % RH", 55.5), ("48 per cent", 48.0)]
)
def test_humidity(text: str, percent: float) -> None:
    """A hygrometer's file holds per cent."""
    assert percent == number_in(text, humid=True)


@pytest.mark.parametrize(
    "text", ["", "   \n", "warm", "nan", "inf", "21.5 K", "20 21", "12:30 21.5", "21.5.1", "55 %"]
)
def test_what_is_no_temperature(text: str) -> None:
    """Texts that hold no number, several, or another unit are refused."""
    with pytest.raises(SensorError):
        number_in(text)


def test_a_temperature_is_no_humidity() -> None:
    """A unit of temperature in a hygrometer's file is refused."""
    with pytest.raises(SensorError, match="unit"):
        number_in("20 C", humid=True)


def test_control_characters_do_not_reach_the_reason() -> None:
    """What a file holds is shown without characters that a terminal obeys."""
    with pytest.raises(SensorError) as caught:
        number_in("\x1b[31mhot")
    assert "\x1b" not in str(caught.value)


def test_an_old_file_is_stale_when_first_seen(tmp_path) -> None:
    """A file whose date is an hour back is not believed at the first look."""
    clock = HandClock()
    file = put(tmp_path / "t.txt", "20")
    os.utime(file, (clock.wall() - 3600, clock.wall() - 3600))
    with pytest.raises(SensorError, match="not changed for 60 min") as caught:
        FileSensor(file, clock, stale=600).read()
    assert caught.value.kind == "stale"
    assert FileSensor(file, clock, stale=None).read() == 20.0


def test_a_file_becomes_stale_and_fresh_again(tmp_path) -> None:
    """Unchanged for longer than the limit it is stale; written again it is read, even with equal text."""
    clock = HandClock()
    file = put(tmp_path / "t.txt", "20")
    os.utime(file, (clock.wall(), clock.wall()))
    sensor = FileSensor(file, clock, stale=600)
    assert sensor.read() == 20.0
    clock.move(599)
    assert sensor.read() == 20.0
    clock.move(2)
    with pytest.raises(SensorError, match="not changed"):
        sensor.read()
    os.utime(file, (clock.wall(), clock.wall()))
    assert sensor.read() == 20.0


def test_a_step_of_the_wall_clock_makes_nothing_stale(tmp_path) -> None:
    """Once seen, a file's age is counted on the clock that nobody sets."""
    clock = HandClock()
    file = put(tmp_path / "t.txt", "20")
    os.utime(file, (clock.wall(), clock.wall()))
    sensor = FileSensor(file, clock, stale=600)
    sensor.read()
    clock.wall_now += 86400
    clock.move(5)
    assert sensor.read() == 20.0


def test_pipes_and_folders_are_not_waited_for(tmp_path) -> None:
    """A pipe without a writer and a folder are refused at once."""
    os.mkfifo(tmp_path / "pipe")
    for path in (tmp_path / "pipe", tmp_path):
        with pytest.raises(SensorError) as caught:
            FileSensor(path, HandClock()).read()
        assert caught.value.kind == "unreadable"


def test_a_long_log_is_read_from_its_end(tmp_path) -> None:
    """Of a log that grows only the last line counts, however long it is."""
    file = put(tmp_path / "t.txt", "19.0\n" * 5000 + "21.5\n")
    assert FileSensor(file, HandClock()).read() == 21.5


def test_binary_rubbish_is_no_number(tmp_path) -> None:
    """Bytes that are no text are refused, not decoded into something."""
    file = tmp_path / "t.bin"
    file.write_bytes(bytes(range(128, 256)))
    with pytest.raises(SensorError):
        FileSensor(file, HandClock()).read()
