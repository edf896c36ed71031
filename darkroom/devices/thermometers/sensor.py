"""What a sensor is: something that can be read, or says in words why it cannot.

Every sensor reads its file anew, and finds it anew, at each reading: a probe that was unplugged and
plugged in again is simply there again.
"""

from __future__ import annotations

import errno
import math
import os
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, Protocol

from darkroom import plain_files
from darkroom.errors import DarkroomError, harmless

SYS = Path("/sys")
"""Where Linux shows its devices as files; tests give a folder of their own."""

HUMIDITY = "humidity"
"""The source whose readings are per cent relative humidity; every other source's are °C."""

KINDS = ("w1", "hwmon", "iio", "file")
MOST = 4096
"""No sensor's file says more than this; of a longer text the end is read, in bytes."""

Why = Literal[
    "vanished", "unreadable", "no_answer", "checksum", "power_on", "fault", "absurd", "jump", "stale",
    "no_number", "ambiguous", "error",
]  # fmt: skip


class SensorError(DarkroomError):
    """A sensor gave nothing that can be believed; its text is the reason, `kind` a word for it."""

    def __init__(self, reason: str, kind: Why = "error") -> None:
        super().__init__(reason)
        self.reason, self.kind = reason, kind


class Sensor(Protocol):
    """A thermometer (°C) or a hygrometer (per cent relative humidity)."""

    def read(self) -> float:
        """Return what it measures now. May take a second. Raises SensorError with the reason."""


@dataclass(frozen=True)
class Binding:
    """Which sensor measures which source, and how often.

    `source` is room, bath, developer, water, fixer or humidity. A sensor is named by its `path`, or
    by its `device` (and `channel` where a device has several). `every` and `smoothing` are seconds
    (smoothing 0: none). `stale` is for kind `file`: an unchanged file older than so many seconds is
    not believed; None believes any age. `unit`, C, F or %, holds where a file says none.
    """

    source: str
    kind: str
    device: str | None = None
    path: str | None = None
    channel: str | None = None
    unit: str | None = None
    every: float = 5.0
    smoothing: float = 10.0
    stale: float | None = 600.0
    name: str | None = None

    @property
    def called(self) -> str:
        """The thermometer's name, as screen and log give it."""
        if self.name:
            return self.name
        place = self.device or (Path(self.path).name if self.path else "")
        return " ".join(part for part in (self.kind, place, self.channel) if part)

    @property
    def humid(self) -> bool:
        """True when per cent are measured, not °C."""
        return self.source == HUMIDITY


def read_text(path: Path) -> str:
    """Return the text of a sensor's file, its last 4 kB when it is long.

    Raises SensorError. A pipe or a device is not waited for.
    """
    try:
        fd = plain_files.open_plain(path)
    except plain_files.NotPlain as error:
        raise SensorError(f"{path} is {plain_files.reason(error)}", "unreadable") from error
    except OSError as error:
        raise _refused(path, error) from error
    try:
        if os.fstat(fd).st_size > MOST and not str(path).startswith("/sys/"):
            os.lseek(fd, -MOST, os.SEEK_END)
        return os.read(fd, MOST).decode("utf-8", "replace").replace("\0", "")
    except OSError as error:
        raise _refused(path, error) from error
    finally:
        os.close(fd)


def _refused(path: Path, error: OSError) -> SensorError:
    if error.errno in (errno.ENOENT, errno.ENODEV, errno.ENXIO, errno.ENOTDIR):
        return SensorError(f"{path} is not there", "vanished")
    if error.errno in (
        errno.EIO,
        errno.ETIMEDOUT,
        errno.EREMOTEIO if hasattr(errno, "EREMOTEIO") else errno.EIO,
    ):
        return SensorError("the sensor gives no answer", "no_answer")
    if error.errno in (errno.EAGAIN, errno.EBUSY):
        return SensorError("the sensor is busy", "no_answer")
    return SensorError(f"{path} cannot be read: {error.strerror or error}", "unreadable")


def with_names(folders: Iterable[Path]) -> list[tuple[Path, str]]:
    """Return (folder, name) of each device of the kernel; one without a name goes by its folder's."""
    named = []
    for folder in folders:
        try:
            named.append((folder, read_text(folder / "name").strip()))
        except SensorError:
            named.append((folder, folder.name))
    return named


def only_one(named: Iterable[tuple[Path, str]], device: str, kind: str) -> Path:
    """Return the folder of the device of that name or folder; `kind`, as "hwmon chip", is for the errors.

    Raises SensorError when there is none, or several.
    """
    folders = [folder for folder, name in named if device in (name, folder.name)]
    if not folders:
        raise SensorError(f"no {kind} {device} is there", "vanished")
    if len(folders) > 1:
        raise SensorError(f"{len(folders)} {kind}s are called {device}: name one by its path", "ambiguous")
    return folders[0]


def number(path: Path) -> float:
    """Return the one number in a kernel's file. Raises SensorError."""
    text = read_text(path).strip()
    try:
        value = float(text)
    except ValueError:
        raise SensorError(f"{path.name} holds no number: {shown(text)}", "no_number") from None
    if not math.isfinite(value):
        raise SensorError(f"{path.name} holds no number: {shown(text)}", "no_number")
    return value


def shown(text: str) -> str:
    """Return a text from outside in quotation marks, short and without characters a terminal obeys."""
    plain = harmless(text[:30])
    return f"'{plain}'" if plain else "it is empty"
