"""The names of faults in old journals as ids of the catalogue. Pure."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec

from darkroom.faults.catalogue import Catalogue
from darkroom.faults.history import MarkedFault, PlateFigures


def with_ids(history: Sequence[PlateFigures], catalogue: Catalogue) -> tuple[PlateFigures, ...]:
    """Return the plates with each fault that the catalogue knows under its id; other names stay as they are.

    A fault may have been typed by its label, in any case. A plate on which the same fault was marked twice
    keeps both marks, each with its place.
    """
    known: dict[str, str] = {}

    def by_id(mark: MarkedFault) -> MarkedFault:
        if mark.name not in known:
            fault = catalogue.fault(mark.name)
            known[mark.name] = mark.name if fault is None else fault.id
        found = known[mark.name]
        return mark if found == mark.name else msgspec.structs.replace(mark, name=found)

    return tuple(
        msgspec.structs.replace(plate, faults=tuple(map(by_id, plate.faults))) if plate.faults else plate
        for plate in history
    )
