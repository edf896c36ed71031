"""A wall clock that is stepped and a machine that sleeps, as one program's clocks tell it (LD_PRELOAD)."""

from __future__ import annotations

import shutil
import subprocess
import sys
import time
from pathlib import Path

SOURCE = Path(__file__).with_suffix(".c")


def why_not() -> str | None:
    """Return why no clock can be shifted so here, or None."""
    if sys.platform != "linux":
        return "LD_PRELOAD is used as on Linux"
    return None if shutil.which("gcc") else "gcc is not installed"


class ShiftedClock:
    """The clocks of the programs that get `env`."""

    def __init__(self, work: Path) -> None:
        """Compile the library in the folder `work`; the clocks are the machine's as yet."""
        library, self._file = work / "shifted_clock.so", work / "the clocks are shifted"
        self.stepped = self.slept = 0.0
        if not library.exists():
            command = ["gcc", "-O2", "-shared", "-fPIC", "-o", str(library), str(SOURCE)]
            subprocess.run(command, check=True, timeout=60)
        self.env = {"LD_PRELOAD": str(library), "SHIFTED_CLOCK": str(self._file)}

    def step(self, seconds: float) -> None:
        """Step the wall clock."""
        self.stepped += seconds
        self._tell()

    def step_to(self, wall: float) -> None:
        """Step the wall clock to an instant, in seconds since the epoch."""
        self.step(wall - self.wall())

    def sleep(self, seconds: float) -> None:
        """Sleep, in no time."""
        self.slept += seconds
        self._tell()

    def _tell(self) -> None:
        fresh = self._file.with_suffix(".new")
        fresh.write_text(f"{self.stepped!r} {self.slept!r}\n")
        fresh.replace(self._file)

    def wall(self) -> float:
        """Return the program's wall clock."""
        return time.time() + self.stepped + self.slept

    def up(self) -> float:
        """Return the program's boot clock."""
        return time.clock_gettime(time.CLOCK_BOOTTIME) + self.slept
