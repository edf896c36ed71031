"""The tool killed under strikes in a real terminal: what was accepted is kept, plates come back on time."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.kit.killed_bench import kill_often

pytestmark = pytest.mark.system


@pytest.mark.slow
def test_kills_under_strikes_lose_nothing_accepted(tmp_path: Path) -> None:
    """After each of four kills both plates are back with their gaps, and each accepted strike is kept."""
    bench, wrong = kill_often(tmp_path, "four kills", 4)
    assert wrong == []
    assert bench.kills == 4
