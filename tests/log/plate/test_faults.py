"""Faults stay separate records from the journal to every page, whatever characters their texts hold."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.query import Query
from darkroom.log.plate.comparison import differences
from darkroom.log.plate.faults import JudgedFault
from darkroom.log.plate.record import read_record
from darkroom.log.review.judgement import standing
from darkroom.screens.log_list import plate_rows
from darkroom.screens.log_plate import plate_text
from tests.kit.log_commands import Capture, listed, run_log

SIGNS = ("oysters: left, lower corner", "fog; veil, (both): thin", "a|b / c; d: e, f")
NOTE = "first, second; third: end"
FAULTS = [JudgedFault(name, where) for name in SIGNS for where in (None, "corner; left, low: edge (x)")]


@pytest.fixture
def judged(home: Path, plates: list[Path], capsys: Capture) -> Path:
    """Return the journal of a plate whose every judgement has commas, colons and semicolons."""
    arguments = ["--next", "warm it, slowly: 20; wait", "--detail", "wind=north; cold, wet: rain"]
    for fault in FAULTS:
        arguments += ["--fault", fault.name + (f"@{fault.where}" if fault.where else "")]
    status, _, err = run_log(capsys, "rate", "1", *arguments)
    assert (status, err.count("line")) == (0, len(FAULTS) + 2)
    assert run_log(capsys, "note", "1", NOTE)[0] == 0
    return plates[0]


def test_each_fault_stays_one_from_the_journal_on(judged: Path) -> None:
    """The plate's record, its standing judgement and its catalogue row have the faults as they were given."""
    assert list(read_record(judged).judged.faults)[-len(FAULTS) :] == FAULTS
    record = read_record(judged)
    assert [said.fault for said in standing(record.log).faults] == [*record.judged.faults]
    home = judged.parents[3]
    with Catalogue(home) as catalogue:
        catalogue.check()
        (row,) = [row for row in catalogue.plates(Query()) if row["plate"] == judged.stem]
        assert row["faults"] == [*record.judged.faults]
        assert catalogue.count(Query(fault="lower corner")) == 1
        assert catalogue.count(Query(words="corner; left, low: edge")) == 1


def test_each_fault_stays_one_in_lists_and_exports(judged: Path, capsys: Capture) -> None:
    """`log list --json` and JSON Lines have an item a fault, the tables a line a fault."""
    texts = [fault.text for fault in read_record(judged).judged.faults]
    (row,) = [row for row in listed(capsys) if row["plate"] == judged.stem]
    assert row["faults"] == texts
    (row,) = [
        row
        for row in csv.DictReader(run_log(capsys, "list", "--csv")[1].splitlines(keepends=True))
        if row["plate"] == judged.stem
    ]
    assert row["faults"].split("\n") == texts
    out = judged.parents[4] / "out"
    for form in ("csv", "jsonl"):
        assert run_log(capsys, "export", form, judged.stem, "--to", str(out.with_suffix(f".{form}")))[0] == 0
    with out.with_suffix(".csv").open(encoding="utf-8", newline="") as file:
        (row,) = list(csv.DictReader(file))
    assert row["faults"].split("\n") == texts
    assert json.loads(out.with_suffix(".jsonl").read_text("utf-8"))["faults"] == texts


def test_each_fault_has_a_row_on_the_pages(judged: Path, plates: list[Path]) -> None:
    """The plate's page has a row a fault, the comparison a row a fault that only one plate has."""
    record = read_record(judged)
    rows = ["".join(text for text, _ in row) for row in plate_text.judged(record, 200)]
    texts = [fault.text for fault in record.judged.faults]
    assert [row.removeprefix("fault").strip() for row in rows if row.startswith("fault")] == texts
    assert "warm it, slowly: 20; wait" in "\n".join(rows)
    assert sum(row.startswith("note") and row.endswith(NOTE) for row in rows) == 1
    other_record = read_record(plates[1])
    assert not set(FAULTS) & set(other_record.judged.faults)
    fault_differences = [
        difference for difference in differences(record, other_record) if difference.what == "fault"
    ]
    assert {difference.first for difference in fault_differences if difference.second is None} >= {
        fault.text for fault in FAULTS
    }


def test_the_list_names_faults_without_their_places(home: Path, judged: Path) -> None:
    """A bracket that belongs to a fault's name stays; the place is told on the plate's page."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        (row,) = [row for row in catalogue.plates(Query()) if row["plate"] == judged.stem]
    drawn = "".join(text for text, _ in plate_rows.line(row, None, 400, False, False))
    assert "corner; left" not in drawn
    row["faults"] = [JudgedFault("fog (both)", "left")]
    drawn = "".join(text for text, _ in plate_rows.line(row, None, 120, False, False))
    assert "fog (both)" in drawn
