"""What a changed judgement becomes: only what changed, each a new line; what stood stays."""

from __future__ import annotations

from itertools import zip_longest
from pathlib import Path
from typing import Any

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from darkroom.bench import events as ev
from darkroom.errors import NotSavedError
from darkroom.log.journal import append
from darkroom.log.journal.merge import PlateLog, read_plate
from darkroom.log.plate.record import judge
from darkroom.log.review.judgement import (
    FaultLine,
    StandingJudgement,
    change_builders,
    combined_builder,
    standing,
)
from tests.kit.log_commands import journal
from tests.kit.nightly import examples
from tests.kit.plates import forgotten, judged, put

AT = "2026-03-03T09:00:00.000+01:00"


def save(
    home: Path, path: Path, judgement: StandingJudgement, reason: str | None = None
) -> list[dict[str, Any]]:
    """Make `judgement` stand; return the lines that were added."""
    before = len(journal(path))
    log = read_plate(path)
    builders = change_builders(log, judgement, reason, AT)
    if builders:
        append.add_all(home, path, combined_builder(path, log, builders))
    return journal(path)[before:]


def test_nothing_changed_adds_nothing(tmp_path: Path) -> None:
    """What stands, saved as it stands, leaves the journal as it is."""
    path = put(tmp_path, judged(forgotten()))
    before = path.read_bytes()
    assert save(tmp_path, path, standing(read_plate(path))) == []
    assert path.read_bytes() == before


def test_a_changed_value_corrects_the_line_it_came_from(tmp_path: Path) -> None:
    """Stars, a fault's place, a detail and a note: four corrections that name their lines and the reason."""
    path = put(tmp_path, judged(forgotten()))
    before, now = path.read_bytes(), standing(read_plate(path))
    (fault,) = now.faults
    (next_time, varnish), ((note, _),) = now.details, now.notes
    judgement = msgspec.structs.replace(
        now,
        stars=5,
        faults=(FaultLine(line=fault.line, name="comets", where="centre"),),
        details=((next_time[0], "next", "pour slower"), varnish),
        notes=((note, "clean, deep shadows"),),
    )
    added = save(tmp_path, path, judgement, "by daylight")
    assert path.read_bytes().startswith(before)
    assert [(line["event"], line["reason"]) for line in added] == [
        (kind, "by daylight") for kind in ("rating", "fault", "detail", "note")
    ]
    rating = journal(path)[len(journal(path)) - 4 - 3]  # the correction of the tool's own is the head
    assert added[0]["corrects"] == rating["n"] and added[0]["stars"] == 5
    assert added[0]["exposure_stops"] == -0.5
    assert [line["corrects"] for line in added[1:]] == [fault.line, next_time[0], note]
    assert added[1]["where"] == "centre"
    assert all(line["up"] is None for line in added)
    assert bare_text(standing(read_plate(path))) == bare_text(judgement)


def test_an_emptied_value_withdraws_its_line(tmp_path: Path) -> None:
    """Without stars the rating is withdrawn and its stops said anew; fault, detail and note are withdrawn."""
    path = put(tmp_path, judged(forgotten()))
    now = standing(read_plate(path))
    judgement = msgspec.structs.replace(now, stars=None, faults=(), details=now.details[:1], notes=())
    added = save(tmp_path, path, judgement, "wrong plate")
    kinds = [(line["event"], "corrects" in line, line.get("exposure_stops")) for line in added]
    assert kinds[:2] == [("rating", True, None), ("rating", False, -0.5)]
    assert len(added) == 5 and all("stars" not in line for line in added)
    judged_now = judge(read_plate(path).standing)
    assert (judged_now.stars, judged_now.exposure_stops, judged_now.faults, judged_now.notes) == (
        None,
        -0.5,
        (),
        (),
    )
    assert judged_now.details == (("next", "pour faster"),)


def test_an_older_rating_does_not_come_back(tmp_path: Path) -> None:
    """Two ratings, each said on its own: emptying the stars empties both, and what else they say stays."""
    events = forgotten()
    n = events[-1].n
    events += [
        ev.Rating(n=n + 1, at=AT, up=None, stars=3, best_strip=2),
        ev.Rating(n=n + 2, at=AT, up=None, stars=4, exposure_stops=1.0),
    ]
    path = put(tmp_path, events)
    now = standing(read_plate(path))
    assert (now.stars, now.exposure_stops, now.best_strip) == (4, 1.0, 2)
    save(tmp_path, path, msgspec.structs.replace(now, stars=None))
    judged_now = standing(read_plate(path))
    assert (judged_now.stars, judged_now.exposure_stops, judged_now.best_strip) == (None, 1.0, 2)


def test_a_rating_withdrawn_on_the_command_line_counts_no_more(tmp_path: Path) -> None:
    """A rating that says nothing withdraws the one it corrects, and what that one corrected."""
    events = judged(forgotten())
    head = [event for event in events if isinstance(event, ev.Rating)][-1]
    events.append(ev.Rating(n=events[-1].n + 1, at=AT, up=None, corrects=head.n, reason="another plate"))
    judged_now = judge(tuple(events))
    assert (judged_now.stars, judged_now.exposure_stops) == (None, None)


def test_a_judgement_from_elsewhere_is_never_written_over(tmp_path: Path) -> None:
    """Someone rates the plate between reading and saving: nothing is written, and it is said."""
    path = put(tmp_path, judged(forgotten()))
    log = read_plate(path)
    builders = change_builders(log, msgspec.structs.replace(standing(log), stars=1), None, AT)
    append.add(tmp_path, path, lambda n: ev.Note(n=n, at=AT, up=None, text="from the command line"))
    before = path.read_bytes()
    with pytest.raises(NotSavedError, match="judged from elsewhere meanwhile"):
        append.add_all(tmp_path, path, combined_builder(path, log, builders))
    assert path.read_bytes() == before


def test_a_moved_strike_between_is_no_hindrance(tmp_path: Path) -> None:
    """A line that is no judgement was added meanwhile: the judgement is saved after it."""
    path = put(tmp_path, judged(forgotten()))
    log = read_plate(path)
    builders = change_builders(log, msgspec.structs.replace(standing(log), stars=1), None, AT)
    append.add(tmp_path, path, lambda n: ev.Moved(n=n, at=AT, up=None, moves=(4,), seconds=-1.0))
    append.add_all(tmp_path, path, combined_builder(path, log, builders))
    assert (read_plate(path).problems, standing(read_plate(path)).stars) == ((), 1)


WORDS = st.sampled_from(("fog", "comets", "thin", "a = b"))
JUDGEMENTS = st.builds(
    StandingJudgement,
    stars=st.none() | st.integers(0, 5),
    exposure_stops=st.none() | st.sampled_from((-1.0, 0.0, 0.5)),
    best_strip=st.none() | st.integers(1, 4),
    nothing_else=st.sampled_from((None, True, ("fog",), ("comets", "fog"))),
    faults=st.lists(
        st.builds(
            FaultLine,
            name=WORDS,
            where=st.none() | WORDS,
            cause=st.none() | WORDS,
            answers=st.sampled_from(((), (("Is it grey?", "yes"),))),
        ),
        max_size=3,
    ).map(tuple),
    details=st.lists(st.tuples(st.none(), WORDS, WORDS), max_size=3).map(tuple),
    notes=st.lists(st.tuples(st.none(), WORDS), max_size=2).map(tuple),
)


def rewritten(events: list[Any], judgement: StandingJudgement) -> list[Any]:
    """Return the lines with those that make `judgement` stand, kept words at the lines they came from."""
    log = _log(events)
    now = standing(log)

    def placed(old_values: tuple[Any, ...], new_values: tuple[Any, ...]) -> tuple[Any, ...]:
        pairs = zip_longest(new_values, old_values[: len(new_values)])
        return tuple((old[0] if old else None, *new[1:]) for new, old in pairs)

    judgement = msgspec.structs.replace(
        judgement,
        faults=tuple(
            msgspec.structs.replace(new, line=old.line if old else None)
            for new, old in zip_longest(judgement.faults, now.faults[: len(judgement.faults)])
        ),
        details=placed(now.details, judgement.details),
        notes=placed(now.notes, judgement.notes),
    )
    more_events = list(events)
    for builder in change_builders(log, judgement, None, AT):
        more_events.extend(builder(more_events[-1].n + 1))
    return more_events


def _log(events: list[Any]) -> PlateLog:
    return PlateLog(
        plate="p",
        files=(Path("p"),),
        events=tuple(events),
        problems=(),
        schema=1,
        local_date="2026-03-01",
        journal_files=(),
        frames={},
    )


@settings(max_examples=examples(60))
@given(st.lists(JUDGEMENTS, min_size=1, max_size=5))
def test_whatever_was_judged_before_the_last_word_stands(steps: list[StandingJudgement]) -> None:
    """Any chain of judgements, each over the one before: what stands is the last, and no line is corrected
    twice."""
    events: list[Any] = forgotten()
    for judgement in steps:
        events = rewritten(events, judgement)
        assert bare_text(standing(_log(events))) == bare_text(judgement)
    corrected = [
        event.corrects for event in events if isinstance(event, ev.REVIEW) and event.corrects is not None
    ]
    assert len(corrected) == len(set(corrected))


def bare_text(judgement: StandingJudgement) -> tuple[Any, ...]:
    """Return a judgement as values, without lines or order."""
    return (
        judgement.stars,
        judgement.exposure_stops,
        judgement.best_strip,
        judgement.nothing_else,
        sorted(repr(said.fault) for said in judgement.faults),
        sorted(map(repr, (detail[1:] for detail in judgement.details))),
        sorted(map(repr, (note[1:] for note in judgement.notes))),
    )


def test_a_cause_that_is_confirmed_later_corrects_the_fault(tmp_path: Path) -> None:
    """A cause and an answer are one line in the place of the fault's; without them the fault stays."""
    path = put(tmp_path, judged(forgotten()))
    now = standing(read_plate(path))
    (fault,) = now.faults
    told = msgspec.structs.replace(fault, cause="warm developer", answers=(("Is it grey?", "yes"),))
    (line,) = save(tmp_path, path, msgspec.structs.replace(now, faults=(told,)))
    assert (line["corrects"], line["name"], line["where"]) == (fault.line, fault.name, fault.where)
    assert (line["cause"], line["answers"]) == ("warm developer", {"Is it grey?": "yes"})
    (stands,) = standing(read_plate(path)).faults
    assert stands.fault == told.fault
    (line,) = save(
        tmp_path,
        path,
        msgspec.structs.replace(now, faults=(msgspec.structs.replace(fault, line=stands.line),)),
    )
    assert "cause" not in line and "answers" not in line
    assert judge(read_plate(path).standing).faults == (fault.fault,)


def test_nothing_else_is_a_value_of_the_rating(tmp_path: Path) -> None:
    """It is kept by a later rating, withdrawn by itself, and a rating that says it alone is one."""
    path = put(tmp_path, forgotten())
    now = standing(read_plate(path))
    (line,) = save(tmp_path, path, msgspec.structs.replace(now, nothing_else=("fog", "comets")))
    assert (line["event"], line["nothing_else"]) == ("rating", ["fog", "comets"])
    now = standing(read_plate(path))
    assert now.nothing_else == ("fog", "comets")
    (line,) = save(tmp_path, path, msgspec.structs.replace(now, stars=4))
    assert "nothing_else" not in line
    now = standing(read_plate(path))
    assert (now.stars, now.nothing_else) == (4, ("fog", "comets"))
    save(tmp_path, path, msgspec.structs.replace(now, nothing_else=False))
    now = standing(read_plate(path))
    assert (now.stars, now.nothing_else) == (4, None)
