"""The day's sheet gone through, for tests of what comes after it."""

from __future__ import annotations

import time
from pathlib import Path

from darkroom.bench.working_day import working_day
from darkroom.devices.clock import stamp
from darkroom.log.days import files
from darkroom.log.days.events import Begun
from darkroom.resources import profiles_dir, read_day_sheet

TITLE = "BEFORE THE FIRST PLATE"
"""What the sheet is headed with on the screen."""


def go_through_sheet(home: Path, bench: str, wall: float | None = None) -> None:
    """Write that the whole shipped sheet was gone through at this bench, now or at a wall time."""
    at = stamp(time.time() if wall is None else wall)
    shown = tuple(item.id for item in read_day_sheet(profiles_dir() / "day" / "day.yaml").before)
    path = files.path_of(home, working_day(at), bench)
    files.append(path, lambda n: [Begun(n=n, at=at, up=None, bench=bench, shown=shown)])
