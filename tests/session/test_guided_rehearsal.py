"""A whole guided rehearsal, done as its lessons say: every lesson finds its moment, and all are heard."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from darkroom import resources
from darkroom.commands.make_words import shipped_texts
from darkroom.session.guide import SAID_AFTER_TOLD
from darkroom.session.lesson import KEYS
from darkroom.session.lesson_texts import LAST_SPOKEN
from darkroom.session.speech import SpokenSet
from tests.kit.guided_run import GuidedRun

LONGEST = 12 * 60.0
"""A guided rehearsal takes no longer, in seconds."""


@cache
def whole(path: Path) -> GuidedRun:
    """Return a rehearsal whose learner did all that was said, or gave up after twice the time."""
    run = GuidedRun(resources.read_process(path))
    run.learn(2 * LONGEST)
    return run


@pytest.mark.parametrize("path", resources.shipped_processes(), ids=lambda path: path.stem)
def test_every_lesson_finds_its_moment_within_twelve_minutes(path) -> None:
    """A learner who does what is said is through all lessons of a shipped process in twelve minutes."""
    run = whole(path)
    assert [lesson.name for lesson in run.lessons.lessons if lesson.name not in run.learned] == []
    assert (run.lessons.done, run.took <= LONGEST) == (True, True)


def test_no_lesson_scolds_and_no_range_is_held_against_a_hand() -> None:
    """In a whole rehearsal by a hand that takes six seconds a step, nothing is "over the usual"."""
    shown = whole(resources.profiles_dir() / "clear-glass.yaml").shown
    assert shown
    assert [text for text in shown if "usual" in text] == []


def test_every_lesson_is_heard() -> None:
    """The voice says each lesson that was on for so long, and at last that it was all."""
    run = whole(resources.profiles_dir() / "clear-glass.yaml")
    run.wait(SAID_AFTER_TOLD + 1.0)
    heard = {text for texts in run.voice.said("say") for text in texts}
    unheard = {lesson.name for lesson in run.lessons.lessons if lesson.spoken.format(**KEYS) not in heard}
    assert unheard <= {"exposure", "dark"}, "the lens is open: the calls come first"
    assert LAST_SPOKEN in heard


def test_tell_says_the_lesson_again() -> None:
    """After tell the lesson that is on is said once more, when the plate has been told."""
    run = GuidedRun(resources.read_process(resources.profiles_dir() / "clear-glass.yaml"))
    run.press("space")
    run.press("0")
    run.wait(SAID_AFTER_TOLD + 0.5)
    said = run.lessons.spoken(KEYS)
    assert run.voice.said("say").count((said,)) == 1
    run.press("0")
    run.wait(SAID_AFTER_TOLD + 0.5)
    assert run.voice.said("say").count((said,)) == 2


def test_pedals_are_learned_with_their_key_map() -> None:
    """With three foot switches their lesson comes while a plate runs, and telling ends it."""
    keys = resources.read_key_map(resources.profiles_dir() / "keymaps" / "three-pedals.yaml")
    run = GuidedRun(resources.read_process(resources.profiles_dir() / "tintype.yaml"), keys=keys)
    run.learn(2 * LONGEST)
    assert "three pedals" in run.learned
    assert run.lessons.done


def test_all_that_is_spoken_is_in_the_shipped_set() -> None:
    """Every lesson has a recording with the keys as shipped."""
    spoken = SpokenSet(shipped_texts())
    run = whole(resources.profiles_dir() / "clear-glass.yaml")
    assert [lesson.name for lesson in run.lessons.lessons
                  if not spoken.phrases(lesson.spoken.format(**KEYS))] == []  # fmt: skip
