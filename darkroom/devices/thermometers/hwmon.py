"""Sensors of the kernel's hardware monitoring, by the chip's name or by a path.

After the kernel's Documentation/hwmon/sysfs-interface.rst: `tempN_input` in thousandths of a degree
Celsius, `humidityN_input` in thousandths of a per cent, `tempN_fault` 1 where the sensor is broken. The
number of a chip's folder may change at each start of the machine; its name does not.
"""

from __future__ import annotations

import re
from pathlib import Path

from darkroom.devices.thermometers.sensor import SYS, SensorError, number, only_one, with_names

CHIPS = Path("class/hwmon")
OUTSIDE = ("i2c", "spi", "usb", "hid", "w1")
"""Buses on which sensors sit that feel the room; the others carry the machine's own parts."""
MEMORY = ("jc42", "spd5118")
"""Drivers of the sensors on memory modules, which sit on i2c too (from memory)."""
ALSO_W1 = "w1_slave_temp"
"""The name under which the 1-wire driver shows its thermometers a second time here."""


def find(device: str, root: Path = SYS) -> Path:
    """Return the folder of the chip of that name or number. Raises SensorError."""
    return only_one(chips(root), device, "hwmon chip")


def chips(root: Path = SYS) -> list[tuple[Path, str]]:
    """Return (folder, name) of each chip."""
    try:
        folders = sorted((root / CHIPS).iterdir(), key=lambda folder: (len(folder.name), folder.name))
    except OSError:
        return []
    return with_names(folders)


class HwmonSensor:
    """A channel (`temp1`, `humidity1`) of a chip, or the path of its `…_input` file."""

    def __init__(
        self,
        device: str | None = None,
        channel: str | None = None,
        *,
        path: Path | None = None,
        root: Path = SYS,
        humid: bool = False,
    ) -> None:
        self.device, self.path, self.root = device, path, root
        self.channel = channel or ("humidity1" if humid else "temp1")

    def read(self) -> float:
        """Return °C or per cent. Raises SensorError."""
        file = self.path or find(self.device or "", self.root) / f"{self.channel}_input"
        fault = file.with_name(file.name.replace("_input", "_fault"))
        if fault != file and fault.exists() and number(fault) != 0:
            raise SensorError("the chip says that its sensor is broken or not connected", "fault")
        return number(file) / 1000


def channels(folder: Path) -> list[str]:
    """Return the channels of a chip that measure temperature or humidity."""
    names = [file.name[: -len("_input")] for file in folder.glob("*_input")]
    return sorted(name for name in names if re.fullmatch(r"(temp|humidity)\d+", name))


def inside(folder: Path, name: str) -> bool:
    """Return whether a chip feels the machine's own parts, as far as its bus tells."""
    try:
        bus = (folder / "device" / "subsystem").resolve(strict=True).name
    except OSError:
        return True
    return bus not in OUTSIDE or name in MEMORY
