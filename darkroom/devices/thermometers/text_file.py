"""Any text file that another program keeps a number in, with or without a unit.

The last line that is not empty counts: `21.5`, `21,5`, `21.5 °C`, `70.7 F`, for humidity `55` or `55 %`.
A file that has not changed for too long is stale: the program that wrote it has stopped.
"""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import Protocol

from darkroom.devices.thermometers.sensor import SensorError, read_text, shown
from darkroom.late_patterns import late_pattern

_LINE = late_pattern(r"([+\-−]?(?:\d{1,7}(?:[.,]\d{1,9})?|[.,]\d{1,9}))\s*(.{0,12})")
_DEGREES = late_pattern(r"^(?:°|º|˚|deg\.?|degrees?)\s*", re.IGNORECASE)
_UNITS = {
    "c": "C", "celsius": "C", "℃": "C", "f": "F", "fahrenheit": "F", "℉": "F",
    "%": "%", "% rh": "%", "%rh": "%", "percent": "%", "per cent": "%",
}  # fmt: skip
TRIES = 3
"""A file found empty is read again at once: its writer has just cut it to write it anew."""


class SensorClock(Protocol):
    """What is asked of a clock here."""

    def up(self) -> float:
        """Return seconds on the clock that goes on through sleep."""

    def wall(self) -> float:
        """Return seconds since the epoch."""


def number_in(text: str, unit: str | None = None, humid: bool = False) -> float:
    """Return the °C (or, where `humid`, the per cent) in a text; `unit` holds where it says none.

    Raises SensorError.
    """
    lines = text.strip().splitlines()
    line = lines[-1].strip() if lines else ""
    match = _LINE.fullmatch(line)
    if match is None:
        raise SensorError(f"the file holds no number: {shown(line)}", "no_number")
    value = float(match[1].replace(",", ".").replace("−", "-"))
    written = _DEGREES.sub("", match[2].strip()).lower()
    unit_meant = _UNITS.get(written) if written else unit or ("%" if humid else "C")
    if unit_meant not in (("%",) if humid else ("C", "F")):
        raise SensorError(f"the file's unit is not known here: {shown(line)}", "no_number")
    return (value - 32) / 1.8 if unit_meant == "F" else value


class FileSensor:
    """A text file with a number in it."""

    def __init__(
        self,
        path: Path,
        clock: SensorClock,
        *,
        unit: str | None = None,
        humid: bool = False,
        stale: float | None = None,
    ) -> None:
        self.path, self.clock, self.unit, self.humid, self.stale = path, clock, unit, humid, stale
        self._stamp: tuple[int, int, int] | None = None
        self._changed = 0.0

    def read(self) -> float:
        """Return °C or per cent. Raises SensorError."""
        text = ""
        for _ in range(TRIES):
            text = read_text(self.path)
            if text.strip():
                break
        value = number_in(text, self.unit, self.humid)
        self._judge_age()
        return value

    def _judge_age(self) -> None:
        """A file is as old as its date says when first seen, then as old as it has stayed unchanged."""
        if self.stale is None:
            return
        try:
            status = os.stat(self.path)
        except OSError as error:
            raise SensorError(f"{self.path} is not there", "vanished") from error
        stamp = (status.st_mtime_ns, status.st_size, status.st_ino)
        now = self.clock.up()
        if self._stamp is None:
            self._changed = now - max(0.0, self.clock.wall() - status.st_mtime)
        elif stamp != self._stamp:
            self._changed = now
        self._stamp = stamp
        if now - self._changed > self.stale:
            minutes = int((now - self._changed) // 60)
            raise SensorError(f"the file has not changed for {minutes} min", "stale")
