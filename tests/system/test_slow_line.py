"""A serial line or a slow ssh: the bench is worked over 9,600 baud, and nothing of it depends on the line."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("numpy", reason="numpy analyses the recorded sound")

from tests.kit import slow_day
from tests.kit.audit import audit
from tests.kit.cues_heard import faults
from tests.kit.photographer import journal, run
from tests.kit.sound_recording import Ear

pytestmark = pytest.mark.system
WORKED = ["coat", "sensitise", "drain", "expose", "develop", "stop", "fix", "wash"]


@pytest.mark.slow
def test_two_plates_over_9600_baud(listening: Any, ear: Ear, tmp_path: Path) -> None:
    """Two plates overlap, are racked, one is varnished; every cue is heard once, every cell is red."""
    day = slow_day.work(ear, tmp_path, listening.env)
    found = faults(day.due, day.heard, day.reports, may_be_cut=True)
    assert found == [], "\n".join(found)
    assert {name for _, name in day.due} >= slow_day.CALLS
    assert len(day.data) / day.seconds <= slow_day.BAUD / 10 * 1.05, "the line was slow"
    assert audit(day.data) == []
    plates = journal(day.home)
    assert len(plates) == 2
    for lines in plates:
        assert [line["stage"] for line in lines if line["event"] == "stage_ended"][: len(WORKED)] == WORKED
    assert run(day.home, "log", "check").returncode == 0
