"""Why several plates failed, for a report: the log is opened and its last plates are read once for all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from darkroom.faults.answer import Why
from darkroom.faults.history import PlateFigures
from darkroom.faults.why import why
from darkroom.log.bottles.files import read_shelf
from darkroom.log.catalogue.fault_history import AFTER, BEFORE, confirmed_causes, fault_history
from darkroom.log.catalogue.judged_plates import bring_up_to_date

if TYPE_CHECKING:
    from darkroom.faults.catalogue import Catalogue as Faults
    from darkroom.log.catalogue.keeping_up import Progress
    from darkroom.solutions.recipe import Recipe

LAST = 3 * BEFORE
"""So many of the newest plates are read together; a plate before them is asked for by itself."""


def why_plates(
    home: Path,
    paths: Sequence[Path],
    faults: Faults,
    recipes: Mapping[str, Recipe],
    *,
    sizes: Mapping[str, float] | None = None,
    progress: Progress | None = None,
    helpers: int = 1,
) -> tuple[dict[Path, Why], str | None]:
    """Return ({first file of a plate: why it failed}, what was wrong with the log). Raises nothing.

    Each answer is the one of `plate_faults.why_plate`, from the same plates around it. A plate that the log
    does not have is left out. `sizes`, `progress` and `helpers` are as `why_plate` has them.
    """
    from darkroom.log.catalogue.catalogue import Catalogue

    found: dict[Path, Why] = {}
    ids = {path.name.partition(".")[0]: path for path in paths}
    try:
        with Catalogue(home) as log:
            bring_up_to_date(log, home, False, progress, helpers)
            bottles = read_shelf(home).bottles
            confirmed = confirmed_causes(log, faults)
            newest: list[PlateFigures] = []
            if len(ids) > 1:
                newest = fault_history(log, faults, bottles, recipes, whole=ids, sizes=sizes, before=LAST)
            newest.sort(key=lambda figures: figures.plate)
            places = {figures.plate: place for place, figures in enumerate(newest)}
            for plate, path in ids.items():
                place = places.get(plate, -1)
                if place + 1 >= BEFORE or (place >= 0 and len(newest) < BEFORE):
                    history = _around(newest, place)
                else:
                    history = fault_history(log, faults, bottles, recipes, plate, sizes=sizes)
                own = next((figures for figures in history if figures.plate == plate), None)
                if own is not None:
                    found[path] = why(faults, own, history, confirmed.causes, confirmed.plates)
    except Exception as error:  # whatever is wrong with the log, the report has all else
        return found, f"the log cannot be looked at: {error}"
    return found, None


def _around(by_id: Sequence[PlateFigures], place: int) -> list[PlateFigures]:
    """Return the plates that `fault_history` has around the one at this place, oldest first."""
    around = by_id[max(0, place + 1 - BEFORE) : place + 1 + AFTER]
    return sorted(around, key=lambda figures: (figures.instant, figures.plate))
