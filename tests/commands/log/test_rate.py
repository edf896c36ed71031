"""`darkroom log rate` and `note`: judging and correcting."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.kit.log_commands import Capture, journal, last, listed, run_log


def test_a_judgement_is_lines_of_one_cause(home: Path, capsys: Capture, plates: list[Path]) -> None:
    """Each part is an event of its own with one wall time and no boot clock, and shows in the list."""
    before = journal(plates[4])
    status, out, err = run_log(
        capsys,
        "rate",
        "5",
        "--stars",
        "4",
        "--exposure-stops",
        "-1/2",
        "--fault",
        "fog@left edge",
        "--fault",
        "veil",
        "--next",
        "warm the bath",
        "--detail",
        "wind=north",
    )
    added = journal(plates[4])[len(before) :]
    assert (status, out) == (0, "")
    assert [line["event"] for line in added] == ["rating", "fault", "fault", "detail", "detail"]
    assert [line["n"] for line in added] == [len(before) + k for k in range(1, 6)]
    assert len({line["at"] for line in added}) == 1
    assert {line["up"] for line in added} == {None}
    assert (added[0]["stars"], added[0]["exposure_stops"]) == (4, -0.5)
    assert (added[1]["name"], added[1]["where"]) == ("fog", "left edge")
    assert (added[3]["key"], added[3]["value"]) == ("next", "warm the bath")
    assert f"line {len(before) + 1}" in err
    (plate,) = listed(
        capsys, "--since", plates[4].parent.name, "--until", plates[4].parent.name, plates[4].stem
    )
    assert (plate["stars"], plate["next"]) == (4, "warm the bath")
    assert {"fog (left edge)", "veil"} <= set(plate["faults"])


@pytest.mark.parametrize(
    ("typed", "stops"),
    [("+1", 1.0), ("-0.5", -0.5), ("1/3", 0.3333), ("+1 1/2", 1.5), ("\u22122", -2.0), ("0,5", 0.5)],
)
def test_stops_as_photographers_write_them(
    capsys: Capture, plates: list[Path], typed: str, stops: float
) -> None:
    """Whole, decimal and vulgar fractions, either minus sign."""
    assert run_log(capsys, "rate", "1", "--exposure-stops", typed)[0] == 0
    rating = last(journal(plates[0]), "rating")
    assert rating is not None
    assert rating["exposure_stops"] == stops


def test_a_word_about_the_next_exposure_is_kept(home: Path, capsys: Capture, plates: list[Path]) -> None:
    """More, right or less is kept in a rating line, told by the log, kept by a correction, and offered."""
    assert run_log(capsys, "rate", "1", "--exposure-word", "more")[0] == 0
    rating = last(journal(plates[0]), "rating")
    assert rating is not None and rating["exposure_word"] == "more" and "stars" not in rating
    status, out, _ = run_log(capsys, "show", "1")
    assert status == 0 and "next plate more" in out
    assert (
        run_log(capsys, "rate", "1", "--corrects", str(rating["n"]), "--stars", "3", "--reason", "dry")[0]
        == 0
    )
    corrected = last(journal(plates[0]), "rating")
    assert corrected is not None and (corrected["stars"], corrected["exposure_word"]) == (3, "more")
    assert run_log(capsys, "rate", "1", "--exposure-word", "much")[0] == 2


def test_a_correction_keeps_what_was_there(capsys: Capture, plates: list[Path]) -> None:
    """The new line names the old; the bytes before it are untouched; the list shows the new alone."""
    run_log(capsys, "rate", "1", "--stars", "5", "--exposure-stops", "+1", "--fault", "scratch")
    before = plates[0].read_bytes()
    rating, fault = journal(plates[0])[-2:]
    assert (
        run_log(capsys, "rate", "1", "--corrects", str(rating["n"]), "--stars", "2", "--reason", "by day")[0]
        == 0
    )
    assert run_log(capsys, "rate", "1", "--corrects", str(fault["n"]), "--reason", "dust")[0] == 0
    assert plates[0].read_bytes().startswith(before)
    corrected, withdrawn = journal(plates[0])[-2:]
    assert (corrected["corrects"], corrected["stars"], corrected["reason"]) == (rating["n"], 2, "by day")
    assert corrected["exposure_stops"] == 1.0
    assert withdrawn["corrects"] == fault["n"]
    (plate,) = listed(capsys, plates[0].stem)
    assert plate["stars"] == 2
    assert "scratch" not in plate["faults"]
    assert 'withdrawn: "fault: scratch": dust' in run_log(capsys, "show", "1")[1]


def test_a_note_can_be_corrected(capsys: Capture, plates: list[Path]) -> None:
    """The corrected words find the plate, the old ones no longer do."""
    run_log(capsys, "note", "2", "thick varnich")
    n = str(journal(plates[1])[-1]["n"])
    assert run_log(capsys, "note", "2", "thick varnish", "--corrects", n, "--reason", "spelling")[0] == 0
    assert [plate["plate"] for plate in listed(capsys, "thick", "varnish", plates[1].stem)] == [
        plates[1].stem
    ]
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
    run_log(capsys, "rate", "1", "--stars", "5")
    n = str(journal(plates[0])[-1]["n"])
    before = plates[0].read_bytes()
    status, _, err = run_log(capsys, *(n if word == "RATING" else word for word in words))
    assert status == 2
    assert phrase in err
    assert plates[0].read_bytes() == before


def test_a_line_is_corrected_once(capsys: Capture, plates: list[Path]) -> None:
    """Correcting a corrected line is refused, and the message names the correction."""
    run_log(capsys, "rate", "1", "--stars", "5")
    first = journal(plates[0])[-1]["n"]
    run_log(capsys, "rate", "1", "--corrects", str(first), "--stars", "4")
    status, _, err = run_log(capsys, "rate", "1", "--corrects", str(first), "--stars", "3")
    assert status == 2
    assert f"line {first} was corrected by line {first + 1}" in err


def test_a_plate_on_the_bench_is_judged_there(home: Path, capsys: Capture, plates: list[Path]) -> None:
    """Rating a plate on the bench is refused with exit status 1, also by a strip that it may yet get."""
    whole = plates[0].read_bytes().splitlines(True)
    plates[0].write_bytes(b"".join(whole[:6]))
    status, _, err = run_log(capsys, "rate", "1", "--stars", "5")
    assert status == 1
    assert "on the bench" in err
    status, _, err = run_log(capsys, "rate", "1", "--best-strip", "2")
    assert (status, "on the bench" in err) == (1, True)
    assert len(plates[0].read_bytes().splitlines()) == 6
