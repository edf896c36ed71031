"""A /sys made of files."""

from __future__ import annotations

import queue
from pathlib import Path

from darkroom.devices.thermometers.polling import Thermometers
from darkroom.devices.thermometers.sensor import Binding
from darkroom.devices.thermometers.sensor_state import SensorReading, Trouble
from tests.kit.clocks import HandClock

GOOD = "72 01 4b 46 7f ff 0e 10 57 : crc=57 YES\n72 01 4b 46 7f ff 0e 10 57 t=23125\n"
"""23.125 °C, as printed in many descriptions of the w1_therm driver."""
DEVICE = "28-0316a2b3c4d5"


def put(path: Path, text: str) -> Path:
    """Write a file with its folders."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text)
    return path


def w1(root: Path, device: str = DEVICE, text: str = GOOD) -> Path:
    """Make a 1-wire thermometer."""
    return put(root / "bus/w1/devices" / device / "w1_slave", text)


def hwmon(root: Path, number: int, name: str, bus: str | None = "i2c", **files: str) -> Path:
    """Make a hardware-monitoring chip on a bus, with its files."""
    folder = root / f"class/hwmon/hwmon{number}"
    put(folder / "name", name + "\n")
    for file, text in files.items():
        put(folder / file, text)
    if bus is not None:
        (root / "bus" / bus).mkdir(parents=True, exist_ok=True)
        (folder / "device").mkdir()
        (folder / "device/subsystem").symlink_to(root / "bus" / bus)
    return folder


def iio(root: Path, number: int, name: str, **files: str) -> Path:
    """Make an industrial-I/O device with its files."""
    folder = root / f"bus/iio/devices/iio:device{number}"
    put(folder / "name", name + "\n")
    for file, text in files.items():
        put(folder / file, text)
    return folder


class Watched:
    """Thermometers with real threads on a clock moved by hand, and what they reported."""

    def __init__(self, *bindings: Binding, root: Path, clock: HandClock | None = None, opener=None) -> None:
        """Bind sensors under a root."""
        self.clock = clock or HandClock()
        self.heard: queue.SimpleQueue[SensorReading | Trouble] = queue.SimpleQueue()
        more = {} if opener is None else {"opener": opener}
        self.all = Thermometers(bindings, self.heard.put, self.clock, root=root, **more)
        self.polls = 0

    def __enter__(self) -> Watched:
        """Start, and wait for the first poll of each sensor."""
        self.all.start()
        self._polled()
        return self

    def __exit__(self, *_: object) -> None:
        """Stop; every thread must end."""
        assert self.all.stop(5.0)

    def _polled(self) -> None:
        self.polls += 1
        assert self.all.wait_polls(self.polls), "no poll came"

    def poll(self, seconds: float = 5.0) -> None:
        """Let time pass and wait for the poll of each sensor."""
        self.clock.move(seconds)
        self.all.nudge()
        self._polled()

    def said(self) -> list[SensorReading | Trouble]:
        """Return what was reported since the last time."""
        found = []
        while not self.heard.empty():
            found.append(self.heard.get())
        return found
