"""Sensors of the kernel's industrial I/O, by the device's name or by a path.

After the kernel's Documentation/ABI/testing/sysfs-bus-iio: `in_temp_input` in thousandths of a degree
Celsius, `in_humidityrelative_input` in thousandths of a per cent; else (`…_raw` + `…_offset`) × `…_scale`
gives the same units.
"""

from __future__ import annotations

from pathlib import Path

from darkroom.devices.thermometers.sensor import SYS, SensorError, number, only_one, with_names
from darkroom.late_patterns import late_pattern

DEVICES = Path("bus/iio/devices")
_CHANNEL = late_pattern(r"in_((?:temp|humidityrelative)[a-z0-9_]*?)_(?:input|raw)")


def find(device: str, root: Path = SYS) -> Path:
    """Return the folder of the device of that name, label or number. Raises SensorError."""
    return only_one(devices(root), device, "iio device")


def devices(root: Path = SYS) -> list[tuple[Path, str]]:
    """Return (folder, name) of each device."""
    try:
        folders = sorted((root / DEVICES).glob("iio:device*"), key=lambda f: (len(f.name), f.name))
    except OSError:
        return []
    return with_names(folders)


def measured(folder: Path, channel: str) -> float:
    """Return °C or per cent of a channel, as `temp` or `humidityrelative`. Raises SensorError."""
    scaled = folder / f"in_{channel}_input"
    if scaled.exists():
        return number(scaled) / 1000
    raw = number(folder / f"in_{channel}_raw")
    offset = _shared(folder, channel, "offset", 0.0)
    return (raw + offset) * _shared(folder, channel, "scale", 1.0) / 1000


def _shared(folder: Path, channel: str, what: str, without: float) -> float:
    """A channel's own scale or offset, else the one it shares with channels of its type."""
    for name in (channel, channel.split("_", maxsplit=1)[0].rstrip("0123456789")):
        file = folder / f"in_{name}_{what}"
        if file.exists():
            return number(file)
    return without


class IioSensor:
    """A channel of an iio device, or the path of its `…_input` or `…_raw` file."""

    def __init__(
        self,
        device: str | None = None,
        channel: str | None = None,
        *,
        path: Path | None = None,
        root: Path = SYS,
        humid: bool = False,
        unit: str | None = None,
    ) -> None:
        self.device, self.path, self.root = device, path, root
        self.channel = channel or ("humidityrelative" if humid else "temp")
        # some drivers give whole per cent where the kernel's rule says thousandths
        self.factor = 1000.0 if humid and unit == "%" else 1.0

    def read(self) -> float:
        """Return °C or per cent. Raises SensorError."""
        if self.path is None:
            return self.factor * measured(find(self.device or "", self.root), self.channel)
        match = _CHANNEL.fullmatch(self.path.name)
        if match is None:
            return self.factor * number(self.path) / 1000
        if not self.path.exists():
            raise SensorError(f"{self.path} is not there", "vanished")
        return self.factor * measured(self.path.parent, match[1])


def channels(folder: Path) -> list[tuple[str, Path]]:
    """Return (channel, file) of what a device measures of temperature and humidity."""
    files: dict[str, Path] = {}
    for file in sorted(folder.glob("in_*")):  # `_input` comes before `_raw`
        match = _CHANNEL.fullmatch(file.name)
        if match:
            files.setdefault(match[1], file)
    return sorted(files.items())


def inside(folder: Path) -> bool:
    """Return whether a device measures something else, and its temperature only for its own sake."""
    others = ("in_accel", "in_anglvel", "in_magn", "in_voltage", "in_proximity", "in_illuminance")
    return any(file.name.startswith(others) for file in folder.glob("in_*"))
