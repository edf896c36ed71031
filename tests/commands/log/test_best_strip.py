"""`darkroom log rate --best-strip`: a strip that the plate has."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from darkroom.bench import intents as want
from darkroom.log.plate.record import read_record
from tests.kit.bench import Hand
from tests.kit.judged import PLATE, STRIPS, exposed_plate, record_of
from tests.kit.log_commands import Capture, run_log


def given_up(**plate: Any) -> Hand:
    """Return a plate that is no longer on the bench."""
    hand = exposed_plate(**plate)
    hand.do(500.0, want.Abandon("scratched"))
    return hand


def test_a_strip_that_is_not_there_is_refused(home: Path, capsys: Capture) -> None:
    """Nothing is written for a strip beyond the plate's own; one that is there is written."""
    path = record_of(home, given_up(plan=STRIPS, open_for=32.0)).log.path
    before = path.read_bytes()
    status, _, error = run_log(capsys, "rate", PLATE, "--best-strip", "6")
    assert (status, error.strip()) == (2, "darkroom: --best-strip: there is no strip 6: the plate has 5")
    assert path.read_bytes() == before
    assert run_log(capsys, "rate", PLATE, "--best-strip", "3")[0] == 0
    assert read_record(path).judged.best_strip == 3


def test_a_plate_whose_strips_were_not_timed_has_no_best_one(home: Path, capsys: Capture) -> None:
    """What such a strip got is not known: nothing is written, and the line says what to say instead."""
    path = record_of(home, given_up()).log.path
    before = path.read_bytes()
    status, out, error = run_log(capsys, "rate", PLATE, "--best-strip", "2")
    assert (status, out, error.count("\n")) == (2, "", 1)
    assert "--best-strip: this plate has no timed strips: say what the next plate" in error
    assert path.read_bytes() == before


def test_a_best_strip_of_an_old_journal_can_be_corrected(home: Path, capsys: Capture) -> None:
    """A best strip that was written before for such a plate stays readable, and can be withdrawn."""
    record = record_of(home, given_up(), {"best_strip": 2})
    assert record.judged.best_strip == 2
    line = str(record.log.events[-1].n)
    assert run_log(capsys, "rate", PLATE, "--corrects", line)[0] == 0
    assert read_record(record.log.path).judged.best_strip is None
