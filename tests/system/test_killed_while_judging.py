"""The tool killed while a judgement is saved: the journal has all of it or nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.kit.killed_judging import WAYS, kill_often

pytestmark = pytest.mark.system


@pytest.mark.slow
@pytest.mark.parametrize("way", WAYS)
def test_a_judgement_is_there_whole_or_not_at_all(tmp_path: Path, way: str) -> None:
    """After each of three kills the journal reads well, and a judgement that was answered is in it."""
    judging, wrong = kill_often(tmp_path / way, way, 3)
    assert wrong == []
    assert judging.kills == 3
