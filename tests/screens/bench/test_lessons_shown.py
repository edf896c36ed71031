"""A lesson on the bench's screen: it is whole, and what it speaks of stands beside it."""

from __future__ import annotations

import pytest

from darkroom import resources
from darkroom.bench.view import bench_view
from darkroom.screens.bench.layout import face
from darkroom.screens.bench.rail import BenchStatus
from darkroom.session import key_map
from darkroom.session.actions import footer
from darkroom.session.lesson import Lesson
from darkroom.session.lesson_texts import LESSONS
from tests.kit.guided_run import GuidedRun

SIZES = [(60, 18), (80, 24), (120, 40), (200, 60)]
NAMES = key_map.shown_names(key_map.KeyMap())


def two_plates() -> GuidedRun:
    """Return a rehearsal with a plate in the silver bath and another one that drains, wet."""
    run = GuidedRun(resources.read_process(resources.profiles_dir() / "tintype.yaml"))
    run.press("space")
    run.press("space")
    run.wait(30.0)
    run.put_on()
    run.press("space")
    run.press("space")
    run.wait(20.0)
    run.press("space")
    return run


RUN = two_plates()


@pytest.mark.parametrize(("columns", "rows"), SIZES)
@pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.name)
def test_a_lesson_is_whole_and_hides_nothing_it_speaks_of(lesson: Lesson, columns: int, rows: int) -> None:
    """Every lesson is read whole; the other plate, the wet time's digits and the keys stay on the screen."""
    bench, now = RUN.session.bench, RUN.session.now()
    view = bench_view(bench, now)
    assert view.large is not None and view.large.large_time.shape == "wet"
    keys = tuple((NAMES[action], label) for action, label in footer(bench, now) if action in NAMES)
    for text in filter(None, (lesson.text, lesson.hint)):
        told = f"30 of 30: {text.format(**NAMES)}"
        status = BenchStatus(lesson=told, keys=keys, rehearsal=True, notice="sound lost")
        drawn = ["".join(part for part, _ in row) for row in face(view, status, columns, rows)]
        assert told in " ".join(" ".join(drawn).split())
        assert "sensitise" in "\n".join(drawn[-5:])
        assert "space: go" in drawn[-1] and "escape: menu" in drawn[-1] and "sound lost" in drawn[-1]
