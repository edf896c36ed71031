"""What is confirmed once a day: which answers stand, and that nothing else is written as acknowledged."""

from __future__ import annotations

import pytest

from darkroom.bench import events as ev
from darkroom.bench.all_plates import NEW
from darkroom.devices.clock import Watch
from darkroom.resources import load_process, shipped_processes
from darkroom.session.cautions import Confirmations, to_confirm
from darkroom.session.key_map import NUDGES, KeyMap, read
from darkroom.session.plate_form import PlateForm, plate_from
from darkroom.session.session import Session
from darkroom.session.strikes import Recogniser
from tests.kit.clocks import HandClock
from tests.kit.session import MemoryJournal, SilentVoice

MORNING = "2026-11-02T09:12:30.000+01:00"
EVENING = "2026-11-03T03:59:00.000+01:00"
NEXT_DAY = "2026-11-03T04:00:00.000+01:00"
CYANIDE = load_process("tintype-cyanide")


def test_every_process_with_cyanide_wants_it_confirmed() -> None:
    """Each shipped process with a stage that holds cyanide has a question; the others have none."""
    for path in shipped_processes():
        process = load_process(path.stem)
        assert bool(to_confirm(process)) == any("cyanide" in stage.holds for stage in process.stages)


def test_a_yes_stands_for_its_process_and_its_day() -> None:
    """It stands until 04:00, for no other process, and is said with its hour."""
    answers = Confirmations()
    (question,) = to_confirm(CYANIDE)
    assert answers.missing(CYANIDE, MORNING) == [question]
    assert answers.said(CYANIDE, MORNING) == "cyanide: to be confirmed"
    assert answers.said(load_process("tintype"), MORNING) is None
    answers.confirm(CYANIDE, question, MORNING)
    assert answers.standing(CYANIDE, EVENING) == ((question, MORNING),)
    assert answers.said(CYANIDE, EVENING) == "cyanide: confirmed at 09:12"
    assert answers.missing(CYANIDE, NEXT_DAY) == [question]
    assert answers.missing(load_process("negative-cyanide"), MORNING) != []


def test_another_question_was_not_answered() -> None:
    """A process file whose question was rewritten is asked anew; a yes to no question of it is nothing."""
    answers = Confirmations()
    answers.confirm(CYANIDE, "Is it warm?", MORNING)
    answers.take({(CYANIDE.name, "An older wording?"): MORNING})
    assert answers.standing(CYANIDE, MORNING) == ()


def at_the_bench(key_map: str = "") -> tuple[Session, HandClock, MemoryJournal, list[str]]:
    """Return a session with a cyanide plate that waits for its first strike, and what it asked."""
    clock, journal, asked = HandClock(), MemoryJournal(), []
    keys = read(key_map, "keys.yaml") if key_map else KeyMap()
    session = Session(
        clock=clock,
        watch=Watch(clock),
        writer=journal,
        voice=SilentVoice(),
        recogniser=Recogniser(keys.zone_of, nudge_zones=NUDGES),
        new_id=lambda wall: "20260301-120000-abc123",
        next_number=lambda bench: 1,
    )
    session.ask_to_confirm = lambda: asked.append("asked")
    start = plate_from(
        PlateForm(process="tintype-cyanide"),
        CYANIDE,
        number=1,
        bench="b",
        boot="boot",
        at=clock.stamp(clock.wall()),
        up=clock.up(),
    )
    session.put_on(start)
    return session, clock, journal, asked


def strike(session: Session, clock: HandClock, key: str) -> None:
    """Strike a key, a strike of its own, and let it be decided."""
    clock.move(1.0)
    session.key(key)
    clock.move(0.1)
    session.tick()


@pytest.mark.parametrize(
    ("key_map", "keys"),
    [("", ("space", "x", "comma")), ("go: [f13, enter, y]\n", ("f13", "enter", "y"))],
)
def test_no_strike_begins_a_plate_that_was_not_confirmed(key_map: str, keys: tuple[str, ...]) -> None:
    """Whatever key strikes go, the question is asked, the plate stays and nothing is written."""
    session, clock, journal, asked = at_the_bench(key_map)
    for key in keys:
        strike(session, clock, key)
    assert asked == ["asked"] * len(keys)
    assert NEW in session.bench.plates and journal.events == {}


def test_the_answer_is_written_with_its_instant() -> None:
    """The first strike after a yes writes one `acknowledged` with the stage and since when it stands."""
    session, clock, journal, asked = at_the_bench()
    (question,) = to_confirm(CYANIDE)
    since = clock.stamp(clock.wall())
    session.confirmations.confirm(CYANIDE, question, since)
    strike(session, clock, "space")
    (events,) = journal.events.values()
    acknowledged = [event for event in events if isinstance(event, ev.Acknowledged)]
    assert [(event.what, event.stage, event.since) for event in acknowledged] == [(question, "fix", since)]
    assert asked == []


def test_a_plate_that_waits_past_the_end_of_the_day_is_asked_again() -> None:
    """Yesterday's yes begins no plate today: the first strike asks."""
    session, clock, journal, asked = at_the_bench()
    session.confirmations.confirm(CYANIDE, to_confirm(CYANIDE)[0], clock.stamp(clock.wall()))
    clock.move(86400.0)
    strike(session, clock, "space")
    assert asked == ["asked"] and journal.events == {}
