"""Journals and exports read straight from disk by jq and DuckDB, which know nothing of darkroom."""

from __future__ import annotations

import csv
import json
import shutil
import subprocess
import zlib
from collections import Counter
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from darkroom.bench import events as ev
from darkroom.bench import intents as want
from darkroom.bench.fold import fold
from darkroom.cli import main
from darkroom.event_base import Newer
from darkroom.log.journal.find import find_plates
from darkroom.log.journal.merge import PlateLog, read_plate
from darkroom.log.journal.plate_lines import READER
from tests.kit import season
from tests.kit.bench import Hand
from tests.kit.journals import ReportLog, eager_writer

PLATES = 220
SUBJECT = 'Gartenhaus, "links"\nzweite Zeile \u2028 \\ Ende'
OURS = "20260301-090000-00000"
"""The ids of the plates worked at the bench begin so: a digit follows."""

needs_jq = pytest.mark.skipif(shutil.which("jq") is None, reason="needs jq")
Log = tuple[Path, list[PlateLog]]
Sql = Callable[..., list[tuple[Any, ...]]]


@pytest.fixture(scope="module")
def logs(tmp_path_factory: pytest.TempPathFactory) -> Log:
    """Return a log written by the bench's own writer, and its plates by our own reader, oldest first."""
    home = tmp_path_factory.mktemp("foreign") / "home"
    report_log = ReportLog()
    writer = eager_writer(home, report_log)
    for number in range(4):
        for written in causes(f"{OURS}{number}", 900 + number):
            writer.write(f"{OURS}{number}", "2026-03-01", written)
    for made in season.season(PLATES, seed=11, days=30):
        writer.write(made.plate, made.day, [known(line) for line in made.data.split(b"\n")[:-1]])
        writer.release(made.plate)
    writer.close(60)
    assert report_log.kinds() == [] and not writer.waiting()
    plates = [read_plate(path) for path in find_plates(home)]
    assert len(plates) == PLATES + 4
    assert not any(plate.problems for plate in plates)
    return home, plates


def known(line: bytes) -> ev.AnyEvent:
    """Return the event of a line."""
    event = READER.decode(line)
    assert not isinstance(event, Newer)
    return event


def causes(plate: str, number: int) -> Iterator[list[ev.AnyEvent]]:
    """Yield the lines of each cause of a plate worked at the bench, with a strike taken back."""
    hand = Hand()
    hand.new(0.0, temperatures={"bath": (18.5, "hand")}, subject=SUBJECT)
    decisions = [hand.go(10.0), hand.go(30.0), hand.do(120.0, want.ReadTemperature("bath", 19.5, "probe"))]
    decisions += [hand.go(255.0), hand.do(257.0, want.Undo()), hand.go(260.0), hand.do(262.0, want.MarkNow())]
    for decision in decisions:
        lines = [event for _, events in decision.events for event in events]
        if lines and isinstance(lines[0], ev.PlateStarted):
            lines[0] = replace(lines[0], plate=plate, number=number)
        yield lines


@pytest.fixture(scope="module")
def sql(logs: Log) -> Iterator[Sql]:
    """Return a way to ask DuckDB; the view `lines` is every line of every journal, with its file."""
    duckdb = pytest.importorskip("duckdb", reason="needs the Python package duckdb")
    with duckdb.connect() as db:
        db.execute(
            "CREATE VIEW lines AS SELECT * FROM read_json("
            f"'{journals(logs[0])}', format = 'newline_delimited', union_by_name = true, "
            "filename = true)"
        )
        yield lambda question, *values: db.execute(question, list(values)).fetchall()


@pytest.fixture
def exported(logs: Log, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a folder with the log exported: all.csv, all.jsonl and stages.csv."""
    monkeypatch.setenv("DARKROOM_HOME", str(logs[0]))
    for name, more in (("all.csv", []), ("all.jsonl", []), ("stages.csv", ["--rows", "stages"])):
        form = name.rpartition(".")[2]
        assert main(["log", "export", form, "--all", *more, "--to", str(tmp_path / name)]) == 0
    return tmp_path


def journals(home: Path) -> str:
    """Return the pattern of the journals of a log."""
    return str(home / "plates/*/*/*.jsonl")


def jq(question: str, home: Path, *options: str) -> list[str]:
    """Ask jq about every line of every journal; return the lines of its answer."""
    files = map(str, sorted(home.glob("plates/*/*/*.jsonl")))
    answer = subprocess.run(
        ["jq", "-r", *options, question, *files], capture_output=True, text=True, check=True, timeout=60
    )
    assert answer.stderr == ""
    return answer.stdout.removesuffix("\n").split("\n")  # not at every sign that ends a line elsewhere


def test_duckdb_reads_every_line_of_the_journals_as_they_are(logs: Log, sql: Sql) -> None:
    """With nothing but the pattern of the files, DuckDB finds the lines, their names, types and numbers."""
    home, plates = logs
    ours = Counter(line.__struct_config__.tag for plate in plates for line in plate.events)
    question = """SELECT event, count(*)
        FROM read_json(?, format = 'newline_delimited', union_by_name = true) GROUP BY 1"""
    assert dict(sql(question, journals(home))) == ours
    types = dict(sql("SELECT column_name, column_type FROM (DESCRIBE SELECT * FROM lines)"))
    types_of_members = {
        name: types[name] for name in ("n", "at", "up", "number", "seconds", "stars", "subject")
    }
    assert types_of_members == {
        "n": "BIGINT",
        "at": "TIMESTAMP WITH TIME ZONE",
        "up": "DOUBLE",
        "number": "BIGINT",
        "seconds": "DOUBLE",
        "stars": "BIGINT",
        "subject": "VARCHAR",
    }
    gaps = """SELECT filename FROM lines GROUP BY 1
        HAVING min(n) <> 1 OR max(n) <> count(*) OR count(*) <> count(DISTINCT n)"""
    assert sql(gaps) == []


def test_the_example_of_the_readme_runs_in_duckdb(logs: Log, monkeypatch: pytest.MonkeyPatch) -> None:
    """As it stands, in the folder of the log; `at` is a reserved word and stands in double quotes."""
    duckdb = pytest.importorskip("duckdb", reason="needs the Python package duckdb")
    home, plates = logs
    readme = (Path(__file__).parents[3] / "README.md").read_text(encoding="utf-8")
    question = readme.partition("```sql\n")[2].partition("```")[0]
    monkeypatch.chdir(home)
    with duckdb.connect(":memory:") as db:
        rows = db.execute(question).fetchall()
        with pytest.raises(duckdb.ParserException):
            db.execute(question.replace('"at"', "at"))
    ended = [line for plate in plates for line in plate.events if line.__struct_config__.tag == "stage_ended"]
    assert len(rows) == len(ended) > 0
    assert sorted(row[2] for row in rows) == sorted(line.seconds for line in ended)


def test_duckdb_and_our_reader_tell_the_same_stages(logs: Log, sql: Sql) -> None:
    """Time and temperature of each stage are what our fold tells, lines taken back left out in SQL."""
    _, plates = logs
    states = {plate.plate: fold(plate.events) for plate in plates}
    ours = {
        (plate, done.stage): (round(done.seconds, 3), done.celsius)
        for plate, state in states.items()
        for done in state.done
    }
    theirs = sql("""
        WITH gone AS (SELECT filename, unnest(undoes) AS n FROM lines WHERE event = 'undone'),
        stood AS (SELECT * FROM lines ANTI JOIN gone USING (filename, n)),
        ended AS (SELECT * FROM stood WHERE event = 'stage_ended'),
        begun AS (SELECT * FROM stood WHERE event = 'stage_started')
        SELECT parse_filename(ended.filename, true), ended.stage, ended.seconds,
               ended.up - begun.up, begun.celsius
        FROM ended JOIN begun USING (filename, stage)""")
    assert len(theirs) == len(ours) > 10 * PLATES
    for plate, stage, seconds, by_clock, celsius in theirs:
        assert (pytest.approx(seconds, abs=0.0011), celsius) == ours[plate, stage]
        assert by_clock == pytest.approx(seconds, abs=0.0011)


def test_duckdb_and_our_reader_tell_the_same_of_each_plate(logs: Log, sql: Sql) -> None:
    """Number, process, subject, stars and end of each plate, the instant of its start: as our reader says."""
    _, plates = logs
    ours = set()
    for plate in plates:
        start = plate.start
        assert start is not None
        stars = [line.stars for line in plate.standing if isinstance(line, ev.Rating)]
        ours.add(
            (
                plate.plate,
                start.number,
                start.process["name"],
                start.subject,
                stars[-1] if stars else None,
                plate.ended.how if plate.ended else None,
                datetime.fromisoformat(start.at).timestamp(),
            )
        )
    theirs = sql("""
        SELECT s.plate, s.number, s.process['name'], s.subject, r.stars, e.how, epoch(s."at")
        FROM lines s
        LEFT JOIN (SELECT filename, arg_max(stars, n) AS stars FROM lines WHERE event = 'rating' GROUP BY 1) r
            USING (filename)
        LEFT JOIN (SELECT filename, how FROM lines WHERE event = 'plate_ended') e USING (filename)
        WHERE s.event = 'plate_started'""")
    assert set(theirs) == ours
    assert len(ours) == len(plates)


@needs_jq
def test_jq_reads_numbers_and_strikes_from_the_journals(logs: Log) -> None:
    """jq lists the plate numbers, and counts strikes and seconds by stage, as our reader does."""
    home, plates = logs
    numbers = jq('select(.event == "plate_started") | .number', home)
    assert sorted(map(int, numbers)) == sorted(plate.start.number for plate in plates if plate.start)
    ended = [line for plate in plates for line in plate.events if isinstance(line, ev.StageEnded)]
    struck = jq('select(.event == "stage_ended" and .how == "strike") | .stage', home)
    assert Counter(struck) == Counter(line.stage for line in ended if line.how == "strike")
    seconds: dict[str, float] = {}
    for line in ended:
        seconds[line.stage] = seconds.get(line.stage, 0.0) + line.seconds
    rows = jq(
        '[inputs | select(.event == "stage_ended")] | group_by(.stage)[] '
        "| [.[0].stage, (map(.seconds) | add)] | @json",
        home,
        "-n",
    )
    assert dict(map(json.loads, rows)) == pytest.approx(seconds)


@needs_jq
def test_jq_finds_the_words_as_they_were_typed(logs: Log) -> None:
    """Quotes, line ends and signs that end a line elsewhere come out of jq as the photographer typed them."""
    home, _ = logs
    subjects = jq('select(.event == "plate_started" and .number == 902) | .subject | @json', home)
    assert [json.loads(word) for word in subjects] == [SUBJECT]


@needs_jq
def test_each_line_is_one_object_with_a_sum_over_what_stands_before_it(logs: Log) -> None:
    """jq, line by line without our reader, and CRC-32 by the standard library find every line sound."""
    home, plates = logs
    files = sorted(home.glob("plates/*/*/*.jsonl"))
    data = b"".join(path.read_bytes() for path in files)
    assert len(jq(".n", home)) == data.count(b"\n") == sum(len(plate.events) for plate in plates)
    sums = jq(".sum", home)
    bodies = [line.rpartition(b',"sum":"')[0] for line in data.split(b"\n")[:-1]]
    assert [f"{zlib.crc32(body):08x}" for body in bodies] == sums


def test_exports_of_the_same_log_by_duckdb(logs: Log, sql: Sql, exported: Path) -> None:
    """DuckDB reads 200 plates and more from CSV and JSON Lines: the same in both, as in the journals."""
    _, plates = logs
    by_csv = """SELECT plate, number, process, nullif(subject, ''), stars FROM read_csv(?, header = true)"""
    by_jsonl = "SELECT plate, number, process, subject, stars FROM read_json(?, format = 'newline_delimited')"
    csv_rows, jsonl_rows = sql(by_csv, str(exported / "all.csv")), sql(by_jsonl, str(exported / "all.jsonl"))
    assert len(csv_rows) == len(plates)
    assert sorted(csv_rows) == sorted(jsonl_rows)
    assert {row[0]: row[1] for row in csv_rows} == {
        log.plate: log.start.number for log in plates if log.start
    }
    ours = Counter(done.stage for plate in plates for done in fold(plate.events).done)
    stages = sql(
        "SELECT stage, count(*) FROM read_csv(?, header = true) GROUP BY 1", str(exported / "stages.csv")
    )
    assert dict(stages) == ours


def test_exported_tables_by_csv_and_jq(logs: Log, exported: Path) -> None:
    """Python's csv finds a row a plate with all its cells; jq the same plates, each with its events."""
    _, plates = logs
    with (exported / "all.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file, strict=True))
    assert sorted(row["plate"] for row in rows) == sorted(plate.plate for plate in plates)
    assert all(None not in row and None not in row.values() for row in rows)
    if shutil.which("jq") is None:
        pytest.skip("needs jq for the other half")
    command = ["jq", "-r", r'"\(.plate) \(.events | length)"', str(exported / "all.jsonl")]
    output = subprocess.run(command, capture_output=True, text=True, check=True, timeout=60).stdout
    assert sorted(output.splitlines()) == sorted(f"{plate.plate} {len(plate.events)}" for plate in plates)
