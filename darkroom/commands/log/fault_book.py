"""What a report is told of faults: the catalogue at hand, and why a plate of the log failed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from darkroom.log.export.report_faults import FaultBook
from darkroom.log.export.selection import StepProgress, no_progress

if TYPE_CHECKING:
    from darkroom.faults.answer import Why
    from darkroom.faults.catalogue import Catalogue
    from darkroom.solutions.recipe import Recipe


class LogFaults:
    """Reads what it is asked for, each file once; `said` gathers what was wrong, a line each."""

    def __init__(self, home: Path, rehearsals: bool = False, progress: StepProgress = no_progress) -> None:
        """`home` is the folder of the log; of rehearsals it is not told why they failed."""
        self._home, self._rehearsals, self._progress = home, rehearsals, progress
        self._catalogue: Catalogue | None = None
        self._bottles: tuple[dict[str, Recipe], Mapping[str, float]] | None = None
        self.said: list[str] = []

    def book(self) -> FaultBook:
        """Return it as a report takes it."""
        return FaultBook(self.catalogue, self.whys_of)

    def catalogue(self) -> Catalogue:
        """Return the faults and causes at hand."""
        from darkroom.resources import fault_catalogue

        if self._catalogue is None:
            self._catalogue, problems = fault_catalogue(self._home)
            self.said += problems
        return self._catalogue

    def whys_of(self, paths: Sequence[Path]) -> dict[Path, Why]:
        """Return why the plates of these first files failed, those that the log can tell. Raises nothing."""
        from darkroom.commands.log.shared import helpers
        from darkroom.log.catalogue.many_failed_plates import why_plates

        if self._rehearsals:
            return {}
        recipes, sizes = self._recipes_and_sizes()
        found, trouble = why_plates(
            self._home,
            paths,
            self.catalogue(),
            recipes,
            sizes=sizes,
            progress=self._progress("filling the catalogue"),
            helpers=helpers(),
        )
        self.said += [trouble] if trouble else []
        return found

    def _recipes_and_sizes(self) -> tuple[dict[str, Recipe], Mapping[str, float]]:
        from darkroom.log.catalogue.bottle_book import sizes_of
        from darkroom.resources import checked_recipes
        from darkroom.settings.kit import load_right, path_in

        if self._bottles is None:
            recipes, problems = checked_recipes(self._home)
            kit, wrong = load_right(path_in(self._home))
            self.said += [*problems, *map(str, wrong)]
            self._bottles = recipes, sizes_of(kit)
        return self._bottles
