"""Why a plate failed, and what to try before the next one, from a log on disk."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import msgspec
import pytest

from darkroom.bench import events as ev
from darkroom.faults.answer import Why
from darkroom.log.catalogue import fault_history
from darkroom.log.catalogue.plate_faults import PlateWhy, faults_since, why_plate
from darkroom.log.journal import append
from darkroom.log.plate.comparison import shown
from darkroom.log.plate.record import PlateRecord, read_record
from darkroom.log.store import paths
from darkroom.resources import fault_catalogue
from tests.kit import fault_season

LAST_DAY = datetime(2026, 5, 16, 9, tzinfo=UTC)
FAULTS = fault_catalogue()[0]
PROCESS = "Clear-glass ambrotype"
AT = "2026-05-20T20:00:00.000+02:00"


def run(home: Path, plates: int, first: int = 1) -> list[Path]:
    """Write the plates of the run of forty, from `first` up to so many."""
    return [fault_season.shelve_plate(home, number, LAST_DAY, {}) for number in range(first, plates + 1)]


def say(home: Path, path: Path, kind: Any, **members: Any) -> None:
    """Add a line of review to a plate."""
    append.add(home, path, lambda n: kind(n=n, at=AT, up=None, **members))


def told(home: Path, plate: Path | str) -> Why:
    """Return the answer of a plate that has one."""
    answer = why_plate(home, plate, FAULTS, {})
    assert answer.why is not None, answer.trouble
    return answer.why


def test_fog_after_a_new_warm_developer(home: Path) -> None:
    """It began with plate 31, with the developer D-4; the first cause named is that it is too warm.

    A practitioner looks at the developer's temperature first when fog comes in warm weather: common practice.
    """
    path = run(home, 34)[31]
    answer = why_plate(home, path, FAULTS, {})
    why = answer.why
    assert why is not None and answer.trouble is None
    (began,) = why.began
    assert (began.number, began.plates, began.after) == (31, 2, 30)
    assert any("D-4" in new for new in began.new)
    assert why.causes[0].cause == "developer too warm"
    assert any("against your usual" in weighed.says for weighed in why.causes[0].evidence)
    assert why.advice is not None and why.advice.kind == "change"
    assert sum(likely.chance > 0.1 for likely in why.causes) >= 2
    assert (why.usual_plates, why.confirmed) == (20, 0)


def test_the_nearest_good_plate_and_what_differs(home: Path) -> None:
    """The good plate is one without the fault, and the developer's temperature is among the differences."""
    answer = why_plate(home, run(home, 34)[31], FAULTS, {})
    assert answer.good is not None and answer.why is not None
    assert answer.good == answer.why.nearest_good
    number = int(answer.good[-2:])
    assert number < fault_season.FIRST_FOG and answer.good_title == f"Plate {number}"
    warmer = next(each for each in answer.differences if each.what == "developer at the start")
    assert (warmer.first, warmer.second) == (fault_season.celsius_of(32), fault_season.celsius_of(number))
    what = {each.what: (each.first, each.second) for each in answer.differences}
    assert what["developer bottle"] == ("D-4", "D-3")
    assert not what.keys() & {"stars", "fault", "subject", "notes", "bottle ids"}


def test_a_difference_that_reads_the_same_of_both_is_none(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Times that differ by less than their words tell are left out, for the page, the command and JSON."""
    monkeypatch.setitem(fault_season.SECONDS, "drain", 25.2)
    plates = run(home, 33)
    monkeypatch.setitem(fault_season.SECONDS, "drain", 25.4)
    plates += run(home, 34, first=34)
    answer = why_plate(home, plates[33], FAULTS, {})
    good = next(path for path in plates if path.stem == answer.good)
    took = [_drained(read_record(path)) for path in (plates[33], good)]
    assert took[0] != took[1] and shown(took[0], "s") == shown(took[1], "s")
    assert "drain: took" not in {each.what for each in answer.differences}
    assert all(shown(each.first, each.unit) != shown(each.second, each.unit) for each in answer.differences)


def _drained(record: PlateRecord) -> float | None:
    return next(stage.seconds for stage in record.account.stages if stage.stage == "drain")


def test_a_plate_by_its_id_or_its_file(home: Path) -> None:
    """Both name it; a plate that came after it may be the good one, and does not move its causes."""
    path = run(home, 34)[33]
    before = told(home, path)
    run(home, 40, first=35)
    after = told(home, path.stem)
    assert after.causes == before.causes and after.began == before.began
    assert after.nearest_good is not None and int(after.nearest_good[-2:]) > fault_season.LAST_FOG


def test_a_confirmed_cause_moves_the_counts(home: Path) -> None:
    """Confirmed on three plates, a cause is likelier on the fourth, and the count is told."""
    run_paths = run(home, 34)
    before = told(home, run_paths[33])
    leak = next(likely for likely in before.causes if likely.cause == "light leak")
    for path in run_paths[30:33]:
        say(home, path, ev.Fault, name="general fog", where="all over", cause="light leak")
    after = told(home, run_paths[33])
    moved = next(likely for likely in after.causes if likely.cause == "light leak")
    assert moved.chance > leak.chance and (moved.confirmed, after.confirmed) == (3, 3)


def test_an_answer_speaks_for_the_plate_it_was_given_of(home: Path) -> None:
    """The question about the holder's edge moves the light leak of that plate, and of no other."""
    run_paths = run(home, 34)
    question = next(ask.question for ask in FAULTS.faults["general fog"].asks if "edge" in ask.question)

    def leak(path: Path) -> float:
        return next(likely.chance for likely in told(home, path).causes if likely.cause == "light leak")

    before = [leak(path) for path in run_paths[31:33]]
    n = next(line.n for line in fault_lines(run_paths[31]))
    say(home, run_paths[31], ev.Fault, name="general fog", answers={question: "yes"}, corrects=n)
    assert leak(run_paths[31]) < before[0] and leak(run_paths[32]) == pytest.approx(before[1])


def fault_lines(path: Path) -> list[ev.Fault]:
    """Return the faults of a journal."""
    from darkroom.log.journal.merge import read_plate

    return [line for line in read_plate(path).standing if isinstance(line, ev.Fault)]


def test_nothing_is_inferred_from_free_words(home: Path) -> None:
    """A name that is not in the catalogue is listed; a label in another case is the fault it names."""
    run_paths = run(home, 33)
    say(home, run_paths[10], ev.Fault, name="a green moon")
    free = told(home, run_paths[10])
    assert (free.unknown, free.causes, free.none, free.advice) == (("a green moon",), (), 1.0, None)
    n = next(line.n for line in fault_lines(run_paths[31]))
    say(home, run_paths[31], ev.Fault, name="General  FOG", corrects=n)
    assert [fault.name for fault in told(home, run_paths[31]).faults] == ["general fog"]


def test_a_plate_without_a_fault_has_no_causes(home: Path) -> None:
    """One that was judged good, and one that nobody judged: no fault, no cause, no advice."""
    run_paths = run(home, 30)
    for number in (29, fault_season.UNJUDGED):
        why = told(home, run_paths[number - 1])
        assert (why.number, why.faults, why.causes, why.advice) == (number, (), (), None)


def test_what_cannot_be_told_is_said(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An unknown plate, a rehearsal, a log that fails: one sentence each, and nothing is raised."""
    path = run(home, 32)[31]
    rehearsals = home / paths.REHEARSALS / "2026" / "2026-05-15"
    rehearsals.mkdir(parents=True)
    rehearsal = rehearsals / "20260515-120000-zzzzzz.jsonl"
    rehearsal.write_bytes(path.read_bytes())
    for plate in ("20260515-120000-zzzzzz", rehearsal, "no plate"):
        answer = why_plate(home, plate, FAULTS, {})
        assert (
            answer.why is None and answer.trouble is not None and "tells nothing of plate" in answer.trouble
        )
    assert why_plate(home / "nowhere", path, FAULTS, {}).why is None
    monkeypatch.setattr(fault_history, "parts", lambda process: 1 / 0)
    assert why_plate(home, path, FAULTS, {}) == PlateWhy(
        trouble="the log cannot be looked at: division by zero"
    )
    assert faults_since(home, FAULTS, {}) == {}


def test_advice_stands_until_a_plate_is_judged_without_the_fault(home: Path) -> None:
    """Before plate 31 there is none; after it there is; a plate that nobody judged changes nothing; a good
    one ends it."""
    run_paths = run(home, 30)
    assert all(one.gone for one in faults_since(home, FAULTS, {}).values())
    run_paths += run(home, 32, first=31)
    since = faults_since(home, FAULTS, {})
    assert since.keys() == {PROCESS} and since[PROCESS].why.number == 32
    assert "since plate 31" in since[PROCESS].text and "fog" in since[PROCESS].text
    fault_season.shelve_plate(home, 33, LAST_DAY, {}, judged=False)
    assert faults_since(home, FAULTS, {})[PROCESS].why.number == 32
    run(home, 36, first=35)
    ended = faults_since(home, FAULTS, {})[PROCESS]
    assert ended.gone and ended.why.causes == ()
    assert "gone since plate 35: c on plate 32's page confirms the cause" in ended.text
    marked = next(line for line in lines_of(run_paths[31]) if isinstance(line, ev.Fault))
    say(home, run_paths[31], ev.Fault, name=marked.name, cause="none of these", corrects=marked.n)
    assert faults_since(home, FAULTS, {}) == {}


def test_advice_is_of_one_process(home: Path) -> None:
    """A good plate of another process does not end it, and has none of its own."""
    run_paths = run(home, 32)
    other = fault_season.shelve_plate(home, 35, LAST_DAY, {})
    changed = [
        msgspec.structs.replace(line, process={**line.process, "name": "Tintype"})
        if isinstance(line, ev.PlateStarted)
        else line
        for line in lines_of(other)
    ]
    write(other, changed)
    since = faults_since(home, FAULTS, {})
    assert {process: one.why.plate for process, one in since.items()} == {PROCESS: run_paths[31].stem}


def test_a_fault_of_free_words_gives_no_advice(home: Path) -> None:
    """The newest plate has a fault that no catalogue knows: nothing is inferred, and nothing advised."""
    run_paths = run(home, 30)
    say(home, run_paths[29], ev.Fault, name="a green moon")
    assert all(one.gone for one in faults_since(home, FAULTS, {}).values())


def lines_of(path: Path) -> list[Any]:
    """Return the lines of a journal."""
    from darkroom.log.journal.merge import read_plate

    return list(read_plate(path).events)


def write(path: Path, events: list[Any]) -> None:
    """Write a journal anew."""
    from darkroom.log.journal import frame

    path.write_bytes(b"".join(map(frame.encode, events)))
