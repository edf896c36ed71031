"""Output that nothing takes: a full device is told of in one line, a closed pipe is no news."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from darkroom.commands.output import AT_ONCE, print_json, print_json_list
from darkroom.log.export.csv_tables import cell
from darkroom.process.text.plain_text import json_escaped, legal
from tests.kit import outputs

TOOL = (sys.executable, "-m", "darkroom")
ODD = "a\x1b[2J\x85\x9b1m\u202eb\u2066c\u200f\x7f"


@pytest.mark.parametrize("unbuffered", ["", "1"])
@pytest.mark.parametrize(
    "words", [("--help",), ("log", "list", "--json"), ("log", "list", "--csv"), ("ready",)]
)
def test_a_full_device(
    home: Path, plates: list[Path], monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], unbuffered: str
) -> None:
    """One line on standard error and exit status 2, however much is printed and however it is buffered."""
    monkeypatch.setenv("PYTHONUNBUFFERED", unbuffered)
    assert outputs.to_full_device(TOOL, words) is None


@pytest.mark.parametrize("unbuffered", ["", "1"])
@pytest.mark.parametrize(
    "words",
    [
        ("log", "check"),
        ("log", "show", "9999"),
        ("log", "show"),
        ("no-such-command",),
        ("log", "list", "oak"),
    ],
)
def test_a_full_device_for_the_narration(
    home: Path, plates: list[Path], monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], unbuffered: str
) -> None:
    """Standard error that takes nothing changes neither the exit status nor what is printed."""
    monkeypatch.setenv("PYTHONUNBUFFERED", unbuffered)
    assert outputs.lost_narration(TOOL, words) is None


def test_an_export_is_written_though_nobody_hears_of_it(
    home: Path, plates: list[Path], tmp_path: Path
) -> None:
    """The file is whole and the exit status 0 where standard error is full."""
    to = tmp_path / "a.csv"
    with outputs.FULL.open("wb") as full:
        words = [*TOOL, "log", "export", "csv", "--all", "--to", str(to)]
        assert subprocess.run(words, stderr=full, check=False).returncode == 0
    assert len(to.read_bytes().splitlines()) > len(plates)


@pytest.mark.parametrize("closed", outputs.CLOSED)
@pytest.mark.parametrize("words", [("--help",), ("log", "list", "--json"), ("day", "--note", "cold")])
def test_closed_streams(home: Path, plates: list[Path], words: tuple[str, ...], closed: str) -> None:
    """A closed output is a device that takes nothing; what is printed gets into no file of the log."""
    assert outputs.with_closed_streams(TOOL, words, closed) is None
    for path in home.rglob("*.jsonl"):
        for line in path.read_bytes().splitlines():
            json.loads(line)


@pytest.mark.parametrize("words", [("--help",), ("log", "list", "--json")])
def test_a_closed_pipe(home: Path, plates: list[Path], words: tuple[str, ...]) -> None:
    """A reader that went away, as `head` does, is no error worth a word."""
    assert outputs.to_closed_pipe(TOOL, words) is None


def test_json_escapes_what_a_terminal_might_obey(capsys: pytest.CaptureFixture[str]) -> None:
    """Control characters and signs that turn the writing are escapes in JSON, and mean the same."""
    print_json({ODD: [ODD]})
    printed = capsys.readouterr().out
    assert printed.replace("\n", "").isprintable()
    assert json.loads(printed) == {ODD: [ODD]}
    assert json.loads(json_escaped(json.dumps(ODD, ensure_ascii=False))) == ODD


@pytest.mark.parametrize("count", [0, 1, AT_ONCE, AT_ONCE + 1, 3 * AT_ONCE])
def test_a_long_list_is_printed_as_any_other(count: int, capsys: pytest.CaptureFixture[str]) -> None:
    """Printed a part after the other, it is the same text as in one piece."""
    values = [{"number": number, "texts": [ODD, "two\nlines"], "none": {}} for number in range(count)]
    print_json(values)
    whole = capsys.readouterr().out
    print_json_list(iter(values))
    assert capsys.readouterr().out == whole


def test_tables_and_pages_have_no_signs_that_turn_the_writing() -> None:
    """Such signs are left out, control characters are shown as replaced; line ends and letters stay."""
    assert cell(ODD) == legal(ODD) == "a\ufffd[2J\ufffd\ufffd1mbc\ufffd"
    assert legal("Mühle\n\u05d0\t\U0001f600") == "Mühle\n\u05d0\t\U0001f600"
