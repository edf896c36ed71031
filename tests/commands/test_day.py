"""`darkroom day`: what it prints, what it ticks, and what it says of a wrong sheet."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from darkroom.cli import main
from darkroom.log.days import files
from darkroom.log.days.events import Day
from tests.kit.bottle_files import put_bottle

Sheet = dict[str, list[dict[str, Any]]]


def sheet(capsys: pytest.CaptureFixture[str], *words: str) -> Sheet:
    """Run `darkroom day … --json` and return what it printed as {part: lines}."""
    assert main(["day", *words, "--json"]) == 0
    lines: list[dict[str, Any]] = json.loads(capsys.readouterr().out)
    return {part: [line for line in lines if line["part"] == part] for part in ("before", "after")}


def told(home: Path) -> Day:
    """Return the only day that was written."""
    (file,) = (home / "days").iterdir()
    day, bench = file.name.split(".")[:2]
    return files.read_day(home, day, bench)[0]


def seen(items: list[dict[str, Any]]) -> set[str]:
    """Return the ids that were seen to."""
    return {item["id"] for item in items if item["seen_to"]}


def test_printing_writes_nothing(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The sheet is printed with its reasons; nothing is written."""
    assert main(["day"]) == 0
    printed = capsys.readouterr().out
    assert "open   Goggles on" in printed and "Silver nitrate blinds" in printed
    assert "after the last plate" in printed and "licensed practice" in printed
    assert not (home / "days").exists()


def test_begin_ticks_the_lines_before_the_first_plate(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Without a name every line before the first plate is ticked, none after the last."""
    day = sheet(capsys, "--begin")
    assert seen(day["before"]) == {item["id"] for item in day["before"]}
    assert seen(day["after"]) == set()
    assert told(home).begun and told(home).closed is None


def test_named_lines_are_ticked_alone(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """With names only these are ticked, and a later closing is kept with its note."""
    assert seen(sheet(capsys, "--begin", "goggles", "water")["before"]) == {"goggles", "water"}
    day = sheet(capsys, "--close", "bottles-capped", "--note", "new bath")
    assert seen(day["after"]) == {"bottles-capped"}
    assert told(home).closed and told(home).notes == ("new bath",)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--begin", "gogles"), "did you mean 'goggles'?"),
        (("--begin", "--close"), "not both"),
        (("goggles",), "ITEM goes with"),
        (("--begin", "confirm"), "there is no item 'confirm'"),
    ],
)
def test_wrong_use_is_told(
    home: Path, capsys: pytest.CaptureFixture[str], words: tuple[str, ...], says: str
) -> None:
    """An unknown line, both parts at once, a name alone: exit 2 and nothing written; nothing confirms."""
    assert main(["day", *words]) == 2
    assert says in capsys.readouterr().err
    assert not (home / "days").exists()


def test_an_own_sheet_replaces_the_shipped_one(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The file in the folder of the log counts; a mistake in it is told with its line, exit 1."""
    own = home / "profiles" / "day" / "day.yaml"
    own.parent.mkdir(parents=True)
    own.write_text("before:\n  - {id: cat, text: The cat is out, reason: Hairs.}\nafter: []\n")
    assert [item["id"] for item in sheet(capsys)["before"]] == ["cat"]
    own.write_text("before:\n  - {id: cat, txt: The cat is out, reason: Hairs.}\nafter: []\n")
    assert main(["day"]) == 1
    assert f"{own}:2: before[1].txt: unknown key 'txt' (did you mean 'text'?)" in capsys.readouterr().err


def test_a_damaged_line_is_told_beside_the_sheet(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What cannot be read of the day's file is a problem; the good lines are told."""
    sheet(capsys, "--begin", "goggles")
    (path,) = (home / "days").iterdir()
    path.write_bytes(path.read_bytes() + b"nonsense\n")
    assert main(["day", "--json"]) == 0
    printed = capsys.readouterr()
    assert seen(json.loads(printed.out)) == {"goggles"}
    assert printed.err.count("\n") == 1 and f"{path}:3" in printed.err


def test_what_the_bottles_need_stands_on_both_sheets(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """An un-iodised bath heads them, as tomorrow's after the last plate; a care is ticked by its id."""
    bath = put_bottle(home, "bath", "B-2", recipe="silver-bath")
    day = sheet(capsys)
    first, last = day["before"][0], day["after"][0]
    assert (first["id"], last["id"]) == (f"care:{bath}:iodise", f"care:tomorrow:{bath}:iodise")
    assert first["says"].startswith("B-2: iodise") and last["says"].startswith("Tomorrow, B-2: iodise")
    assert first["why"] and {"id", "says", "why", "seen_to"} <= {*first}
    assert seen(sheet(capsys, "--begin", first["id"])["before"]) == {first["id"]}


def test_a_wrong_recipe_is_told_and_the_sheet_still_printed(
    home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What cannot be read of the recipes stands on standard error, in one line."""
    put_bottle(home, "bath", "B-2", recipe="silver-bath")
    own = home / "profiles" / "solutions"
    own.mkdir(parents=True)
    (own / "mine.yaml").write_text("nonsense: [", encoding="utf-8")
    assert main(["day"]) == 0
    printed = capsys.readouterr()
    assert "B-2: iodise" in printed.out and "mine.yaml" in printed.err and printed.err.count("\n") == 1
