"""Thermometers on the 1-wire bus, as the Linux driver w1_therm shows them.

After the kernel's Documentation/w1/slaves/w1_therm.rst and Documentation/ABI/testing/
sysfs-driver-w1_therm: `w1_slave` gives the nine bytes of the sensor with their checksum and YES or
NO, then the last good bytes with the temperature in thousandths of a degree; `temperature` gives the
thousandths alone, and an error where the checksum is wrong. 85 °C is what a sensor says that has been
switched on and has not measured.
"""

from __future__ import annotations

from pathlib import Path

from darkroom.devices.thermometers.sensor import SYS, SensorError, number, read_text, shown
from darkroom.late_patterns import late_pattern

DEVICES = Path("bus/w1/devices")
FAMILIES = ("10", "22", "28", "3b", "42")
"""The family codes of the driver's thermometers, the first two digits of a device's name."""
SIXTEENTHS = ("22", "28", "42")
"""Families whose first two bytes are the temperature in sixteenths of a degree."""
POWER_ON = 85.0
_BYTES = late_pattern(r"((?:[0-9a-f]{2} ){9}): crc=([0-9a-f]{2}) (YES|NO)\s*\n")
_THOUSANDTHS = late_pattern(r"t=(-?\d{1,7})\s*$")


def checksum(data: bytes) -> int:
    """Return the 8-bit check of 1-wire bytes: x⁸ + x⁵ + x⁴ + 1, lowest bit first."""
    crc = 0
    for byte in data:
        crc ^= byte
        for _ in range(8):
            crc = crc >> 1 ^ 0x8C if crc & 1 else crc >> 1
    return crc


def from_bytes(text: str, family: str = "28") -> float:
    """Return the °C in the text of a `w1_slave` file. Raises SensorError."""
    match = _BYTES.match(text)
    if match is None:
        raise SensorError(f"not the two lines of a 1-wire sensor: {shown(text)}", "no_number")
    data = bytes.fromhex(match[1])
    if match[3] == "NO" or checksum(data[:8]) != data[8]:
        raise SensorError("bad checksum: noise or a loose wire", "checksum")
    if not any(data):
        raise SensorError("nothing but zeros: a short circuit on the wire", "checksum")
    thousandths = _THOUSANDTHS.search(text)
    if thousandths is None:
        raise SensorError("no temperature after t=", "no_number")
    celsius = int(thousandths[1]) / 1000
    raw = int.from_bytes(data[:2], "little", signed=True) / 16
    if family in SIXTEENTHS and abs(raw - celsius) > 0.002:
        raise SensorError("the temperature does not fit the sensor's bytes", "checksum")
    return _measured(celsius)


def _measured(celsius: float) -> float:
    if celsius == POWER_ON:
        raise SensorError("85 °C, what it says after power-on: it has not measured", "power_on")
    return celsius


class W1Sensor:
    """A 1-wire thermometer, by the name of its device (`28-0316a2b3c4d5`) or the path of its file."""

    def __init__(self, device: str | None = None, *, path: Path | None = None, root: Path = SYS) -> None:
        self.device, self.path, self.root = device, path, root

    def _file(self) -> Path:
        if self.path is not None:
            return self.path
        folder = self.root / DEVICES / (self.device or "")
        both = folder / "w1_slave", folder / "temperature"
        # the file with the bytes is preferred: it lets the checksum be made again
        file = next((file for file in both if file.exists()), None)
        if file is None:
            raise SensorError(f"no 1-wire thermometer {self.device} is there", "vanished")
        return file

    def read(self) -> float:
        """Return °C; a conversion takes up to 0.75 s. Raises SensorError."""
        file = self._file()
        if file.name == "w1_slave":
            return from_bytes(read_text(file), (self.device or file.parent.name)[:2].lower())
        try:
            return _measured(number(file) / 1000)
        except SensorError as error:
            if error.kind == "no_answer" or (error.kind == "no_number" and not read_text(file).strip()):
                raise SensorError("bad checksum or no answer on the wire", "checksum") from error
            raise


def devices(root: Path = SYS) -> list[str]:
    """Return the names of the thermometers on the 1-wire bus."""
    try:
        names = sorted(entry.name for entry in (root / DEVICES).iterdir())
    except OSError:
        return []
    return [name for name in names if name[:2].lower() in FAMILIES and name[2:3] == "-"]
