"""What the log tells of its plates for the question why one of them failed."""

from __future__ import annotations

import sqlite3
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import msgspec
import pytest

from darkroom.bench import events as ev
from darkroom.faults.history import PlateFigures
from darkroom.log.bottles.files import read_shelf
from darkroom.log.catalogue import fault_history as module
from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.database import NAME
from darkroom.log.catalogue.fault_history import Confirmed, confirmed_causes, fault_history
from darkroom.log.journal import append
from darkroom.log.store import paths
from darkroom.process.model import ExposurePlan
from darkroom.resources import fault_catalogue
from tests.kit import damage, fault_season, season

LAST_DAY = datetime(2026, 5, 16, 9, tzinfo=UTC)
FAULTS = fault_catalogue()[0]
AT = "2026-05-20T20:00:00.000+02:00"


def history(home: Path, upto: str | None = None, **more: Any) -> list[PlateFigures]:
    """Return the history of a log as it is now."""
    with Catalogue(home) as log:
        log.check()
        return fault_history(log, FAULTS, read_shelf(home).bottles, {}, upto, **more)


def confirmed(home: Path) -> Confirmed:
    """Return the confirmed causes of a log as it is now."""
    with Catalogue(home) as log:
        log.check()
        return confirmed_causes(log, FAULTS)


@pytest.fixture
def fog(home: Path) -> list[Path]:
    """Return the journals of the run of forty plates in which fog begins at plate 31."""
    return [fault_season.shelve_plate(home, number, LAST_DAY, {}) for number in range(1, 41)]


def say(home: Path, path: Path, kind: Any, **members: Any) -> int:
    """Add a line of review to a plate; return its number."""
    return append.add(home, path, lambda n: kind(n=n, at=AT, up=None, **members)).n


def test_a_plate_is_told_as_it_was_recorded(home: Path, fog: list[Path]) -> None:
    """Plate 31 has its stages by part, its readings, what was proposed and given, its holder, its fault."""
    plate = history(home)[30]
    assert (plate.number, plate.process, plate.judged) == (31, "Clear-glass ambrotype", True)
    assert (plate.day, plate.instant) == ("2026-05-15", LAST_DAY.timestamp() - 86400.0)
    assert [(mark.name, mark.where) for mark in plate.faults] == [("general fog", "all over")]
    assert (plate.stars, plate.stops, plate.proposed, plate.exposed) == (2, 0.0, 8.0, 8.0)
    assert plate.temperatures == {
        "room": 20.0, "bath": 19.5, "developer": fault_season.celsius_of(31), "water": 14.0, "fixer": 20.0
    }  # fmt: skip
    assert (plate.humidity, plate.holder, plate.camera) == (55.0, "holder 2", "bellows camera")
    assert {part: plate.stages[part].seconds for part in ("coat", "drain", "stop", "fix")} == {
        "coat": 25.0, "drain": 40.0, "stop": 30.0, "fix": 110.0
    }  # fmt: skip
    assert plate.stages["fix"].cleared == 55.0
    developing = plate.stages["develop"]
    assert (developing.seconds, developing.celsius) == (developing.planned, fault_season.celsius_of(31))
    assert plate.stages["drain"].usual == (15.0, 60.0)
    assert {role: bottle.name for role, bottle in plate.bottles.items()} == {
        "collodion": "C-1", "bath": "B-1", "developer": "D-4", "fixer": "F-1"
    }  # fmt: skip


def test_what_was_looked_for_is_known(home: Path, fog: list[Path]) -> None:
    """`true` stands for the shipped faults; a list is what it says, so a newer fault was not looked for."""
    say(home, fog[1], ev.Rating, nothing_else=["general fog", "comets"])
    told = history(home)
    shipped = tuple(FAULTS.faults)
    assert told[0].looked_for == shipped and told[0].lacks("general fog")
    assert told[1].looked_for == ("general fog", "comets")
    assert told[1].lacks("comets") and not told[1].lacks("pinholes")
    unjudged = told[fault_season.UNJUDGED - 1]
    assert (unjudged.judged, unjudged.looked_for, unjudged.lacks("general fog")) == (False, None, False)
    assert told[30].has("general fog") and not told[30].lacks("general fog")


def test_a_cause_and_its_answers_are_told(home: Path, fog: list[Path]) -> None:
    """What was said of a fault's cause comes with it, and the detail of when the image showed."""
    say(home, fog[20], ev.Fault, name="comets", cause="dust", answers={"Do they point one way?": "yes"})
    say(home, fog[20], ev.Detail, key="first seen", value="4 s")
    plate = history(home)[20]
    (mark,) = plate.faults
    assert (mark.cause, mark.answers) == ("dust", {"Do they point one way?": "yes"})
    assert plate.first_seen == 4.0


def test_an_assumed_temperature_is_no_reading(home: Path) -> None:
    """Of a season's plates those whose values were assumed have no temperature and no humidity."""
    season.write(home, 60, seed=5, days=20)
    with Catalogue(home) as log:
        log.check()
        assumed = {row["plate"] for row in log.plates() if row["humidity_from"] == "assumed"}
    told = history(home)
    assert 0 < len(assumed) < 60
    for plate in told:
        celsius = [stage.celsius for stage in plate.stages.values() if stage.celsius is not None]
        assert (plate.humidity is None, not plate.temperatures, not celsius) == (plate.plate in assumed,) * 3


def test_a_stage_that_was_left_out_or_told_took_no_known_time(home: Path, fog: list[Path]) -> None:
    """A drain that was skipped, and a coat that was told afterwards, are not recorded."""
    events = [
        msgspec.structs.replace(line, how={"drain": "skipped", "coat": "told"}[line.stage])
        if isinstance(line, ev.StageEnded) and line.stage in ("drain", "coat")
        else line
        for line in _lines(fog[5])
    ]
    _write(fog[5], events)
    told = history(home)
    assert not {"drain", "coat"} & told[5].stages.keys()
    assert {"drain", "coat"} <= told[4].stages.keys()


def test_an_exposure_that_cannot_be_compared_is_not_told(home: Path, fog: list[Path]) -> None:
    """Nobody saw the cap go on: no seconds. A test plate has strips, and no one time to hold against."""
    unseen = [
        msgspec.structs.replace(line, unseen=True)
        if isinstance(line, ev.StageEnded) and line.stage == "expose"
        else line
        for line in _lines(fog[5])
    ]
    _write(fog[5], unseen)
    start, *rest = _lines(fog[6])
    assert isinstance(start, ev.PlateStarted)
    steps = ExposurePlan(steps=(2.0, 2.0, 4.0), between="run_on")
    _write(fog[6], [msgspec.structs.replace(start, plan=steps), *rest])
    told = history(home)
    assert (told[4].exposed, told[4].proposed) == (8.0, 8.0)
    assert (told[5].exposed, told[5].proposed) == (None, 8.0)
    assert told[6].proposed is None


def test_the_plates_around_one_are_read_and_no_more(
    home: Path, fog: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """So many up to the plate and so many after it, oldest first; without one the newest."""
    monkeypatch.setattr(module, "BEFORE", 10)
    monkeypatch.setattr(module, "AFTER", 3)
    upto = fog[19].stem
    assert [plate.number for plate in history(home, upto)] == list(range(11, 24))
    assert [plate.number for plate in history(home)] == list(range(31, 41))


def test_rehearsals_and_plates_without_a_start_are_not_among_them(home: Path, fog: list[Path]) -> None:
    """A rehearsal is no plate; a journal that lost its first line tells of no process."""
    rehearsals = home / paths.REHEARSALS / "2026" / "2026-05-15"
    rehearsals.mkdir(parents=True)
    (rehearsals / "20260515-120000-zzzzzz.jsonl").write_bytes(fog[30].read_bytes())
    lost = fog[10].read_bytes().splitlines(keepends=True)
    fog[10].write_bytes(b"".join(lost[1:]))
    assert [plate.number for plate in history(home)] == [n for n in range(1, 41) if n != 11]


@pytest.mark.parametrize("name", ["plates", "plates_by_id", "faults", "faults_by_cause"])
def test_lost_rows_are_noticed(home: Path, fog: list[Path], name: str) -> None:
    """With an empty page in place of a first one the journals are read anew, and both answers are whole."""
    say(home, fog[30], ev.Fault, name="general fog", cause="light leak")
    whole = history(home), confirmed(home)
    assert len(whole[0]) == len(fog)
    assert whole[1].plates == 1
    lost = damage.emptied(home, name)
    found = []
    for ask in (lambda log: fault_history(log, FAULTS, read_shelf(home).bottles, {}),
                lambda log: confirmed_causes(log, FAULTS)):  # fmt: skip
        damage.put(home, lost)
        with Catalogue(home) as log:
            found.append(ask(log))
    assert tuple(found) == whole


def test_confirmed_causes_are_counted_over_the_whole_log(home: Path, fog: list[Path]) -> None:
    """A plate counts once for a cause; "none of these" is an answer, a cause of no catalogue is none."""
    assert confirmed(home) == Confirmed()
    first = say(home, fog[30], ev.Fault, name="general fog", cause="Light Leak")
    say(home, fog[30], ev.Fault, name="general fog", where="edge", cause="light leak")
    say(home, fog[31], ev.Fault, name="general fog", cause="light leak")
    say(home, fog[32], ev.Fault, name="general fog", cause="None  of these")
    say(home, fog[33], ev.Fault, name="general fog", cause="the moon")
    assert confirmed(home) == Confirmed(causes={"light leak": 2}, plates=3)
    say(home, fog[30], ev.Fault, name="general fog", cause="old developer", corrects=first)
    assert confirmed(home).causes == {"light leak": 2, "old developer": 1}
    rehearsals = home / paths.REHEARSALS / "2026" / "2026-05-15"
    rehearsals.mkdir(parents=True)
    (rehearsals / "20260515-120000-zzzzzz.jsonl").write_bytes(fog[31].read_bytes())
    assert confirmed(home).causes == {"light leak": 2, "old developer": 1}


@pytest.mark.parametrize("table", ["faults", "stages", "readings", "uses", "processes"])
def test_a_row_that_was_lost_is_read_again(home: Path, fog: list[Path], table: str) -> None:
    """A catalogue that has lost rows is filled anew: nothing is told that the journals do not hold."""
    truth = history(home, whole=["20260515-090000-aaaa31"])
    with sqlite3.connect(home / NAME) as db:
        place = "sum IN (SELECT process_sum FROM plates)" if table == "processes" else "path LIKE '%aaaa31%'"
        assert db.execute(f"DELETE FROM {table} WHERE {place}").rowcount > 0
    with Catalogue(home) as log:
        log.read_changes()
        told = fault_history(log, FAULTS, read_shelf(home).bottles, {}, whole=["20260515-090000-aaaa31"])
    assert told == truth


def _lines(path: Path) -> list[ev.AnyEvent]:
    from darkroom.log.journal.merge import read_plate

    return list(read_plate(path).events)  # type: ignore[arg-type]


def _write(path: Path, events: list[ev.AnyEvent]) -> None:
    from darkroom.log.journal import frame

    path.write_bytes(b"".join(map(frame.encode, events)))
