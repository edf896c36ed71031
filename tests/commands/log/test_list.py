"""`darkroom log list` and `reindex`: filters, forms, what shows when."""

from __future__ import annotations

import csv
import io
import time
from pathlib import Path

import pytest

from darkroom.bench import events as ev
from darkroom.cli import main
from darkroom.log.catalogue.database import NAME
from darkroom.log.journal import frame
from tests.kit.log_commands import Capture, journal, last, listed, run_log


def test_words_find_what_is_written_of_a_plate(capsys: Capture, plates: list[Path]) -> None:
    """All words must be there, in any case; what is found is what the journals say."""
    wanted = {path.stem for path in plates if "ferns" in journal(path)[0]["subject"]}
    assert wanted
    assert {plate["plate"] for plate in listed(capsys, "FERNS", "ottilie")} == wanted
    assert run_log(capsys, "list", "ferns", "nowhere")[0] == 1


def test_each_filter_leaves_what_its_journals_say(capsys: Capture, plates: list[Path]) -> None:
    """Process, fault, stars and days, each held against the journals themselves."""
    lines_of = {path.stem: journal(path) for path in plates}
    stars = {plate: rating["stars"] for plate, lines in lines_of.items() if (rating := last(lines, "rating"))}
    days = {path.stem: path.parent.name for path in plates}

    def names(*words: str) -> set[str]:
        return {lines["plate"] for lines in listed(capsys, *words)}

    assert names("--process", "tintype") == {
        plate for plate, lines in lines_of.items() if "tintype" in lines[0]["process"]["name"].lower()
    }
    assert names("--fault", "drying") == {
        plate
        for plate, lines in lines_of.items()
        if any(line["event"] == "fault" and "drying" in line["name"] for line in lines)
    }
    assert names("--stars", "4..5") == {plate for plate, count in stars.items() if count >= 4}
    assert names("--stars", "..2") == {plate for plate, count in stars.items() if count <= 2}
    assert names("--stars", "3") == {plate for plate, count in stars.items() if count == 3}
    assert names("--since", "2026-04-05", "--until", "2026-04-09") == {
        plate for plate, day in days.items() if "2026-04-05" <= day <= "2026-04-09"
    }
    assert names("--state", "abandoned") == {
        plate
        for plate, lines in lines_of.items()
        if (end := last(lines, "plate_ended")) and end["how"] == "abandoned"
    }


def test_a_temperature_that_was_assumed_answers_no_filter(capsys: Capture, plates: list[Path]) -> None:
    """Only plates whose bath was read between the bounds are listed; °F says the same as °C."""
    wanted = set()
    for path in plates:
        celsius, origin = journal(path)[0]["temperatures"]["bath"]
        if origin != "assumed" and 12 <= celsius <= 16:
            wanted.add(path.stem)
    assert wanted
    assert {plate["plate"] for plate in listed(capsys, "--temperature", "bath=12C..16C")} == wanted
    assert {plate["plate"] for plate in listed(capsys, "--temperature", "bath=53.6F..60.8F")} == wanted
    assert {plate["plate"] for plate in listed(capsys, "--temperature", "bath=12..16C")} == wanted


@pytest.mark.parametrize(
    ("words", "phrase"),
    [
        (("--temperature", "bth=1C..2C"), "did you mean 'bath'?"),
        (("--temperature", "bath=12..16"), "no unit"),
        (("--temperature", "bath=16C..12C"), "from warm to cold"),
        (("--temperature", "bath"), "is not of the form"),
        (("--stars", "6"), "neither 0 to 5"),
        (("--since", "yesterday"), "no date such as"),
        (("--json", "--csv"), "not both"),
    ],
)
def test_a_filter_that_cannot_be_read_is_wrong_use(
    capsys: Capture, plates: list[Path], words: tuple[str, ...], phrase: str
) -> None:
    """Exit status 2, nothing on standard output, and what was expected."""
    status, out, err = run_log(capsys, "list", *words)
    assert (status, out) == (2, "")
    assert phrase in err


def test_the_list_as_csv_reads_back(home: Path, capsys: Capture, plates: list[Path]) -> None:
    """The standard library's reader finds a row a plate with the JSON's values; no cell is a formula."""
    assert main(["log", "rate", "1", "--next", "=1+1"]) == 0
    capsys.readouterr()
    status, out, _ = run_log(capsys, "list", "--csv")
    rows = list(csv.DictReader(io.StringIO(out, newline="")))
    plain = listed(capsys)
    assert status == 0
    assert [row["plate"] for row in rows] == [plate["plate"] for plate in plain]
    assert [row["subject"] for row in rows] == [plate["subject"] for plate in plain]
    assert rows[-1]["next"] == "'=1+1"
    assert "\r\n" in out


def test_by_hand_and_copied_in_shows_at_once(home: Path, capsys: Capture, plates: list[Path]) -> None:
    """A line added by an editor and a journal copied in are in the very next list, within two seconds."""
    listed(capsys)
    note = ev.Note(n=500, at="2027-01-01T00:00:00.000+00:00", up=None, text="by an editor")
    with plates[0].open("ab") as file:
        file.write(frame.encode(note))
    new_folder = home / "plates" / "2024" / "2024-02-29"
    new_folder.mkdir(parents=True)
    (new_folder / "20240229-101010-copied.jsonl").write_bytes(plates[1].read_bytes())
    began = time.monotonic()
    assert [plate["plate"] for plate in listed(capsys, "editor")] == [plates[0].stem]
    assert "20240229-101010-copied" in {plate["plate"] for plate in listed(capsys)}
    assert time.monotonic() - began < 2  # the contract's bound, not a measurement


def test_reindex_says_the_same(home: Path, capsys: Capture, plates: list[Path]) -> None:
    """The list is the same before and after reindex, which also restores a deleted catalogue."""
    before = run_log(capsys, "list")
    (home / NAME).unlink()
    assert run_log(capsys, "reindex") == (0, "", f"{len(plates)} plates read\n")
    assert (home / NAME).exists()
    assert run_log(capsys, "list") == before
