"""`darkroom log export`: which plates, which answers, which exit status."""

from __future__ import annotations

import csv
from importlib.util import find_spec
from pathlib import Path

import pytest

from darkroom.cli import main
from darkroom.log.export.registry import FORMATS
from tests.kit.exports import DAY, EVIL, FIRST, NEXT_DAY, SECOND, shelve, worked


def plates(path: Path) -> list[str]:
    """Return the plates of a table."""
    with path.open(encoding="utf-8", newline="") as file:
        return [row["plate"] for row in csv.DictReader(file)]


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (["12"], [FIRST]),
        ([SECOND, "12"], [FIRST, SECOND]),
        (["12", FIRST], [FIRST]),
        (["--day", DAY], [FIRST, SECOND]),
        (["--day", NEXT_DAY], [EVIL]),
        (["--all"], [FIRST, SECOND, EVIL]),
        (["--find", f"on:{DAY}"], [FIRST, SECOND]),
        (["--find", f"since:{NEXT_DAY}"], [EVIL]),
    ],
)
def test_the_plates_that_are_asked_for(
    season: Path, out: Path, export, words: list[str], expected: list[str]
) -> None:
    """By number, by id, of a day, or all: each once, oldest first."""
    assert export("csv", *words, "--to", out / "t.csv")[0] == 0
    assert plates(out / "t.csv") == expected


@pytest.mark.parametrize(
    ("words", "status", "message"),
    [
        ([], 2, "one of the four"),
        (["12", "--all"], 2, "one of the four"),
        (["--day", DAY, "--all"], 2, "one of the four"),
        (["--day", "yesterday"], 2, "no date"),
        (["--day", "1999-01-01"], 1, "no plates of 1999-01-01"),
        (["99"], 1, "no plate '99'"),
        (["2026"], 2, "several plates"),
        (["--find", "stars:9"], 2, "--find: stars"),
        (["--find", "zzzz"], 1, "no plate answers"),
        (["--find", "a", "--all"], 2, "one of the four"),
        (["--all", "--rehearsals"], 1, "no rehearsals"),
    ],
)
def test_a_wrong_question_has_a_clear_answer(
    season: Path, out: Path, export, words: list[str], status: int, message: str
) -> None:
    """Wrong use is 2, no such plate is 1; nothing is written."""
    exit_status, err = export("csv", *words, "--to", out / "t.csv")
    assert (exit_status, message in err) == (status, True), err
    assert list(out.iterdir()) == []


def test_rows_go_with_tables_only(season: Path, out: Path, export) -> None:
    """--rows with a format that has no rows is wrong use."""
    assert export("html", "--all", "--rows", "stages", "--to", out / "x") == (
        2,
        "darkroom: --rows goes with csv and jsonl, not with html\n",
    )


def test_an_unknown_format_is_wrong_use(season: Path, out: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """An unknown format is wrong use, and the message lists the formats."""
    assert main(["log", "export", "pdf", "--all", "--to", str(out / "x")]) == 2
    err = capsys.readouterr().err
    assert all(form in err for form in FORMATS)


def test_the_help_has_an_example_and_says_what_is_red(capsys: pytest.CaptureFixture[str]) -> None:
    """--help shows a whole command and that only the full-screen tool is red."""
    assert main(["log", "export", "--help"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "darkroom log export html --day 2026-03-01 --to day.html" in said
    assert "Only the full-screen tool is red" in said
    assert all(form.help in said for form in FORMATS.values())


def test_a_format_writes_one_file_a_file_for_each_plate_or_a_folder() -> None:
    """Each record of the registry has one of the three writers, and a name that the README tells."""
    readme = (Path(__file__).parents[3] / "README.md").read_text(encoding="utf-8")
    usage = next(line for line in readme.splitlines() if line.startswith("darkroom log export "))
    assert usage.removeprefix("darkroom log export ").split(" | ") == list(FORMATS)
    for form in FORMATS.values():
        writers = (form.one_file, form.one_plate, form.one_folder)
        assert sum(writer is not None for writer in writers) == 1, form.name


def test_a_plate_on_the_bench_is_exported_as_it_stands(home: Path, out: Path, export) -> None:
    """A journal that is being written is read without a lock; its unfinished line is no problem."""
    path = shelve(home, worked()[:12])
    path.write_bytes(path.read_bytes() + b'{"n":13,"at":"2026')
    assert export("csv", "12", "--to", out / "t.csv") == (0, f"1 plate written to {out}/t.csv\n")
    assert path.read_bytes().endswith(b'{"n":13,"at":"2026')


def test_nothing_in_the_log_changes(season: Path, out: Path, export) -> None:
    """All exports together leave every byte of the log as it was, and no new file in it.

    One that needs a library which is not installed says so, and leaves it so too.
    """
    missing = {"parquet"} if find_spec("pyarrow") is None else set()
    before = {path: path.read_bytes() for path in season.rglob("*") if path.is_file()}
    for name, form in FORMATS.items():
        to = out / f"{name}{form.suffix}"
        if form.one_plate:
            to.mkdir()
        assert export(name, "--all", "--to", to)[0] == (1 if name in missing else 0)
    assert {path: path.read_bytes() for path in season.rglob("*") if path.is_file()} == before
