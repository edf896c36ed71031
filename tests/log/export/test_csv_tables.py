"""CSV read back by programs that are not ours: the csv module, and the sqlite3 shell."""

from __future__ import annotations

import csv
import io
import re
import shutil
import subprocess
from datetime import datetime
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom.log.export.csv_tables import cell
from darkroom.process.text.plain_text import legal
from tests.kit.exports import EVIL, FIRST, FORMULA, SCRIPT, SECOND, shelve, worked

NUMBER = re.compile(r"-?\d+(\.\d+)?(e[+-]\d+)?")


def read(path: Path) -> list[dict[str, str]]:
    """Read a table with the standard library."""
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, strict=True))


def test_one_row_a_plate_oldest_first(season: Path, out: Path, export) -> None:
    """Every plate is a row; what the journal says stands under a heading with its unit."""
    assert export("csv", "--all", "--to", out / "season.csv") == (
        0,
        f"3 plates written to {out}/season.csv\n",
    )
    rows = read(out / "season.csv")
    assert [row["plate"] for row in rows] == [FIRST, SECOND, EVIL]
    expected = {
        "number": "12", "process": "Trial", "begun (ISO 8601)": "2026-03-01T00:00:10.000+01:00",
        "stands": "on the rack", "subject": "Apple tree", "who": "Ida Tarn", "aperture": "f/4.5",
        "exposure planned (s)": "8", "exposure given (s)": "8", "wet time used (s)": "80",
        "bath at the start (°C)": "18.5", "bath from": "hand", "developer at the start (°C)": "20",
        "developer from": "assumed", "humidity at the start (%)": "45", "stars": "4",
        "exposure of the next plate (stops)": "-0.5", "faults": "comet (upper corner)",
        "notes": "clean shadows", "details": "scan: scans/apple tree.tif", "problems": "",
    }  # fmt: skip
    assert {key: rows[0][key] for key in expected} == expected
    assert rows[1]["stars"] == ""


def test_one_row_a_stage(season: Path, out: Path, export) -> None:
    """With --rows stages each stage is a row: planned, taken, how it ended and whether that was seen."""
    assert export("csv", FIRST, "--rows", "stages", "--to", out / "stages.csv")[0] == 0
    rows = read(out / "stages.csv")
    stages = [row["stage"] for row in rows]
    assert stages == ["coat", "sensitise", "drain", "expose", "develop", "stop", "fix", "wash"]
    ends = [(row["took (s)"], row["end"], row["end known"]) for row in rows]
    assert ends == [
        ("20", "struck", "observed"), ("225", "struck", "observed"), ("20", "struck", "observed"),
        ("8", "by itself at zero", "called"), ("17", "struck", "observed"),
        ("20", "by itself at zero", "called"), ("80", "struck", "observed"), ("948", "struck", "observed"),
    ]  # fmt: skip
    assert (rows[1]["temperature (°C)"], rows[1]["temperature from"]) == ("18.5", "hand")
    assert rows[4]["temperature from"] == "assumed"
    assert float(rows[4]["took (s)"]) - float(rows[4]["planned (s)"]) == float(rows[4]["over the plan (s)"])


def test_the_form_is_that_of_rfc_4180(season: Path, out: Path, export) -> None:
    """RFC 4180 section 2: lines end with CRLF, each has the same number of fields; UTF-8 without a mark."""
    export("csv", "--all", "--to", out / "season.csv")
    data = (out / "season.csv").read_bytes()
    assert data.endswith(b"\r\n")
    assert not data.startswith(b"\xef\xbb\xbf")
    outside = re.sub(rb'"(?:[^"]|"")*"', b"", data)
    assert outside.count(b"\n") == outside.count(b"\r\n") == 4
    rows = list(csv.reader(io.StringIO(data.decode("utf-8"), newline=""), strict=True))
    assert len({len(row) for row in rows}) == 1


def test_times_are_iso_8601_with_an_offset(season: Path, out: Path, export) -> None:
    """Each time can be placed on the world's clock: `datetime.fromisoformat` finds its offset."""
    for rows in ("plates", "stages"):
        export("csv", "--all", "--rows", rows, "--to", out / f"{rows}.csv")
        times = [row["begun (ISO 8601)"] for row in read(out / f"{rows}.csv")]
        assert times and all(datetime.fromisoformat(time).utcoffset() is not None for time in times)


def test_nothing_that_was_typed_is_a_formula(season: Path, out: Path, export) -> None:
    """No cell but a number begins with a sign that starts a formula (OWASP, CSV Injection, from memory)."""
    for rows in ("plates", "stages"):
        export("csv", "--all", "--rows", rows, "--to", out / f"{rows}.csv")
        for row in read(out / f"{rows}.csv"):
            for value in row.values():
                assert NUMBER.fullmatch(value) or not value.startswith(("=", "+", "-", "@", "\t", "\r", "\n"))
    row = read(out / "plates.csv")[2]
    assert row["who"] == f"'{FORMULA}"
    assert (row["aperture"], row["light"], row["plate size"]) == ("'@f/8", "'+1", "'-2")
    assert SCRIPT in row["subject"] and "\x00" not in row["subject"]


@given(st.text(max_size=40))
def test_any_text_comes_back_through_the_table(text: str) -> None:
    """A cell comes back as it was written, runs nothing, and holds no control sign but tab and newline."""
    shown = cell(text)
    line = io.StringIO(newline="")
    csv.writer(line).writerow([shown, "next"])
    assert list(csv.reader(io.StringIO(line.getvalue(), newline=""), strict=True)) == [[shown, "next"]]
    assert shown.lstrip()[:1] not in tuple("=+-@")
    assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f]", shown)


def test_no_text_is_taken_for_a_number() -> None:
    """Text that looks negative is text; a number of ours stays a number."""
    assert (cell("-1"), cell(-1.0), cell(-0.5), cell("1"), cell(None)) == ("'-1", "-1", "-0.5", "1", "")


@pytest.mark.parametrize("before", [" ", "\u200b", "\ufeff", "\u202e", "\u00a0"])
def test_signs_that_are_not_seen_do_not_hide_a_formula(before: str) -> None:
    """A formula behind a space or an invisible sign is disarmed too."""
    assert cell(f"{before}=1+1") == f"'{legal(before)}=1+1"


@pytest.mark.skipif(shutil.which("sqlite3") is None, reason="needs sqlite3")
def test_sqlite_imports_the_table(season: Path, out: Path, export) -> None:
    """The sqlite3 shell imports both tables and answers questions over them."""
    for rows in ("plates", "stages"):
        export("csv", "--all", "--rows", rows, "--to", out / f"{rows}.csv")
    script = (
        f".import --csv {out}/plates.csv plates\n.import --csv {out}/stages.csv stages\n"
        "select count(*), sum(stars) from plates;\n"
        'select stage, "took (s)" from stages join plates using (plate) '
        "where plates.number = 12 and stage = 'develop';\n"
        "select instr(subject, '<script>') from plates where number = 13;\n"
    )
    answer = subprocess.run(
        ["sqlite3", ":memory:"], input=script, capture_output=True, text=True, check=True, timeout=30
    )
    assert (answer.stdout.splitlines(), answer.stderr) == (["3|8.0", "develop|17", "1"], "")


def test_a_plate_whose_first_line_is_lost_has_its_row(home: Path, out: Path, export) -> None:
    """A damaged journal is exported as far as it is good; what is wrong stands in its row and is said."""
    path = shelve(home, worked())
    path.write_bytes(b"rubbish\n" + path.read_bytes().split(b"\n", 1)[1])
    status, err = export("csv", "--all", "--to", out / "t.csv")
    (row,) = read(out / "t.csv")
    assert status == 0
    assert (row["plate"], row["number"], row["stars"]) == (FIRST, "", "4")
    assert f"{path}:1:" in row["problems"] and "cannot be told" in row["problems"]
    assert f"{path}:1:" in err
