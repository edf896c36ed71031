"""Plates count themselves: what `bottle show` says of a season in the log."""

from __future__ import annotations

import io
import shutil
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path

import pytest

from darkroom.cli import main
from darkroom.log.catalogue.catalogue import Catalogue
from tests.kit.command_line import Capture, as_json, run
from tests.kit.plate_snapshot import FIXTURES

pytestmark = pytest.mark.usefixtures("plates")
BEFORE = "2026-03-01"
"""Before the first plate of the season."""


def enter(capsys: Capture, *words: str) -> None:
    """Enter a bottle that was made before the season."""
    assert run(capsys, "bottle", "new", *words, "--when", BEFORE, "--yes")[0] == 0


def test_a_fixer_has_the_plates_that_name_it(home: Path, capsys: Capture) -> None:
    """Number, area and those of unknown size are the sums over the plates of the log; none is typed."""
    enter(capsys, "fixer", "F1")
    with Catalogue(home) as catalogue:
        catalogue.check()
        uses = [use for use in catalogue.plate_uses() if use.name == "F1"]
    told = as_json(capsys, "bottle", "show", "f1")
    assert told["plates"] == len({use.plate for use in uses}) > 5
    known = [use.area for use in uses if use.area is not None]
    assert told["area_cm2"] == pytest.approx(sum(known))
    assert told["of_unknown_size"] == len(uses) - len(known)
    text = run(capsys, "bottle", "show", "F1")[1]
    assert f"plates    {told['plates']} plates" in text and "whole plates" in text


def test_counts_begin_anew_with_what_was_done(home: Path, capsys: Capture) -> None:
    """After a filtering today no plate of the season counts since then; since the making all do."""
    enter(capsys, "fixer", "F1")
    run(capsys, "bottle", "treat", "F1", "filtered")
    since = as_json(capsys, "bottle", "show", "F1")["since"]
    assert since["filtered"]["plates"] == 0 < since["made"]["plates"]


def test_two_bottles_of_one_name_leave_it_open(home: Path, capsys: Capture) -> None:
    """Where two of a name were alive then, no bottle counts the plates, and it is said why."""
    enter(capsys, "fixer", "F1")
    enter(capsys, "fixer", "F1")
    bottle = as_json(capsys, "bottle", "list")[0]["bottle"]
    status, out, err = run(capsys, "bottle", "show", bottle)
    assert status == 0 and "plates    0 plates" in out
    assert "plates name F1 and not this one for sure" in err


def test_the_list_has_the_plates_too(home: Path, capsys: Capture) -> None:
    """A row says how many, as `bottle show` does."""
    enter(capsys, "fixer", "F2")
    (told,) = as_json(capsys, "bottle", "list")
    assert f"{told['plates']} plates" in run(capsys, "bottle", "list")[1] and told["plates"] > 0


def test_a_used_bath_reads_low(home: Path, capsys: Capture) -> None:
    """After a plate a hydrometer's reading is "at least", said before any grams; before it it is right.

    1.064 g/mL at 20 °C is 7.94 % w/v of silver nitrate (CRC density table).
    """
    shutil.copytree(FIXTURES / "journals" / "plates", home / "plates", dirs_exist_ok=True)
    enter(capsys, "bath", "B1", "--volume", "1L")
    words = ("bottle", "measure", "B1", "--density", "1.064")
    before = run(capsys, *words, "--when", "2026-03-02")[1]
    assert "7.94 % w/v" in before and "at least" not in before
    after = run(capsys, *words)[1]
    assert "at least 7.94 % w/v" in after and "A used bath reads low" in after
    status, out, err = run(capsys, "bottle", "top-up", "B1", "--to", "9", "--yes")
    assert status == 0 and "add at most" in out and err.startswith("A used bath reads low")
    assert "at least" in as_json(capsys, "bottle", "show", "B1")["strength"]["basis"]


def test_a_topping_up_warns_before_it_says_grams(home: Path, capsys: Capture) -> None:
    """On a terminal the used bath, the safety sheet and the goggles stand above the grams, each once."""
    shutil.copytree(FIXTURES / "journals" / "plates", home / "plates", dirs_exist_ok=True)
    enter(capsys, "bath", "B1", "--volume", "1L")
    shown = io.StringIO()
    words = ["bottle", "top-up", "B1", "--to", "9", "--density", "1.06", "--at", "20C", "--yes"]
    with redirect_stdout(shown), redirect_stderr(shown):
        assert main(words) == 0
    told = shown.getvalue()
    places = [
        told.index(said)
        for said in ("A used bath reads low", "The supplier's safety sheet first", "Goggles", "add at most")
    ]
    assert places == sorted(places)
    assert told.count("A used bath reads low") == told.count("Goggles") == 1
