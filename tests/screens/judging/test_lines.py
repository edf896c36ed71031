"""What a changed judgement becomes: only what changed, each a new line; what stood stays."""

from __future__ import annotations

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
from darkroom.log.review.judgement import StandingJudgement, change_builders, combined_builder, standing
from tests.kit.log_commands import journal
from tests.kit.nightly import examples
from tests.kit.plates import forgotten, judged, put

AT = "2026-03-03T09:00:00.000+01:00"


def save(
    home: Path, path: Path, wanted: StandingJudgement, reason: str | None = None
) -> list[dict[str, Any]]:
    """Make `wanted` stand; return the lines that were added."""
    before = len(journal(path))
    log = read_plate(path)
    builders = change_builders(log, wanted, reason, AT)
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
    ((fault, _, _),) = now.faults
    (next_time, varnish), ((note, _),) = now.details, now.notes
    wanted = msgspec.structs.replace(
        now,
        stars=5,
        faults=((fault, "comets", "centre"),),
        details=((next_time[0], "next", "pour slower"), varnish),
        notes=((note, "clean, deep shadows"),),
    )
    added = save(tmp_path, path, wanted, "by daylight")
    assert path.read_bytes().startswith(before)
    assert [(one["event"], one["reason"]) for one in added] == [
        (kind, "by daylight") for kind in ("rating", "fault", "detail", "note")
    ]
    rating = journal(path)[len(journal(path)) - 4 - 3]  # the correction of the tool's own is the head
    assert added[0]["corrects"] == rating["n"] and added[0]["stars"] == 5
    assert added[0]["exposure_stops"] == -0.5
    assert [one["corrects"] for one in added[1:]] == [fault, next_time[0], note]
    assert added[1]["where"] == "centre"
    assert all(one["up"] is None for one in added)
    assert bare_text(standing(read_plate(path))) == bare_text(wanted)


def test_an_emptied_value_withdraws_its_line(tmp_path: Path) -> None:
    """Without stars the rating is withdrawn and its stops said anew; fault, detail and note are withdrawn."""
    path = put(tmp_path, judged(forgotten()))
    now = standing(read_plate(path))
    wanted = msgspec.structs.replace(now, stars=None, faults=(), details=now.details[:1], notes=())
    added = save(tmp_path, path, wanted, "wrong plate")
    kinds = [(one["event"], "corrects" in one, one.get("exposure_stops")) for one in added]
    assert kinds[:2] == [("rating", True, None), ("rating", False, -0.5)]
    assert len(added) == 5 and all("stars" not in one for one in added)
    found = judge(read_plate(path).standing)
    assert (found.stars, found.exposure_stops, found.faults, found.notes) == (None, -0.5, (), ())
    assert found.details == (("next", "pour faster"),)


def test_an_older_rating_does_not_come_back(tmp_path: Path) -> None:
    """Two ratings, each said on its own: emptying the stars empties both, and what else they say stays."""
    lines = forgotten()
    n = lines[-1].n
    lines += [
        ev.Rating(n=n + 1, at=AT, up=None, stars=3, best_strip=2),
        ev.Rating(n=n + 2, at=AT, up=None, stars=4, exposure_stops=1.0),
    ]
    path = put(tmp_path, lines)
    now = standing(read_plate(path))
    assert (now.stars, now.exposure_stops, now.best_strip) == (4, 1.0, 2)
    save(tmp_path, path, msgspec.structs.replace(now, stars=None))
    found = standing(read_plate(path))
    assert (found.stars, found.exposure_stops, found.best_strip) == (None, 1.0, 2)


def test_a_rating_withdrawn_on_the_command_line_counts_no_more(tmp_path: Path) -> None:
    """A rating that says nothing withdraws the one it corrects, and what that one corrected."""
    lines = judged(forgotten())
    head = [line for line in lines if isinstance(line, ev.Rating)][-1]
    lines.append(ev.Rating(n=lines[-1].n + 1, at=AT, up=None, corrects=head.n, reason="another plate"))
    found = judge(tuple(lines))
    assert (found.stars, found.exposure_stops) == (None, None)


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
    faults=st.lists(st.tuples(st.none(), WORDS, st.none() | WORDS), max_size=3).map(tuple),
    details=st.lists(st.tuples(st.none(), WORDS, WORDS), max_size=3).map(tuple),
    notes=st.lists(st.tuples(st.none(), WORDS), max_size=2).map(tuple),
)


def rewritten(lines: list[Any], wanted: StandingJudgement) -> list[Any]:
    """Return the lines with those that make `wanted` stand, kept words at the lines they came from."""
    log = _log(lines)
    now = standing(log)

    def placed(had: tuple[Any, ...], words: tuple[Any, ...]) -> tuple[Any, ...]:
        return tuple(
            (old[0] if old else None, *new[1:])
            for new, old in zip(words, [*had[: len(words)], *[None] * (len(words) - len(had))], strict=True)
        )

    wanted = msgspec.structs.replace(
        wanted,
        faults=placed(now.faults, wanted.faults),
        details=placed(now.details, wanted.details),
        notes=placed(now.notes, wanted.notes),
    )
    made = list(lines)
    for builder in change_builders(log, wanted, None, AT):
        made.extend(builder(made[-1].n + 1))
    return made


def _log(lines: list[Any]) -> PlateLog:
    return PlateLog(
        plate="p",
        files=(Path("p"),),
        events=tuple(lines),
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
    lines: list[Any] = forgotten()
    for wanted in steps:
        lines = rewritten(lines, wanted)
        assert bare_text(standing(_log(lines))) == bare_text(wanted)
    corrected = [line.corrects for line in lines if isinstance(line, ev.REVIEW) and line.corrects is not None]
    assert len(corrected) == len(set(corrected))


def bare_text(one: StandingJudgement) -> tuple[Any, ...]:
    """Return a judgement as values, without lines or order."""
    return (
        one.stars,
        one.exposure_stops,
        one.best_strip,
        sorted(map(repr, (fault[1:] for fault in one.faults))),
        sorted(map(repr, (detail[1:] for detail in one.details))),
        sorted(map(repr, (note[1:] for note in one.notes))),
    )
