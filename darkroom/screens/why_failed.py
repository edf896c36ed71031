"""Why plates failed, asked of the log for the screens: for a thread of its own. Nothing here raises."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Mapping

    from darkroom.faults.catalogue import Catalogue
    from darkroom.log.catalogue.plate_faults import FaultSince, PlateWhy
    from darkroom.solutions.recipe import Recipe


class PlateAnswer(NamedTuple):
    """Why a plate failed, and the faults and causes by which that is told."""

    plate: PlateWhy
    catalogue: Catalogue


def why_of(home: Path, path: Path) -> PlateAnswer:
    """Return why the plate whose first file is `path` failed."""
    from darkroom.faults.catalogue import Catalogue
    from darkroom.log.catalogue.plate_faults import PlateWhy, why_plate

    try:
        catalogue, recipes, sizes = _at_hand(home)
    except Exception as error:  # the page says so, and the bench goes on
        return PlateAnswer(PlateWhy(trouble=f"the faults cannot be read: {error}"), Catalogue())
    return PlateAnswer(why_plate(home, path, catalogue, recipes, sizes=sizes), catalogue)


def failed_since(home: Path) -> dict[str, FaultSince]:
    """Return {process: what its newest judged plate has and why}; none where nothing can be read."""
    from darkroom.log.catalogue.plate_faults import faults_since

    try:
        catalogue, recipes, sizes = _at_hand(home)
    except Exception:  # the home form goes without it; the plate's page says what is wrong
        return {}
    return faults_since(home, catalogue, recipes, sizes=sizes)


def _at_hand(home: Path) -> tuple[Catalogue, Mapping[str, Recipe], Mapping[str, float]]:
    """Return the faults, the recipes, and the photographer's own names of sizes."""
    from darkroom import resources
    from darkroom.log.catalogue.bottle_book import sizes_of
    from darkroom.settings import kit as kit_files

    catalogue, _ = resources.fault_catalogue(home)  # the judging form says what is wrong with a file
    recipes, _ = resources.checked_recipes(home)
    kit, _ = kit_files.load_right(kit_files.path_in(home))
    return catalogue, recipes, sizes_of(kit)
