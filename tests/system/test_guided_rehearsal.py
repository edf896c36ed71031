"""A guided rehearsal from its first lesson to its last, by keys in a real terminal."""

from __future__ import annotations

from pathlib import Path

import pytest

from darkroom.resources import read_process
from darkroom.session.lessons import Lessons
from tests.kit.guided_learner import Learner, short_process


@pytest.mark.parametrize(("columns", "rows"), [(80, 24)])
def test_every_lesson_is_read_and_done(tmp_path: Path, columns: int, rows: int) -> None:
    """Each lesson stands on the screen whole and is done by keys alone; then the screen says it was all."""
    process = short_process(tmp_path)
    learner = Learner(tmp_path / "home", columns, rows)
    with learner.terminal:
        learner.open("rehearse", str(process), "--guided", "--exposure", "10s")
        learner.learn()
    taught = [lesson.name for lesson in Lessons.for_process(read_process(process)).lessons]
    assert sorted({*taught} - {*learner.learned}) == ["dark"], "in the dark nothing is read"
