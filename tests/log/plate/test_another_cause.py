"""A plate whose fault had a confirmed cause other than the exposure teaches nothing about the exposure."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from darkroom.exposure.judged import JudgedPlate, LeftOut
from darkroom.log.plate.judged_exposure import EXPOSURE_CAUSES, EXPOSURE_FAULTS, judged_exposure
from darkroom.resources import fault_catalogue
from tests.kit.judged import exposed_plate, record_of

FOG = {"name": "general fog"}


@pytest.mark.parametrize("cause", ["developer too warm", "none of these"])
def test_another_cause_was_confirmed(tmp_path: Path, cause: str) -> None:
    """A fault that may come from the exposure and came from something else tells nothing of the exposure."""
    record = record_of(tmp_path, exposed_plate(), {"exposure_stops": 0.5}, {**FOG, "cause": cause})
    found = judged_exposure(record)
    assert isinstance(found, LeftOut)
    assert found.reason == f"another cause was confirmed, general fog: {cause}"


@pytest.mark.parametrize(
    "fault",
    [
        FOG,
        {**FOG, "cause": "over-exposed"},
        {"name": "dust specks and comets", "cause": "dusty air"},
        {"name": "fog", "cause": "my own words"},
    ],
)
def test_a_fault_that_leaves_the_exposure_told(tmp_path: Path, fault: dict[str, Any]) -> None:
    """No cause, the exposure as the cause, and a fault that has nothing to do with it leave a plate in."""
    record = record_of(tmp_path, exposed_plate(), {"exposure_stops": 0.5}, fault)
    assert isinstance(judged_exposure(record), JudgedPlate)


def test_faults_of_the_exposure_are_those_of_the_shipped_files(tmp_path: Path) -> None:
    """The faults that hide what the exposure did are those which the shipped files link to it."""
    catalogue, problems = fault_catalogue(tmp_path)
    assert not problems
    assert set(catalogue.causes) >= EXPOSURE_CAUSES
    linked = {fault.id for fault in catalogue.faults.values() if EXPOSURE_CAUSES & set(fault.causes)}
    assert linked == EXPOSURE_FAULTS
