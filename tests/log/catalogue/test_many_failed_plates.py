"""Why several plates failed at once: the same answers as one after the other."""

from __future__ import annotations

from pathlib import Path

import pytest

from darkroom.log.catalogue import fault_history, many_failed_plates
from darkroom.log.catalogue.many_failed_plates import why_plates
from darkroom.log.catalogue.plate_faults import why_plate
from darkroom.resources import fault_catalogue
from tests.kit import season


@pytest.fixture
def marked(home: Path, monkeypatch: pytest.MonkeyPatch) -> list[Path]:
    """Return 60 plates whose faults the catalogue knows; a few plates around each are looked at."""
    monkeypatch.setattr(season, "FAULTS", tuple(fault_catalogue()[0].faults)[:6])
    for module in (fault_history, many_failed_plates):
        monkeypatch.setattr(module, "BEFORE", 15)
        monkeypatch.setattr(module, "AFTER", 4)
    monkeypatch.setattr(many_failed_plates, "LAST", 35)
    return season.write(home, 60, seed=3, days=30)


def test_every_answer_is_that_of_the_plate_asked_alone(home: Path, marked: list[Path]) -> None:
    """For plates among those read together, before them, and at either end of the log."""
    faults, _ = fault_catalogue()
    found, trouble = why_plates(home, marked, faults, {})
    assert trouble is None and list(found) == marked
    assert any(answer.causes for answer in found.values())
    for path, answer in found.items():
        assert answer == why_plate(home, path, faults, {}).why


def test_one_plate_is_asked_for_alone(home: Path, marked: list[Path]) -> None:
    """The only plate of a report has the same answer, and one that is not in the log is left out."""
    faults, _ = fault_catalogue()
    found, _ = why_plates(home, marked[-1:], faults, {})
    assert found == {marked[-1]: why_plate(home, marked[-1], faults, {}).why}
    gone = marked[0].with_name("19990101-000000-aaaaaa.jsonl")
    assert why_plates(home, [gone, marked[3]], faults, {})[0].keys() == {marked[3]}


def test_a_log_that_cannot_be_looked_at_is_said(
    home: Path, marked: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The book of bottles cannot be read: nothing is raised, the trouble is told."""

    def refused(home: Path) -> None:
        raise PermissionError("no permission for the bottles")

    monkeypatch.setattr(many_failed_plates, "read_shelf", refused)
    found, trouble = why_plates(home, marked, fault_catalogue()[0], {})
    assert found == {} and trouble == "the log cannot be looked at: no permission for the bottles"
