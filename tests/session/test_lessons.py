"""The guided rehearsal: what it says, what moves it on, what it pretends."""

from __future__ import annotations

import unicodedata

import pytest

from darkroom import resources
from darkroom.session.key_map import KeyMap
from darkroom.session.lessons import KEYS, LAST, LESSONS, SETTLE, Lessons, needs_met_by

HAPPENINGS_OF_A_PLATE = [
    ("strike", "strike"), ("handful", "strike"), ("void", "void"), ("dead", "dead"), ("undo", "undone"),
    ("on again", "strike"), ("wet", "lead_in"), ("exposure", "exposed"), ("developer", "developing"),
    ("clearing", "cleared"), ("second plate", "new_plate"), ("two plates", "looked"),
    ("sound lost", "mark"), ("not saved", "mark"),
]  # fmt: skip
"""(the lesson that is on, what ends it) of a plate as it goes; the lead-in is learned on the way."""


def test_a_plate_as_it_goes_learns_everything() -> None:
    """Each happening of a plate's life, in its order, ends the lesson that is on."""
    lessons = Lessons(now=0.0)
    for n, (name, kind) in enumerate(HAPPENINGS_OF_A_PLATE):
        assert name == lessons.lesson.name
        lessons.take_happening(kind, up=10.0 * n)
    assert lessons.done
    assert LAST.format(**KEYS) == lessons.text(200.0)


def test_other_happenings_change_nothing() -> None:
    """What a lesson does not wait for leaves it as it is."""
    lessons = Lessons(now=0.0)
    first = lessons.text(0.0)
    for kind in ("void", "dead", "refused", "mark", "looked", "undone", "earlier"):
        lessons.take_happening(kind, up=1.0)
    assert first == lessons.text(1.0)


def test_what_was_done_before_is_not_asked_again() -> None:
    """Someone who has already hit a dead key and taken a step back is not sent through it."""
    lessons = Lessons(now=0.0)
    for kind in ("strike", "dead", "undone", "strike"):
        lessons.take_happening(kind)
    assert lessons.lesson.name == "void"
    lessons.take_happening("void")
    assert lessons.lesson.name == "on again"


def test_a_happening_that_the_lessons_do_not_know_is_a_mistake() -> None:
    """A wrong word from the tool is not swallowed."""
    with pytest.raises(ValueError, match="no 'strikes'"):
        Lessons().take_happening("strikes")  # type: ignore[arg-type]


def test_a_slow_hand_gets_a_hint() -> None:
    """After its time a lesson says more; the next one begins with its own words again."""
    lessons = Lessons(now=100.0)
    first = LESSONS[0]
    assert first.text.format(**KEYS) == lessons.text(100.0 + first.slow - 0.1)
    assert first.hint.format(**KEYS) == lessons.text(100.0 + first.slow)
    lessons.take_happening("strike", up=130.0)
    assert LESSONS[1].text.format(**KEYS) == lessons.text(130.0)


def reach(name: str, start: float) -> Lessons:
    """Return lessons that have come to one of them at an instant."""
    lessons = Lessons(now=start)
    while lessons.lesson.name != name:
        lessons.skip()
    return lessons


@pytest.mark.parametrize(("name", "fault"), [("sound lost", "sound_lost"), ("not saved", "not_saved")])
def test_a_fault_is_pretended_while_its_lesson_is_on(name: str, fault: str) -> None:
    """The fault begins when the lesson has been read and ends with the mark."""
    lessons = reach(name, 50.0)
    assert lessons.faults(50.0) == frozenset()
    assert lessons.faults(50.0 + SETTLE) == frozenset({fault})
    assert lessons.faults(80.0) == frozenset({fault})
    lessons.take_happening("mark", up=81.0)
    assert fault not in lessons.faults(200.0)


@pytest.mark.parametrize("name", ["sound lost", "not saved"])
def test_a_fault_never_stays(name: str) -> None:
    """Nobody there: the pretended fault ends by itself after a minute and a half."""
    lessons = reach(name, 50.0)
    fault = lessons.lesson.fault
    assert lessons.faults(139.9) == frozenset({fault})
    assert fault not in lessons.faults(140.0)
    assert name != (lessons.lesson.name if lessons.lesson else None)


def test_no_other_lesson_pretends_anything() -> None:
    """While hands are learned nothing is faked."""
    for lesson in LESSONS:
        if lesson.fault is None:
            assert reach(lesson.name, 0.0).faults(1000.0) == frozenset()


def test_a_mark_made_before_does_not_end_a_fault() -> None:
    """The mark that says "seen it" must come after the fault."""
    lessons = Lessons(now=0.0)
    lessons.take_happening("mark")
    while lessons.lesson.name != "sound lost":
        lessons.skip()
    assert lessons.faults(SETTLE) == frozenset({"sound_lost"})


def test_after_the_end_nothing_moves() -> None:
    """Happenings after the last lesson, and skipping it, do no harm."""
    lessons = reach(LESSONS[-1].name, 0.0)
    lessons.skip()
    lessons.skip()
    lessons.take_happening("strike")
    assert lessons.done
    assert lessons.faults(1e9) == frozenset()
    assert lessons.place() == "15 of 15"


def test_processes_without_a_step_leave_its_lesson_out(tmp_path) -> None:
    """A process with no exposure, fixer or wet time teaches the rest."""
    path = tmp_path / "plain.yaml"
    path.write_text("name: Plain\nsensitive: never\nstages: [{name: wash, light: white, ends: by_eye}]\n")
    process = resources.read_process(path)
    assert needs_met_by(process) == set()
    names = [lesson.name for lesson in Lessons.for_process(process).lessons]
    assert {"wet", "lead-in", "exposure", "developer", "clearing"} == {x.name for x in LESSONS} - set(names)


@pytest.mark.parametrize("path", resources.shipped_processes(), ids=lambda path: path.stem)
def test_every_shipped_process_teaches_everything(path) -> None:
    """All lessons make sense on every shipped process."""
    assert Lessons.for_process(resources.read_process(path)).lessons == LESSONS


def test_the_keys_of_a_map_of_ones_own_are_named() -> None:
    """Texts name the keys that are live here, not those as shipped."""
    assert Lessons(keys={"go": "pedal"}, now=0.0).text(0.0).startswith("Nothing runs yet. Strike pedal once")


def test_shipped_key_names_are_those_of_the_key_map() -> None:
    """The keys that the texts name are live in their zones in the shipped key map."""
    for zone, name in KEYS.items():
        assert KeyMap().zone_of(name.lower()) == zone


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.name)
def test_texts_fit_two_lines_of_a_small_screen(lesson) -> None:
    """Every text fits two lines of 79 columns and holds letters only, nothing that brings a colour."""
    for text in (lesson.text, lesson.hint):
        text_with_keys = text.format(**KEYS)
        assert len(text_with_keys) <= 110
        assert all(unicodedata.category(c)[0] in "LNPZ" for c in text_with_keys)
    assert lesson.text.endswith(".")


def test_it_is_done_in_ten_minutes() -> None:
    """Every lesson taken at the pace of its hint ends within ten minutes of reading time."""
    assert sum(min(lesson.slow, 40.0) for lesson in LESSONS) <= 600
