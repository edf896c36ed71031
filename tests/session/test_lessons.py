"""The guided rehearsal: which lesson is on, what it says, what it pretends."""

from __future__ import annotations

import unicodedata
from textwrap import wrap
from typing import get_args

import pytest

from darkroom import resources
from darkroom.session import key_map
from darkroom.session.lesson import KEYS, Lesson
from darkroom.session.lesson_facts import Fact
from darkroom.session.lesson_texts import LAST, LESSONS, WAITING
from darkroom.session.lessons import SETTLE, Lessons, needs_met_by, needs_met_by_keys

EVERYTHING: tuple[Fact, ...] = get_args(Fact)
FIRST = Lesson("first", ("begun",), ("strike",), "Press {go}.", "press {go}", "Any of them.", slow=20.0)
SECOND = Lesson("second", ("begun",), ("undone",), "Press {undo}.", "press {undo}", again=True)
THIRD = Lesson("third", ("rack",), ("from_rack",), "The rack.", "the rack")


def begun(*lessons: Lesson, facts: tuple[Fact, ...] = ("begun",)) -> Lessons:
    """Return lessons that have looked at the bench once."""
    taught = Lessons(lessons, now=0.0)
    taught.look(facts, 0.0)
    return taught


def name(lessons: Lessons) -> str | None:
    """Return the name of the lesson that is on."""
    return lessons.lesson.name if lessons.lesson is not None else None


def test_a_lesson_ends_by_what_happens_on_the_bench() -> None:
    """A happening that the lesson waits for ends it, and the next one comes with the next look."""
    lessons = begun(FIRST, SECOND)
    assert (name(lessons), lessons.place()) == ("first", "1 of 2")
    lessons.take_happening("strike", up=3.0)
    lessons.look(("begun",), 3.0)
    assert (name(lessons), lessons.place()) == ("second", "2 of 2")


def test_other_happenings_change_nothing() -> None:
    """What a lesson does not wait for leaves it as it is."""
    lessons = begun(FIRST, SECOND)
    for kind in ("void", "dead", "refused", "mark", "looked", "undone", "earlier"):
        lessons.take_happening(kind, up=1.0)
    lessons.look(("begun",), 1.0)
    assert name(lessons) == "first"


def test_a_lesson_waits_for_its_moment() -> None:
    """While the bench has no moment for any lesson that is left, the text says to work on."""
    lessons = begun(FIRST, THIRD)
    lessons.take_happening("strike", up=1.0)
    lessons.look(("begun",), 1.0)
    assert (name(lessons), lessons.text(1.0)) == (None, WAITING)
    lessons.look(("begun", "rack"), 2.0)
    assert name(lessons) == "third"


def test_a_lesson_whose_moment_has_passed_comes_back_with_the_next() -> None:
    """A lesson that cannot be done any more makes way, and is not lost."""
    lessons = begun(FIRST, THIRD)
    lessons.look(("rack",), 1.0)
    assert name(lessons) == "third"
    lessons.look(("rack", "begun"), 2.0)
    assert name(lessons) == "third"
    lessons.look(("begun",), 3.0)
    assert name(lessons) == "first"


def test_what_was_done_before_is_not_asked_again() -> None:
    """A lesson that was done before its turn is left out, unless it must be done after something."""
    lessons = begun(FIRST, SECOND, THIRD)
    for kind in ("undone", "from_rack", "strike"):
        lessons.take_happening(kind)
    lessons.look(("begun", "rack"), 1.0)
    assert (name(lessons), lessons.place()) == ("second", "2 of 2") or lessons.place() == "3 of 3"
    lessons.take_happening("undone")
    assert name(lessons) is None
    lessons.look(("begun", "rack"), 2.0)
    assert lessons.done


def test_a_happening_that_the_lessons_do_not_know_is_a_mistake() -> None:
    """A wrong word from the tool is not swallowed."""
    with pytest.raises(ValueError, match="no 'strikes'"):
        Lessons().take_happening("strikes")  # type: ignore[arg-type]


def test_a_slow_hand_gets_a_hint() -> None:
    """After its time a lesson says more; the next one begins with its own words again."""
    lessons = begun(FIRST, SECOND)
    assert lessons.text(19.9) == "Press space."
    assert lessons.text(20.0) == "Any of them."
    lessons.take_happening("strike", up=30.0)
    lessons.look(("begun",), 30.0)
    assert lessons.text(30.0) == "Press backspace."


def test_a_lesson_can_be_left_out() -> None:
    """Leaving a lesson out counts it as done; after the last one nothing moves."""
    lessons = begun(FIRST, SECOND)
    lessons.skip()
    lessons.look(("begun",), 1.0)
    assert name(lessons) == "second"
    lessons.skip()
    lessons.skip()
    lessons.take_happening("strike")
    assert (lessons.done, lessons.text(2.0)) == (True, LAST.format(**KEYS))
    assert (lessons.place(), lessons.faults(1e9)) == ("2 of 2", frozenset())


def reach(wanted: str, start: float) -> Lessons:
    """Return lessons that have come to one of them at an instant."""
    lessons = Lessons(now=start)
    lessons.look(EVERYTHING, start)
    while name(lessons) != wanted:
        lessons.skip()
        lessons.look(EVERYTHING, start)
    return lessons


@pytest.mark.parametrize(("wanted", "fault"), [("sound lost", "sound_lost"), ("not saved", "not_saved")])
def test_a_fault_is_pretended_while_its_lesson_is_on(wanted: str, fault: str) -> None:
    """The fault begins when the lesson has been read and ends with the mark."""
    lessons = reach(wanted, 50.0)
    assert lessons.faults(50.0) == frozenset()
    assert lessons.faults(50.0 + SETTLE) == frozenset({fault})
    lessons.take_happening("mark", up=81.0)
    assert fault not in lessons.faults(200.0)


@pytest.mark.parametrize("wanted", ["sound lost", "not saved"])
def test_a_fault_never_stays(wanted: str) -> None:
    """Nobody there: the pretended fault ends by itself after a minute and a half."""
    lessons = reach(wanted, 50.0)
    assert len(lessons.faults(139.9)) == 1
    assert lessons.faults(140.0) == frozenset()
    assert name(lessons) != wanted


def test_no_other_lesson_pretends_anything() -> None:
    """While hands are learned nothing is faked."""
    for lesson in LESSONS:
        if lesson.fault is None:
            assert reach(lesson.name, 0.0).faults(30.0) == frozenset()


def test_processes_without_a_step_leave_its_lesson_out(tmp_path) -> None:
    """A process with no bath, exposure, fixer or rack teaches the rest."""
    path = tmp_path / "plain.yaml"
    path.write_text("name: Plain\nsensitive: never\nstages: [{name: wash, light: white, ends: by_eye}]\n")
    process = resources.read_process(path)
    assert needs_met_by(process) == set()
    assert all(not lesson.needs for lesson in Lessons.for_process(process).lessons)


@pytest.mark.parametrize("path", resources.shipped_processes(), ids=lambda path: path.stem)
def test_every_shipped_process_teaches_everything(path) -> None:
    """All lessons but those of the pedals make sense on every shipped process with the shipped keys."""
    taught = {lesson.name for lesson in Lessons.for_process(resources.read_process(path)).lessons}
    assert {lesson.name for lesson in LESSONS} - taught == {"pedal", "three pedals"}


@pytest.mark.parametrize(
    ("map_file", "taught"), [("one-pedal", {"pedal"}), ("three-pedals", {"three_pedals"})]
)
def test_a_key_map_with_pedals_teaches_them(map_file: str, taught: set[str]) -> None:
    """The lesson of the foot switches appears with a key map that has some."""
    path = resources.profiles_dir() / "keymaps" / f"{map_file}.yaml"
    assert needs_met_by_keys(resources.read_key_map(path)) == taught
    assert needs_met_by_keys(key_map.KeyMap()) == set()


def test_the_keys_of_a_map_of_ones_own_are_named() -> None:
    """Texts name the keys that are live here, not those as shipped."""
    lessons = Lessons(keys={"go": "pedal"}, now=0.0)
    lessons.look(("new",), 0.0)
    assert lessons.text(0.0).startswith("Nothing runs yet. Press pedal once")
    assert lessons.spoken({"go": "pedal"}) == "press pedal: the plate begins"


def test_shipped_key_names_are_those_of_the_key_map() -> None:
    """The keys that the texts name are live in their zones in the shipped key map."""
    for zone, key in KEYS.items():
        assert key_map.KeyMap().zone_of(key) == zone


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.name)
def test_texts_fit_two_rows_of_a_small_screen(lesson: Lesson) -> None:
    """Every text fits two rows of 60 columns with its number, and holds nothing that brings a colour."""
    names = key_map.shown_names(key_map.KeyMap())
    for text in (lesson.text, lesson.hint, WAITING, LAST):
        shown = text.format(**names)
        assert len(wrap(f"30 of 30: {shown}", 59)) <= 2, shown
        assert all(unicodedata.category(c)[0] in "LNPZ" for c in shown)
        assert not shown or shown.endswith(".")


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.name)
def test_every_lesson_is_spoken_shortly(lesson: Lesson) -> None:
    """What the voice says of a lesson takes some two seconds: nine words at most."""
    assert 0 < len(lesson.spoken.format(**KEYS).split()) <= 9
