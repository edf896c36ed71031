"""A fault that is gone: asked about while its cause is not confirmed, and not for ever."""

from __future__ import annotations

import msgspec
import pytest

from darkroom.faults.catalogue import Catalogue, Cause, Fault
from darkroom.faults.gone import LONGEST_ASKED, Gone, gone, gone_text
from darkroom.faults.history import MarkedFault
from tests.kit.fault_plates import plate

CATALOGUE = Catalogue(
    faults={
        name: Fault(
            id=name, label=label, looks="a veil", unexplained=0.01, causes={"light": 0.5}, source="invented"
        )
        for name, label in (("fog", "general fog"), ("rim", "crazed rim"))
    },
    causes={"light": Cause(id="light", label="stray light", usual=0.05, remedy="Look.", source="invented")},
)


def test_the_last_plate_with_the_fault_is_asked_about() -> None:
    """Plates 31 to 34 had it, 35 and 36 not: gone since 35, and its cause is asked of 34."""
    plates = [plate(30), *(plate(number, "fog") for number in range(31, 35)), plate(35), plate(36)]
    found = gone(CATALOGUE, plates)
    assert found == Gone(fault="fog", plate="plate 34", number=34, since=35)
    assert gone_text(CATALOGUE, found) == (
        "general fog gone since plate 35: c on plate 34's page confirms the cause"
    )


@pytest.mark.parametrize("faults", [(), ("fog",), ("fog", "rim")])
def test_a_plate_that_still_fails_asks_nothing(faults: tuple[str, ...]) -> None:
    """The newest plate has a fault, or none ever had one: nothing is gone."""
    assert gone(CATALOGUE, [plate(30), plate(31, *faults)]) is None
    assert gone(CATALOGUE, []) is None


@pytest.mark.parametrize("cause", ["light", "none of these", "a leak in the old bellows"])
def test_a_confirmed_cause_ends_the_question(cause: str) -> None:
    """Whatever was said of the cause of the last failed plate is an answer."""
    failed = msgspec.structs.replace(plate(31), faults=(MarkedFault(name="general fog", cause=cause),))
    assert gone(CATALOGUE, [failed, plate(32)]) is None


def test_own_words_are_no_fault_of_the_catalogue() -> None:
    """A later plate marked in free words alone is without the fault, as far as the catalogue goes."""
    found = gone(CATALOGUE, [plate(31, "fog"), plate(32, "a green moon")])
    assert found is not None and (found.number, found.since) == (31, 32)


def test_it_is_not_asked_for_ever() -> None:
    """After so many judged plates without the fault the question goes by itself."""
    failed = plate(1, "fog")
    good = [plate(number) for number in range(2, 2 + LONGEST_ASKED)]
    assert gone(CATALOGUE, [failed, *good]) is not None
    assert gone(CATALOGUE, [failed, *good, plate(40)]) is None
