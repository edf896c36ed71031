"""JSON Lines read back by jq and by the standard library; nothing of the journal is lost in them."""

from __future__ import annotations

import csv
import json
import shutil
import subprocess
import zlib
from pathlib import Path

import pytest

from darkroom.bench import events as ev
from darkroom.log.journal import frame
from darkroom.log.plate.faults import JudgedFault
from darkroom.log.plate.record import judge
from tests.kit.exports import EVIL, FIRST, SECOND, WORDS, hostile, shelve, worked

needs_jq = pytest.mark.skipif(shutil.which("jq") is None, reason="needs jq")


def jq(question: str, path: Path) -> list[str]:
    """Ask jq about a file; return its answer's lines."""
    answer = subprocess.run(
        ["jq", "-r", question, str(path)], capture_output=True, text=True, check=True, timeout=30
    )
    assert answer.stderr == ""
    return answer.stdout.splitlines()


@needs_jq
def test_jq_reads_one_object_a_plate(season: Path, out: Path, export) -> None:
    """jq finds each plate, its numbers as numbers, its stages in order."""
    assert export("jsonl", "--all", "--to", out / "season.jsonl")[0] == 0
    path = out / "season.jsonl"
    assert jq(".plate", path) == [FIRST, SECOND, EVIL]
    assert jq("select(.number == 12) | .exposure_given_s + .stars", path) == ["12"]
    assert jq('select(.number == 12) | .stages[] | select(.stage == "develop") | .took_s', path) == ["17"]
    assert jq("select(.number == 14) | .stars", path) == ["null"]


@needs_jq
def test_jq_reads_one_object_a_stage(season: Path, out: Path, export) -> None:
    """With --rows stages jq groups and averages over stages."""
    export("jsonl", "--all", "--rows", "stages", "--to", out / "stages.jsonl")
    question = 'select(.stage == "sensitise") | "\\(.number) \\(.took_s) \\(.celsius) \\(.celsius_from)"'
    assert jq(question, out / "stages.jsonl") == [
        "12 225 18.5 hand",
        "14 225 18.5 hand",
        "13 225 18.5 hand",
    ]


def test_every_event_is_there_as_it_was_written(season: Path, out: Path, export) -> None:
    """The events of each object are the journal's own lines, read by the standard library, less the sum."""
    export("jsonl", "--all", "--to", out / "season.jsonl")
    for text in (out / "season.jsonl").read_text("utf-8").split("\n")[:-1]:
        plate = json.loads(text)
        journal = [json.loads(line) for line in Path(plate["file"]).read_bytes().split(b"\n")[:-1]]
        for line in journal:
            del line["sum"]
        assert plate["events"] == journal


def test_hostile_words_come_back_unchanged(home: Path, out: Path, export) -> None:
    """NUL, newlines, quotes and signs that turn the direction come back as typed, on one line of the file."""
    shelve(home, hostile())
    export("jsonl", EVIL, "--to", out / "one.jsonl")
    data = (out / "one.jsonl").read_bytes()
    assert data.count(b"\n") == 1
    plate = json.loads(data)
    assert (plate["subject"], plate["notes"][-1]) == (WORDS, WORDS)


def test_an_event_from_a_newer_darkroom_is_kept(home: Path, out: Path, export) -> None:
    """A line that this version does not know is exported with all its members."""
    events = worked()
    path = shelve(home, events)
    newer = frame.encode(ev.Note(n=events[-1].n + 1, at="2026-03-01T20:00:00.000+01:00", up=None, text="x"))
    body = newer.split(b',"sum"')[0].replace(b'"event":"note"', b'"event":"scanned"')
    path.write_bytes(path.read_bytes() + body + b',"sum":"%08x"}\n' % zlib.crc32(body))
    export("jsonl", FIRST, "--to", out / "one.jsonl")
    plate = json.loads((out / "one.jsonl").read_bytes())
    assert plate["events"][-1]["event"] == "scanned"
    assert plate["events"][-1]["members"]["text"] == "x"


def rating(n: int, **members: object) -> ev.Rating:
    """Return a rating."""
    return ev.Rating(n=n, at="2026-03-01T20:00:00.000+01:00", up=None, **members)  # type: ignore[arg-type]


def test_a_correction_stands_where_the_corrected_stood() -> None:
    """A corrected rating gives way member by member, and does not overtake a later one."""
    ratings = (rating(1, stars=2, exposure_stops=1.0), rating(2, stars=5), rating(3, stars=4, corrects=1))
    judged = judge(ratings)
    assert (judged.stars, judged.exposure_stops) == (5, 1.0)
    assert judge((rating(1, stars=2), rating(2, stars=4, corrects=1))).stars == 4


def test_a_corrected_note_counts_no_more() -> None:
    """Of a note and its correction only the correction is exported as a note."""
    when = "2026-03-01T20:00:00.000+01:00"
    lines = (
        ev.Note(n=1, at=when, up=None, text="comet"),
        ev.Fault(n=2, at=when, up=None, name="fog"),
        ev.Note(n=3, at=when, up=None, text="oyster", corrects=1),
        ev.Fault(n=4, at=when, up=None, name="veil", corrects=2),
    )
    judged = judge(lines)
    assert (judged.notes, judged.faults) == (("oyster",), (JudgedFault("veil"),))


def test_cause_and_answers_of_a_fault_are_members(home: Path, out: Path, export) -> None:
    """The faults stay texts; beside them each with its cause and answers, and what was looked for."""
    events = worked()
    n, when = events[-1].n, "2026-03-01T20:00:00.000+01:00"
    answers = {"Is it grey?": "yes"}
    events += [
        ev.Fault(n=n + 1, at=when, up=None, name="fog", where="edge", cause="old developer", answers=answers),
        ev.Rating(n=n + 2, at=when, up=None, nothing_else=["fog", "comets"]),
    ]
    shelve(home, events)
    export("jsonl", FIRST, "--to", out / "one.jsonl")
    plate = json.loads((out / "one.jsonl").read_bytes())
    assert plate["faults"] == ["comet (upper corner)", "fog (edge)"]
    assert plate["fault_causes"] == [
        {"name": "comet", "where": "upper corner", "cause": None, "answers": {}},
        {"name": "fog", "where": "edge", "cause": "old developer", "answers": answers},
    ]
    assert plate["nothing_else"] == ["fog", "comets"]
    export("csv", FIRST, "--to", out / "one.csv")
    with (out / "one.csv").open(encoding="utf-8", newline="") as file:
        (row,) = csv.DictReader(file)
    assert row["causes of the faults"] == "fog (edge): old developer"
    assert (row["faults"], row["nothing else"]) == ("comet (upper corner)\nfog (edge)", "yes")
