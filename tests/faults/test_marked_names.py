"""The names in old journals as ids of the catalogue."""

from __future__ import annotations

from darkroom.faults.catalogue import Catalogue, Fault
from darkroom.faults.marked_names import with_ids
from tests.kit.fault_plates import plate

CATALOGUE = Catalogue(
    faults={
        "general fog": Fault(
            id="general fog", label="fog all over", looks="a veil", unexplained=0.01, causes={}, source="own"
        )
    }
)


def test_a_label_or_another_case_is_the_fault_of_the_catalogue() -> None:
    """What the catalogue knows gets its id, other words stay, and so do plates without faults."""
    history = [plate(1), plate(2, "Fog all  over"), plate(3, "GENERAL FOG", "odd stain")]
    found = with_ids(history, CATALOGUE)
    assert [[mark.name for mark in one.faults] for one in found] == [
        [], ["general fog"], ["general fog", "odd stain"],
    ]  # fmt: skip
    assert found[0] is history[0]
