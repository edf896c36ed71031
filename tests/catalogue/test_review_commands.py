"""`darkroom log` for review: filters, judging and correcting, comparing, trends, bringing files home."""

from __future__ import annotations

import csv
import io
import json
import time
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy
import pytest

from darkroom.bench import events as ev
from darkroom.cli import main
from darkroom.log import house, lines
from darkroom.log.catalogue import NAME

Capture = pytest.CaptureFixture[str]


def said(capsys: Capture, *words: str) -> tuple[int, str, str]:
    """Run `darkroom log`; return status, standard output and standard error."""
    status = main(["log", *words])
    out, err = capsys.readouterr()
    return status, out, err


def listed(capsys: Capture, *words: str) -> list[dict[str, Any]]:
    """Return what `log list --json` says."""
    found = json.loads(said(capsys, "list", "--json", *words)[1])
    assert isinstance(found, list)
    return found


def journal(path: Path) -> list[dict[str, Any]]:
    """Return a journal's lines, read with the standard library alone."""
    return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]


def last(said_of: Sequence[dict[str, Any]], event: str) -> dict[str, Any] | None:
    """Return the last line of an event."""
    return next((line for line in reversed(said_of) if line["event"] == event), None)


# --- the list -----------------------------------------------------------------------------------


def test_words_find_what_is_written_of_a_plate(capsys: Capture, plates: list[Path]) -> None:
    """All words must be there, in any case; what is found is what the journals say."""
    wanted = {path.stem for path in plates if "ferns" in journal(path)[0]["subject"]}
    assert wanted
    assert {one["plate"] for one in listed(capsys, "FERNS", "ottilie")} == wanted
    assert said(capsys, "list", "ferns", "nowhere")[0] == 1


def test_each_filter_leaves_what_its_journals_say(capsys: Capture, plates: list[Path]) -> None:
    """Process, fault, stars and days, each held against the journals themselves."""
    told = {path.stem: journal(path) for path in plates}
    stars = {plate: rating["stars"] for plate, one in told.items() if (rating := last(one, "rating"))}
    days = {path.stem: path.parent.name for path in plates}

    def names(*words: str) -> set[str]:
        return {one["plate"] for one in listed(capsys, *words)}

    assert names("--process", "tintype") == {
        plate for plate, one in told.items() if "tintype" in one[0]["process"]["name"].lower()
    }
    assert names("--fault", "drying") == {
        plate for plate, one in told.items()
        if any(line["event"] == "fault" and "drying" in line["name"] for line in one)
    }  # fmt: skip
    assert names("--stars", "4..5") == {plate for plate, count in stars.items() if count >= 4}
    assert names("--stars", "..2") == {plate for plate, count in stars.items() if count <= 2}
    assert names("--stars", "3") == {plate for plate, count in stars.items() if count == 3}
    assert names("--since", "2026-04-05", "--until", "2026-04-09") == {
        plate for plate, day in days.items() if "2026-04-05" <= day <= "2026-04-09"
    }
    assert names("--state", "abandoned") == {
        plate
        for plate, one in told.items()
        if (end := last(one, "plate_ended")) and end["how"] == "abandoned"
    }


def test_a_temperature_that_was_assumed_answers_no_filter(capsys: Capture, plates: list[Path]) -> None:
    """Only plates whose bath was read between the bounds are listed; °F says the same as °C."""
    wanted = set()
    for path in plates:
        celsius, origin = journal(path)[0]["temperatures"]["bath"]
        if origin != "assumed" and 12 <= celsius <= 16:
            wanted.add(path.stem)
    assert wanted
    assert {one["plate"] for one in listed(capsys, "--temperature", "bath=12C..16C")} == wanted
    assert {one["plate"] for one in listed(capsys, "--temperature", "bath=53.6F..60.8F")} == wanted
    assert {one["plate"] for one in listed(capsys, "--temperature", "bath=12..16C")} == wanted


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
    status, out, err = said(capsys, "list", *words)
    assert (status, out) == (2, "")
    assert phrase in err


def test_the_list_as_csv_reads_back(home: Path, capsys: Capture, plates: list[Path]) -> None:
    """The standard library's reader finds a row a plate with the JSON's values; no cell is a formula."""
    assert main(["log", "rate", "1", "--next", "=1+1"]) == 0
    capsys.readouterr()
    status, out, _ = said(capsys, "list", "--csv")
    rows = list(csv.DictReader(io.StringIO(out, newline="")))
    plain = listed(capsys)
    assert status == 0
    assert [row["plate"] for row in rows] == [one["plate"] for one in plain]
    assert [row["subject"] for row in rows] == [one["subject"] for one in plain]
    assert rows[-1]["next"] == "'=1+1"
    assert "\r\n" in out


def test_by_hand_and_copied_in_shows_at_once(home: Path, capsys: Capture, plates: list[Path]) -> None:
    """A line added by an editor and a journal copied in are in the very next list, within two seconds."""
    listed(capsys)
    note = ev.Note(n=500, at="2027-01-01T00:00:00.000+00:00", up=None, text="by an editor")
    with plates[0].open("ab") as file:
        file.write(lines.encode(note))
    other = home / "plates" / "2024" / "2024-02-29"
    other.mkdir(parents=True)
    (other / "20240229-101010-copied.jsonl").write_bytes(plates[1].read_bytes())
    began = time.monotonic()
    assert [one["plate"] for one in listed(capsys, "editor")] == [plates[0].stem]
    assert "20240229-101010-copied" in {one["plate"] for one in listed(capsys)}
    assert time.monotonic() - began < 2  # the contract's bound, not a measurement


def test_reindex_says_the_same(home: Path, capsys: Capture, plates: list[Path]) -> None:
    """The list before and after is one; the catalogue's file is back when it was deleted."""
    before = said(capsys, "list")
    (home / NAME).unlink()
    assert said(capsys, "reindex") == (0, "", f"{len(plates)} plates read\n")
    assert (home / NAME).exists()
    assert said(capsys, "list") == before


# --- judging --------------------------------------------------------------------------------------


def test_a_judgement_is_lines_of_one_cause(home: Path, capsys: Capture, plates: list[Path]) -> None:
    """Each part is an event of its own with one wall time and no boot clock, and shows in the list."""
    before = journal(plates[4])
    status, out, err = said(
        capsys, "rate", "5", "--stars", "4", "--exposure-stops", "-1/2", "--best-strip", "3",
        "--fault", "fog@left edge", "--fault", "veil", "--next", "warm the bath", "--detail", "wind=north",
    )  # fmt: skip
    added = journal(plates[4])[len(before) :]
    assert (status, out) == (0, "")
    assert [line["event"] for line in added] == ["rating", "fault", "fault", "detail", "detail"]
    assert [line["n"] for line in added] == [len(before) + k for k in range(1, 6)]
    assert len({line["at"] for line in added}) == 1
    assert {line["up"] for line in added} == {None}
    assert (added[0]["stars"], added[0]["exposure_stops"], added[0]["best_strip"]) == (4, -0.5, 3)
    assert (added[1]["name"], added[1]["where"]) == ("fog", "left edge")
    assert (added[3]["key"], added[3]["value"]) == ("next", "warm the bath")
    assert f"line {len(before) + 1}" in err
    (one,) = listed(
        capsys, "--since", plates[4].parent.name, "--until", plates[4].parent.name, plates[4].stem
    )
    assert (one["stars"], one["next"]) == (4, "warm the bath")
    assert {"fog (left edge)", "veil"} <= set(one["faults"])


@pytest.mark.parametrize(
    ("typed", "stops"),
    [("+1", 1.0), ("-0.5", -0.5), ("1/3", 0.3333), ("+1 1/2", 1.5), ("\u22122", -2.0), ("0,5", 0.5)],
)
def test_stops_as_photographers_write_them(
    capsys: Capture, plates: list[Path], typed: str, stops: float
) -> None:
    """Whole, decimal and vulgar fractions, either minus sign."""
    assert said(capsys, "rate", "1", "--exposure-stops", typed)[0] == 0
    rating = last(journal(plates[0]), "rating")
    assert rating is not None
    assert rating["exposure_stops"] == stops


def test_a_correction_keeps_what_was_there(capsys: Capture, plates: list[Path]) -> None:
    """The new line names the old; the bytes before it are untouched; the list shows the new alone."""
    said(capsys, "rate", "1", "--stars", "5", "--exposure-stops", "+1", "--fault", "fog")
    before = plates[0].read_bytes()
    rating, fault = journal(plates[0])[-2:]
    assert (
        said(capsys, "rate", "1", "--corrects", str(rating["n"]), "--stars", "2", "--reason", "by day")[0]
        == 0
    )
    assert said(capsys, "rate", "1", "--corrects", str(fault["n"]), "--reason", "dust")[0] == 0
    assert plates[0].read_bytes().startswith(before)
    corrected, withdrawn = journal(plates[0])[-2:]
    assert (corrected["corrects"], corrected["stars"], corrected["reason"]) == (rating["n"], 2, "by day")
    assert corrected["exposure_stops"] == 1.0
    assert withdrawn["corrects"] == fault["n"]
    (one,) = listed(capsys, plates[0].stem)
    assert one["stars"] == 2
    assert "fog" not in one["faults"]
    assert "corrects line" in said(capsys, "show", "1")[1]


def test_a_note_can_be_corrected(capsys: Capture, plates: list[Path]) -> None:
    """The corrected words find the plate, the old ones no longer do."""
    said(capsys, "note", "2", "thick varnich")
    n = str(journal(plates[1])[-1]["n"])
    assert said(capsys, "note", "2", "thick varnish", "--corrects", n, "--reason", "spelling")[0] == 0
    assert [one["plate"] for one in listed(capsys, "thick", "varnish", plates[1].stem)] == [plates[1].stem]
    assert listed(capsys, "varnich") == []


@pytest.mark.parametrize(
    ("words", "phrase"),
    [
        (("rate", "1"), "nothing to add"),
        (("rate", "1", "--stars", "3", "--reason", "x"), "--reason goes with --corrects"),
        (("rate", "1", "--corrects", "999"), "no line 999"),
        (("rate", "1", "--corrects", "2", "--stars", "3"), "what happened at the bench"),
        (("rate", "1", "--corrects", "RATING", "--fault", "fog"), "is a rating, not a fault"),
        (
            ("rate", "1", "--corrects", "RATING", "--stars", "1", "--fault", "fog"),
            "one line can be corrected",
        ),
        (("rate", "1", "--exposure-stops", "a bit"), "no number of stops"),
        (("rate", "1", "--exposure-stops", "99"), "out of range"),
        (("rate", "1", "--fault", "@edge"), "not of the form NAME"),
        (("rate", "1", "--detail", "x"), "not of the form KEY=VALUE"),
        (("rate", "1", "--stars", "9"), "9 is not in the range"),
        (("note", "1", "  "), "an empty text"),
        (("note", "1", "x" * 5000), "too long"),
    ],
)
def test_a_judgement_that_cannot_be_is_refused(
    capsys: Capture, plates: list[Path], words: tuple[str, ...], phrase: str
) -> None:
    """Exit status 2, the reason, and not a byte is written."""
    said(capsys, "rate", "1", "--stars", "5")
    n = str(journal(plates[0])[-1]["n"])
    before = plates[0].read_bytes()
    status, _, err = said(capsys, *(n if word == "RATING" else word for word in words))
    assert status == 2
    assert phrase in err
    assert plates[0].read_bytes() == before


def test_a_line_is_corrected_once(capsys: Capture, plates: list[Path]) -> None:
    """A line that was corrected names its correction: the history is a chain, not a heap."""
    said(capsys, "rate", "1", "--stars", "5")
    first = journal(plates[0])[-1]["n"]
    said(capsys, "rate", "1", "--corrects", str(first), "--stars", "4")
    status, _, err = said(capsys, "rate", "1", "--corrects", str(first), "--stars", "3")
    assert status == 2
    assert f"line {first} was corrected by line {first + 1}" in err


def test_a_plate_on_the_bench_is_judged_there(home: Path, capsys: Capture, plates: list[Path]) -> None:
    """Its journal is the bench's to write: exit status 1."""
    whole = plates[0].read_bytes().splitlines(True)
    plates[0].write_bytes(b"".join(whole[:6]))
    status, _, err = said(capsys, "rate", "1", "--stars", "5")
    assert status == 1
    assert "on the bench" in err
    assert len(plates[0].read_bytes().splitlines()) == 6


# --- comparing and trends -----------------------------------------------------------------------


def test_compare_shows_only_what_differs_biggest_first(
    home: Path, capsys: Capture, plates: list[Path]
) -> None:
    """A copy with the development four times as long differs in that, and in nothing else."""
    path = next(path for path in plates if last(journal(path), "plate_ended")["how"] == "done")  # type: ignore[index]
    events = [lines.decode(line) for line in path.read_bytes().splitlines()]
    import msgspec

    start = events[0]
    assert isinstance(start, ev.PlateStarted)
    copy = house.plate_path(home, "20260601-080000-copied", "2026-06-01")
    copy.parent.mkdir(parents=True)
    made: list[Any] = []
    later = 0.0
    for event in events:
        up = None if event.up is None else event.up + later
        if isinstance(event, ev.PlateStarted):
            changed = msgspec.structs.replace(event, plate=copy.stem, number=900, subject="another")
        elif isinstance(event, ev.StageEnded) and event.stage == "develop":
            later = 3 * event.seconds
            changed = msgspec.structs.replace(event, up=event.up + later, seconds=4 * event.seconds)  # type: ignore[operator]
        else:
            changed = msgspec.structs.replace(event, up=up)
        made.append(changed)
    copy.write_bytes(b"".join(map(lines.encode, made)))
    status, out, _ = said(capsys, "compare", path.stem, "900", "--json")
    found = json.loads(out)["differences"]
    assert status == 0
    assert [one["what"] for one in found] == ["develop: took", "subject"]
    assert found[0]["weight"] == pytest.approx(2.0, abs=0.01)  # four times is doubled twice
    assert found[0]["second"] == pytest.approx(4 * found[0]["first"], rel=0.01)
    text = said(capsys, "compare", path.stem, "900")[1].splitlines()
    assert text[1].startswith("develop: took")
    assert said(capsys, "compare", path.stem, path.stem) == (0, "", "no difference\n")


def test_trends_against_a_reference_library(capsys: Capture, plates: list[Path]) -> None:
    """Slopes are those of numpy's least squares over what the journals themselves say."""
    found = json.loads(said(capsys, "trends", "--json")[1])
    for trend in found["over_temperature"]:
        points = trend["points"]
        if trend["coefficient"] is None:
            continue
        slope = numpy.polyfit([p[0] for p in points], numpy.log([p[1] for p in points]), 1)[0]
        assert trend["coefficient"] == pytest.approx(float(numpy.exp(-10 * slope)), rel=1e-6)
    assert any(trend["coefficient"] for trend in found["over_temperature"])
    for fixer in found["over_plates"]:
        if fixer["slope"] is not None:
            points = fixer["points"]
            slope = numpy.polyfit([p[0] for p in points], [p[1] for p in points], 1)[0]
            assert fixer["slope"] == pytest.approx(float(slope), rel=1e-6)


def test_trends_leave_out_what_was_assumed_or_not_struck(capsys: Capture, plates: list[Path]) -> None:
    """A point is a stage that a strike ended at a temperature that was read; the rest is counted."""
    found = json.loads(said(capsys, "trends", "--stage", "develop", "--json")[1])["over_temperature"]
    read, assumed = set(), 0
    for path in plates:
        told = journal(path)
        if any(line["event"] == "stage_ended" and line["stage"] == "develop" for line in told):
            if told[0]["temperatures"]["developer"][1] == "assumed":
                assumed += 1
            else:
                read.add(path.stem)
    assert {point[3] for trend in found for point in trend["points"]} == read
    assert sum(trend["assumed"] for trend in found) == assumed
    assert {trend["stage"] for trend in found} == {"develop"}


def test_the_process_law_of_the_trend_is_the_file_s(capsys: Capture, plates: list[Path]) -> None:
    """A shipped process says that 10 °C colder takes 1.9 times as long: the trend holds plates against it."""
    found = json.loads(said(capsys, "trends", "--process", "Clear-glass", "--stage", "develop", "--json")[1])
    (trend,) = found["over_temperature"]
    assert trend["law"] == pytest.approx(1.9, rel=1e-3)
    for celsius, _, law, _ in trend["points"]:
        assert law == pytest.approx(15 * 1.9 ** ((20 - celsius) / 10), abs=0.01)


def test_a_fixer_at_its_end_shows(home: Path, capsys: Capture) -> None:
    """Clearing times that double are said, with the plate count: a doubled time is common practice."""
    from tests import season

    season.write(home, 80, seed=3, days=10)
    found = json.loads(said(capsys, "trends", "--json")[1])["over_plates"]
    assert {fixer["fixer"] for fixer in found} == {"F1", "F2"}
    assert all(fixer["slope"] > 0 for fixer in found)
    assert all([p[0] for p in fixer["points"]] == sorted({p[0] for p in fixer["points"]}) for fixer in found)
    assert "clearing in fixer F1" in said(capsys, "trends")[1]


def test_trends_of_nothing_are_the_answer_no(home: Path, capsys: Capture) -> None:
    """An empty log has no trends: exit status 1."""
    assert said(capsys, "trends")[0] == 1


# --- spilled files ----------------------------------------------------------------------------------


def spill(home: Path, path: Path, keep: int) -> Path:
    """Move a plate's lines after the first `keep` to a spill place, as a failed disk leaves them."""
    whole = path.read_bytes().splitlines(True)
    path.write_bytes(b"".join(whole[:keep]))
    folder = house.spill_places()[0]
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    begun = ev.Continued(n=0, at="x", up=None, plate=path.stem, saved=keep, why="trial", home=str(home))
    spilled = folder / f"{path.stem}.2.jsonl"
    spilled.write_bytes(lines.encode(begun) + b"".join(whole[keep:]))
    return spilled


def test_spilled_files_come_home_by_copy(home: Path, capsys: Capture, plates: list[Path]) -> None:
    """On request alone; the original stays; afterwards the plate is whole without it."""
    before = listed(capsys)[-1]
    spilled = spill(home, plates[0], 8)
    original = spilled.read_bytes()
    status, _, err = said(capsys, "check")
    assert (status, plates[0].with_name(spilled.name).exists()) == (0, False)
    assert f"{spilled}: lies outside the log; it is read with its plate\n" in err
    status, _, err = said(capsys, "check", "--bring-home")
    copy = plates[0].with_name(spilled.name)
    assert status == 0
    assert f"{spilled}: copied to {copy}" in err
    assert "all its lines are in the log too" in err
    assert spilled.read_bytes() == original
    assert said(capsys, "check", "--bring-home")[2].count("copied to") == 0
    spilled.unlink()
    after = listed(capsys)[-1]
    assert {**after, "files": []} == {**before, "files": []}


def test_a_plate_that_spilled_whole_comes_home_to_its_day(
    home: Path, capsys: Capture, plates: list[Path]
) -> None:
    """A plate that lies in a spill place alone gets its day's folder; a taken name is not written over."""
    spilled = spill(home, plates[0], 0)
    plates[0].unlink()
    assert plates[0].stem in {one["plate"] for one in listed(capsys)}
    (plates[0].with_name(spilled.name)).write_bytes(b"")
    assert said(capsys, "check", "--bring-home")[0] == 0
    assert plates[0].with_name(f"{plates[0].stem}.3.jsonl").read_bytes() == spilled.read_bytes()
    assert plates[0].with_name(spilled.name).read_bytes() == b""


def test_a_full_disk_brings_nothing_home(
    home: Path, capsys: Capture, plates: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The file is named, nothing of a copy is left, and the original is as it was."""
    from darkroom.log import disk

    spilled = spill(home, plates[0], 8)
    original = spilled.read_bytes()

    def full(fd: int, data: bytes) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(disk, "write_once", full)
    status, out, _ = said(capsys, "check", "--bring-home")
    assert status == 1
    assert f"{spilled}: not brought home: the disk is full" in out
    assert not plates[0].with_name(spilled.name).exists()
    assert spilled.read_bytes() == original


def test_a_plate_on_a_running_bench_is_left_to_it(home: Path, capsys: Capture, plates: list[Path]) -> None:
    """While the tool runs it alone writes in the journal of a plate on the bench."""
    whole = plates[0].read_bytes().splitlines(True)
    plates[0].write_bytes(b"".join(whole[:10]))
    spilled = spill(home, plates[0], 8)
    with house.BenchLock(home):
        status, out, _ = said(capsys, "check", "--bring-home")
    assert status == 1
    assert f"{spilled}: the plate is on the bench" in out
    assert not plates[0].with_name(spilled.name).exists()


@pytest.mark.parametrize("command", ["list", "rate", "note", "compare", "trends", "check", "reindex"])
def test_each_help_has_an_example(capsys: Capture, command: str) -> None:
    """And says that only the full-screen tool is red."""
    status, out, _ = said(capsys, command, "--help")
    assert status == 0
    assert f"Example: darkroom log {command}" in out
    assert "full-screen tool is red" in " ".join(out.split())
