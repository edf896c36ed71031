"""Which sensors this machine has, and the lines of the settings file that bind them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from darkroom.devices.thermometers import hwmon, iio, w1
from darkroom.devices.thermometers.sensor import HUMIDITY, SYS, Binding, Sensor, SensorError


@dataclass(frozen=True)
class Found:
    """A sensor of this machine: how it is bound, and what it says now (°C or per cent) or why nothing.

    `inside` is true where it seems to feel the machine's own parts.
    """

    binding: Binding
    value: float | None
    why: str | None
    inside: bool = False

    @property
    def says(self) -> str:
        """What it says now, in words."""
        if self.value is None:
            return f"nothing: {self.why}"
        return f"{self.value:.1f} {'%' if self.binding.humid else '°C'}"

    def lines(self, source: str = "room") -> list[str]:
        """Return the lines of the settings file that bind it, without the key they stand under."""
        binding = self.binding
        members = (
            ("kind", binding.kind),
            ("device", binding.device),
            ("path", binding.path),
            ("channel", binding.channel),
        )
        entries = [f"{key}: {value}" for key, value in members if value]
        if binding.humid:
            return [f"  {line}" for line in entries]
        return [f"  - source: {source}", *(f"    {line}" for line in entries)]


def to_paste(sensors: Sequence[Found], sources: Sequence[str]) -> str:
    """Return the part of a settings file that binds these sensors, the first to the first source.

    A machine has one hygrometer here; sensors without a source left are left out.
    """
    dry = [sensor for sensor in sensors if not sensor.binding.humid]
    humid = [sensor for sensor in sensors if sensor.binding.humid]
    lines = ["thermometers:"] if dry else []
    for sensor, source in zip(dry, sources, strict=False):
        lines += sensor.lines(source)
    if humid:
        lines += [f"{HUMIDITY}:", *humid[0].lines()]
    return "\n".join(lines)


def discover(root: Path = SYS) -> list[Found]:
    """Return the sensors this machine has, those of the room first. Each is read once."""
    sensors = [_read(binding, sensor, inside) for binding, sensor, inside in _all(root)]
    return sorted(sensors, key=lambda sensor: sensor.inside)


def _all(root: Path) -> Iterator[tuple[Binding, Sensor, bool]]:
    for device in w1.devices(root):
        yield Binding("room", "w1", device=device), w1.W1Sensor(device, root=root), False
    chips = [chip for chip in hwmon.chips(root) if chip[1] != hwmon.ALSO_W1]
    called = Counter(name for _, name in chips)
    for folder, name in chips:
        for channel in hwmon.channels(folder):
            file = folder / f"{channel}_input"
            binding = _bound("hwmon", name if called[name] == 1 else None, channel, file)
            yield binding, hwmon.HwmonSensor(path=file), hwmon.inside(folder, name)
    devices = iio.devices(root)
    called = Counter(name for _, name in devices)
    for folder, name in devices:
        for channel, file in iio.channels(folder):
            binding = _bound("iio", name if called[name] == 1 else None, channel, file)
            yield binding, iio.IioSensor(path=file), iio.inside(folder)


USUAL = ("temp1", "humidity1", "temp", "humidityrelative")
"""The channels that are meant where a binding names none."""


def _bound(kind: str, device: str | None, channel: str, file: Path) -> Binding:
    """A device is bound by its name where it is the only one of that name, else by its path."""
    source = HUMIDITY if channel.startswith("humidity") else "room"
    if device is None:
        return Binding(source, kind, path=str(file))
    return Binding(source, kind, device=device, channel=None if channel in USUAL else channel)


def _read(binding: Binding, sensor: Sensor, inside: bool) -> Found:
    try:
        return Found(binding, sensor.read(), None, inside)
    except SensorError as error:
        return Found(binding, None, error.reason, inside)
