"""Thermometers with real threads and real files, on a clock that is moved by hand."""

from __future__ import annotations

import os
import threading

import pytest

from darkroom.devices.thermometers.polling import Thermometers
from darkroom.devices.thermometers.sensor import Binding, SensorError
from darkroom.devices.thermometers.sensor_state import SensorReading, Trouble
from tests.kit.clocks import HandClock
from tests.kit.fake_sys import DEVICE, GOOD, Watched, hwmon, iio, put, w1


def file_binding(path, source: str = "bath", **more) -> Binding:
    """Return the binding of a text file, without smoothing and at any age."""
    return Binding(source, "file", path=str(path), **{"smoothing": 0.0, "stale": None, **more})


def test_every_kind_is_polled_and_told_with_its_source(tmp_path) -> None:
    """A probe, a chip, a device, a file and a hygrometer each report under the source they are bound to."""
    w1(tmp_path)
    hwmon(tmp_path, 0, "lm75", temp1_input="20500")
    iio(tmp_path, 0, "hdc100x", in_temp_input="21500", in_humidityrelative_input="51500")
    file = put(tmp_path / "water.txt", "59 F")
    bindings = [
        Binding("bath", "w1", device=DEVICE),
        Binding("developer", "hwmon", device="lm75"),
        Binding("room", "iio", device="hdc100x"),
        file_binding(file, "water"),
        Binding("humidity", "iio", device="hdc100x"),
    ]
    with Watched(*bindings, root=tmp_path) as watched:
        found = {one.source: one.value for one in watched.said()}
    assert found == {"bath": 23.12, "developer": 20.5, "room": 21.5, "water": 15.0, "humidity": 51.5}


def test_a_file_that_drifts(tmp_path) -> None:
    """A file that warms by 0.1 °C a poll is told at every second one."""
    file = put(tmp_path / "t.txt", "18.0")
    with Watched(file_binding(file), root=tmp_path) as watched:
        for n in range(1, 9):
            file.write_text(f"{18.0 + n / 10:.1f}\n")
            watched.poll()
        assert [one.value for one in watched.said()] == [18.0, 18.2, 18.4, 18.6, 18.8]


def test_a_file_that_vanishes_and_returns(tmp_path) -> None:
    """Without its file the last good value stands with its age; when the file is back it is read again."""
    file = put(tmp_path / "t.txt", "18.0")
    with Watched(file_binding(file, name="probe"), root=tmp_path) as watched:
        watched.said()
        file.unlink()
        watched.poll()
        (gone,) = watched.said()
        assert isinstance(gone, Trouble)
        assert (
            gone.source,
            gone.name,
            gone.kind,
            gone.last_good,
            gone.age,
        ) == ("bath", "probe", "vanished", 18.0, 5.0)
        assert "is not there" in gone.why
        watched.poll()
        assert watched.said() == []
        watched.poll(60.0)
        assert [one.age for one in watched.said()] == [70.0]
        put(file, "18.1")
        watched.poll()
        assert [one.value for one in watched.said()] == [18.1]


def test_a_checksum_fails_and_the_wire_is_mended(tmp_path) -> None:
    """A wrong checksum is said with the last good value; the next right one counts."""
    wire = w1(tmp_path)
    with Watched(Binding("bath", "w1", device=DEVICE, smoothing=0.0), root=tmp_path) as watched:
        watched.said()
        wire.write_text(GOOD.replace("YES", "NO"))
        watched.poll()
        (bad,) = watched.said()
        assert (bad.kind, bad.last_good) == ("checksum", 23.12)
        assert watched.all.latest()["bath"] == bad
        wire.write_text(GOOD)
        watched.poll()
        assert [one.value for one in watched.said()] == [23.12]


def test_a_probe_pulled_off_the_wire(tmp_path) -> None:
    """The folder of a 1-wire probe goes with the probe, and comes back with it."""
    wire = w1(tmp_path)
    with Watched(Binding("bath", "w1", device=DEVICE), root=tmp_path) as watched:
        watched.said()
        hidden = wire.parent.rename(tmp_path / "away")
        watched.poll()
        assert [one.kind for one in watched.said()] == ["vanished"]
        hidden.rename(wire.parent)
        watched.poll()
        assert [one.value for one in watched.said()] == [23.12]


def test_one_bad_sensor_does_not_trouble_the_others(tmp_path) -> None:
    """While one sensor hangs in its reading another goes on, and the silence is said."""
    gate, entered = threading.Event(), threading.Event()

    class Hangs:
        def read(self) -> float:
            entered.set()
            gate.wait(10)
            return 19.0

    class Steady:
        def __init__(self) -> None:
            self.value = 20.0

        def read(self) -> float:
            self.value += 1.0
            return self.value

    clock = HandClock()
    heard: list[SensorReading | Trouble] = []
    both = Thermometers(
        [Binding("bath", "file", path="a"), Binding("room", "file", path="b", smoothing=0.0)],
        heard.append,
        clock,
        opener=lambda one, *_: Hangs() if one.source == "bath" else Steady(),
    )
    both.start()
    assert entered.wait(5)
    for n in range(1, 4):
        assert both.wait_polls(n, source="room")
        clock.move(5.0)
        both.nudge()
    both.look()
    assert [one.value for one in heard if isinstance(one, SensorReading)][:3] == [21.0, 22.0, 23.0]
    silent = [one for one in heard if isinstance(one, Trouble)]
    assert [one.why for one in silent] == ["the sensor gives no answer"]
    assert both.latest()["bath"].kind == "no_answer"
    gate.set()
    assert both.stop(5.0)


def test_stop_does_not_wait_for_a_sensor_that_hangs() -> None:
    """Leaving the tool is not held up by a reading that never comes back; stop says that one is left."""
    gate, entered = threading.Event(), threading.Event()

    class Hangs:
        def read(self) -> float:
            entered.set()
            gate.wait(10)
            raise SensorError("late", "error")

    heard: list[object] = []
    one = Thermometers(
        [Binding("bath", "file", path="a")], heard.append, HandClock(), opener=lambda *_: Hangs()
    )
    one.start()
    assert entered.wait(5)
    assert not one.stop(0.05)
    gate.set()
    assert heard == []


def test_a_driver_that_breaks_in_its_own_way_is_said(tmp_path) -> None:
    """An error that no sensor should raise is told like any trouble, and polling goes on."""

    class Breaks:
        def read(self) -> float:
            raise RuntimeError("division by cucumber")

    with Watched(Binding("bath", "file", path="a"), root=tmp_path, opener=lambda *_: Breaks()) as watched:
        watched.poll()
        assert [one.why for one in watched.said()] == ["RuntimeError: division by cucumber"]


def test_each_binding_has_its_own_rate(tmp_path) -> None:
    """A sensor bound every minute is not read each five seconds."""
    fast, slow = put(tmp_path / "a", "18"), put(tmp_path / "b", "20")
    clock = HandClock()
    watching = Thermometers(
        [file_binding(fast, "bath", every=5.0), file_binding(slow, "room", every=60.0)], lambda _: None, clock
    )
    watching.start()
    for n in range(1, 12):
        assert watching.wait_polls(n, source="bath")
        clock.move(5.0)
        watching.nudge()
    assert watching.polls("room") == 1
    clock.move(5.0)
    watching.nudge()
    assert watching.wait_polls(2)
    assert watching.stop(5.0)


def test_a_torn_write_never_shows(tmp_path) -> None:
    """A file polled when it is cut, half written and whole, in turn, never makes a wrong value."""
    file = put(tmp_path / "t.txt", "18.25\n")
    with Watched(file_binding(file), root=tmp_path) as watched:
        reports = watched.said()
        for _ in range(50):
            with open(file, "w") as out:
                watched.poll()
                reports += watched.said()
                out.write("18.")
                out.flush()
                watched.poll()
                reports += watched.said()
                out.write("25\n")
            watched.poll()
            reports += watched.said()
        assert watched.all.latest() == {"bath": reports[-1]}
    assert {report.value for report in reports if isinstance(report, SensorReading)} == {18.25}
    assert isinstance(reports[-1], SensorReading)


def test_stop_and_start_again(tmp_path) -> None:
    """Stopped thermometers report nothing more; started again they read at once."""
    file = put(tmp_path / "t.txt", "18.0")
    heard: list[SensorReading | Trouble] = []
    clock = HandClock()
    one = Thermometers([file_binding(file)], heard.append, clock)
    one.start()
    assert one.wait_polls(1)
    assert one.stop(5.0)
    file.write_text("19.0")
    clock.move(60)
    one.nudge()
    assert [reading.value for reading in heard] == [18.0]
    one.start()
    assert one.wait_polls(2)
    assert one.stop(5.0)
    assert [reading.value for reading in heard] == [18.0, 19.0]


def test_no_bindings_start_no_threads() -> None:
    """A darkroom without thermometers has no thread for them."""
    before = threading.active_count()
    none = Thermometers([], lambda _: None, HandClock())
    none.start()
    assert before == threading.active_count()
    assert none.stop()


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read every file")
def test_a_file_without_permission_is_said(tmp_path) -> None:
    """A file that may not be read is said, with the system's reason."""
    file = put(tmp_path / "t.txt", "18.0")
    file.chmod(0)
    with Watched(file_binding(file), root=tmp_path) as watched:
        assert [one.kind for one in watched.said()] == ["unreadable"]
