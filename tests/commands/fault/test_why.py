"""`darkroom fault why`: why one plate failed, in words and as data."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from tests.kit import fault_season
from tests.kit.command_line import Capture, run
from tests.kit.log_commands import run_log

LAST_DAY = datetime(2026, 5, 16, 9, tzinfo=UTC)


@pytest.fixture
def fog(home: Path) -> list[Path]:
    """Return the journals of the first 34 plates of the run of forty: fog begins at plate 31."""
    return [fault_season.shelve_plate(home, number, LAST_DAY, {}) for number in range(1, 35)]


def asked(capsys: Capture, *words: str) -> tuple[int, str, str]:
    """Return status, standard output and standard error of `fault why`."""
    return run(capsys, "fault", "why", *words)


def test_it_is_told_from_when_it_began_to_the_one_advice(fog: list[Path], capsys: Capture) -> None:
    """The fault, when it began, what was new, causes with figures and chances, one change, a good plate."""
    status, out, err = asked(capsys, "32")
    assert (status, err) == (0, "")
    rows = out.splitlines()
    assert rows[0] == "general fog, all over"
    assert "First with plate 31 of 15 May" in rows[1] and "D-4" in " ".join(rows[1:3])
    causes = [row for row in rows if row[:1].isdigit()]
    assert causes[0].startswith("1  developer too warm") and causes[0].endswith(" %")
    assert any(row.lstrip().startswith("for ") and "against your usual" in row for row in rows)
    assert any("not recorded: how soon the image showed" in row for row in rows)
    advice = [row for row in rows if row.startswith("Change one thing: ")]
    assert len(advice) == 1 and "developer" in advice[0]
    (head,) = [row for row in rows if row.startswith("differs from the nearest good one in")]
    assert "plate 32" in head and rows.index(head) > rows.index(advice[0])
    assert any(row.startswith("developer at the start") for row in rows)


def test_the_data_have_the_members_of_the_contract(fog: list[Path], capsys: Capture) -> None:
    """Causes with chances that are no rounded text, evidence in decibans, what is silent, the advice."""
    status, out, err = asked(capsys, "32", "--json")
    assert (status, err) == (0, "")
    told: dict[str, Any] = json.loads(out)
    assert list(told)[:2] == ["plate", "number"] and told["plate"] == fog[31].stem
    assert {
        "faults",
        "causes",
        "none",
        "advice",
        "began",
        "tallies",
        "nearest_good",
        "confirmed",
    } <= told.keys()
    assert [(fault["name"], fault["where"]) for fault in told["faults"]] == [("general fog", "all over")]
    first = told["causes"][0]
    assert {"cause", "chance", "evidence", "silent"} <= first.keys()
    assert first["cause"] == "developer too warm" and 0 < first["chance"] < 1
    assert all({"says", "decibans"} <= weighed.keys() for weighed in first["evidence"])
    chances = [cause["chance"] for cause in told["causes"]]
    assert chances == sorted(chances, reverse=True) and 0 < told["none"] < 1
    assert {"kind", "do", "cause"} <= told["advice"].keys() and told["advice"]["kind"] == "change"
    assert told["began"][0]["number"] == 31
    assert {"fault", "kind", "name", "having", "lacking"} <= told["tallies"][0].keys()
    assert told["nearest_good"]["differences"]


@pytest.mark.parametrize("words", [("30",), ("30", "--json"), (str(fault_season.UNJUDGED),)])
def test_a_plate_without_a_fault_is_one_line(
    fog: list[Path], capsys: Capture, words: tuple[str, ...]
) -> None:
    """The answer is no, exit 1, and the line says how a fault is marked."""
    status, out, err = asked(capsys, *words)
    assert (status, out, len(err.splitlines())) == (1, "", 1)
    assert f"plate {words[0]} has no fault marked: darkroom log rate {words[0]} --fault" in err


def test_a_plate_of_free_words_says_so(fog: list[Path], capsys: Capture) -> None:
    """The words are listed, nothing is inferred, and the exit status says that there is no answer."""
    assert run_log(capsys, "rate", "12", "--fault", "a green moon")[0] == 0
    status, out, err = asked(capsys, "12")
    assert status == 1 and "not in the catalogue: a green moon" in out
    assert "nothing is inferred from free words: darkroom log rate 12 --fault NAME" in err
    assert "%" not in out and "Change one thing" not in out
    status, out, err = asked(capsys, "12", "--json")
    assert status == 1
    assert (json.loads(out)["causes"], json.loads(out)["unknown"]) == ([], ["a green moon"])


def test_free_words_near_a_name_are_answered_with_it(fog: list[Path], capsys: Capture) -> None:
    """A slip in the name of a fault is told with the name of the list."""
    assert run_log(capsys, "rate", "12", "--fault", "genral fog")[0] == 0
    status, _, err = asked(capsys, "12")
    assert status == 1 and "free words (did you mean 'general fog'?): darkroom log rate 12" in err


def test_a_plate_that_is_not_there_or_named_twice(home: Path, fog: list[Path], capsys: Capture) -> None:
    """No such plate: exit 1. Several of a number: exit 2 and the list, as with every other command."""
    status, out, err = asked(capsys, "99")
    assert (status, out) == (1, "") and "no plate '99'" in err
    fault_season.shelve_plate(home, 32, LAST_DAY.replace(month=6), {})
    status, out, err = asked(capsys, "32")
    assert (status, out) == (2, "") and "several plates answer to '32'" in err


def test_an_answer_and_a_cause_change_what_is_told(fog: list[Path], capsys: Capture) -> None:
    """Given on the command line with the words of the list, both stand in the answer."""
    before = json.loads(asked(capsys, "31", "--json")[1])
    assert run_log(capsys, "rate", "31", "--answer", "holder's edge=yes")[0] == 0
    told = json.loads(asked(capsys, "31", "--json")[1])

    def chance(answer: dict[str, Any], cause: str) -> float:
        return next(float(each["chance"]) for each in answer["causes"] if each["cause"] == cause)

    assert chance(told, "light leak") < chance(before, "light leak")
    assert run_log(capsys, "rate", "31", "--cause", "developer too warm")[0] == 0
    told = json.loads(asked(capsys, "34", "--json")[1])
    assert told["confirmed"] == 1
    assert chance(told, "developer too warm") > 0.3


def test_a_broken_file_of_one_s_own_is_named(home: Path, fog: list[Path], capsys: Capture) -> None:
    """The rest holds: the answer is there, and standard error names file and line."""
    own = home / "profiles" / "faults"
    own.mkdir(parents=True)
    (own / "mine.yaml").write_text("faults:\n  haze: {looks: 7}\n", encoding="utf-8")
    status, out, err = asked(capsys, "32")
    assert status == 0 and "developer too warm" in out
    assert "mine.yaml:2" in err
