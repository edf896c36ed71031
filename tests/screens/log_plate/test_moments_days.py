"""What happened on another day than the plate's says so on its page."""

from __future__ import annotations

from pathlib import Path

from darkroom.bench import events as ev
from darkroom.screens.log_plate.plate_text import moments
from tests.kit.plates import forgotten, texts, told


def test_a_strike_moved_weeks_later_tells_its_day(home: Path) -> None:
    """A line of the plate's own day has its time alone; one that was written later has its day too."""
    lines = forgotten()
    n = next(line.n for line in lines if isinstance(line, ev.StageEnded) and line.stage == "drain")
    late = ev.Moved(
        n=lines[-1].n + 1, at="2026-04-05T20:15:00.000+01:00", up=None, moves=(n, n + 1), seconds=-60.0
    )
    rows = texts(list(moments(told(home, [*lines, late]), 100)))
    assert any("20:15:00" in row and row.endswith("earlier, on 2026-04-05") for row in rows)
    assert not any("on 2026" in row for row in rows if "mark" in row)
