"""Why a plate failed, and what to try before the next one: from the log, for commands, screens and reports.

For a thread of its own: it reads the catalogue, the book of bottles and two journals, and raises nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec

from darkroom.errors import DarkroomError
from darkroom.faults.answer import Why
from darkroom.faults.gone import gone, gone_text
from darkroom.faults.history import PlateFigures
from darkroom.faults.why import why
from darkroom.faults.words import home_advice
from darkroom.log.bottles.files import read_shelf
from darkroom.log.catalogue.fault_history import Confirmed, confirmed_causes, fault_history
from darkroom.log.catalogue.judged_plates import bring_up_to_date
from darkroom.log.plate.comparison import Difference, differences
from darkroom.log.plate.first_seen import KEY as FIRST_SEEN
from darkroom.log.plate.record import PlateRecord, read_record
from darkroom.log.store.paths import PLATES

if TYPE_CHECKING:
    from darkroom.faults.catalogue import Catalogue as Faults
    from darkroom.log.catalogue.catalogue import Catalogue
    from darkroom.log.catalogue.keeping_up import Progress
    from darkroom.solutions.recipe import Recipe


_SAID = frozenset(
    {
        "stars", "exposure of the next plate", "best strip", "fault", "notes", "subject", "who", "reason",
        "stands", "times estimated",
    }
)  # fmt: skip
"""Differences in what was said of two plates, or in what they show."""


MOST_DIFFERENCES = 8
"""So many differences from the nearest good plate are shown; `darkroom log compare` has them all."""


class PlateWhy(msgspec.Struct, frozen=True, kw_only=True):
    """Why a plate failed.

    `differences` are those between it (first) and the nearest good plate (second), the biggest first, in what
    was done and what it was done with: what became of the plate, and what stood before the lens, is none;
    `good` is that plate's id and `good_title` its name, "Plate 29". `trouble` says why nothing is known:
    `why` is then None.
    """

    why: Why | None = None
    good: str | None = None
    good_title: str | None = None
    differences: tuple[Difference, ...] = ()
    trouble: str | None = None


class FaultSince(msgspec.Struct, frozen=True, kw_only=True):
    """The newest judged plate of a process has a fault: why, and one short text of it for the next plate.

    Where the fault is `gone` and its cause was not confirmed, the text says so, and `why` is of the last
    plate that had it, without causes.
    """

    why: Why
    text: str
    gone: bool = False


def why_plate(
    home: Path,
    plate: Path | str,
    faults: Faults,
    recipes: Mapping[str, Recipe],
    *,
    sizes: Mapping[str, float] | None = None,
    by_hand_too: bool = False,
    progress: Progress | None = None,
    helpers: int = 1,
) -> PlateWhy:
    """Return why a plate failed, by its id or its first file. Raises nothing.

    `faults` and `recipes` are those at hand, `sizes` the photographer's own names of sizes; `by_hand_too`,
    `progress` and `helpers` as `judged_plates` has them.
    """
    from darkroom.log.catalogue.catalogue import Catalogue

    plate_id = plate.name.partition(".")[0] if isinstance(plate, Path) else plate
    try:
        with Catalogue(home) as log:
            bring_up_to_date(log, home, by_hand_too, progress, helpers)
            history, confirmed = _known(log, home, faults, recipes, plate_id, sizes)
            own = next((figures for figures in history if figures.plate == plate_id), None)
            if own is None:
                return PlateWhy(trouble=f"the log tells nothing of plate {plate_id}")
            answer = why(faults, own, history, confirmed.causes, confirmed.plates)
            return _beside_good(log, answer)
    except Exception as error:  # whatever is wrong with the log, the plate on the bench goes on
        return PlateWhy(trouble=f"the log cannot be looked at: {error}")


def confirmed_in(
    home: Path, faults: Faults, *, progress: Progress | None = None, helpers: int = 1
) -> Confirmed:
    """Return which causes were confirmed in the whole log. Raises nothing: without a plate it is none.

    `progress` and `helpers` as `judged_plates` has them.
    """
    from darkroom.log.catalogue.catalogue import Catalogue

    if not (home / PLATES).is_dir():
        return Confirmed()
    try:
        with Catalogue(home) as log:
            bring_up_to_date(log, home, False, progress, helpers)
            return confirmed_causes(log, faults)
    except Exception:  # whatever is wrong with the log, the list of faults can be read
        return Confirmed()


def _known(
    log: Catalogue,
    home: Path,
    faults: Faults,
    recipes: Mapping[str, Recipe],
    plate: str | None,
    sizes: Mapping[str, float] | None,
) -> tuple[list[PlateFigures], Confirmed]:
    bottles = read_shelf(home).bottles
    history = fault_history(log, faults, bottles, recipes, plate, sizes=sizes)
    return history, confirmed_causes(log, faults)


def _beside_good(log: Catalogue, answer: Why) -> PlateWhy:
    """Return the answer with what differs from the nearest good plate."""
    if answer.nearest_good is None:
        return PlateWhy(why=answer)
    try:
        own, good = (read_record(log.find(plate)) for plate in (answer.plate, answer.nearest_good))
    except DarkroomError:  # its journal went away meanwhile, or stands in two folders
        return PlateWhy(why=answer)
    return PlateWhy(
        why=answer,
        good=answer.nearest_good,
        good_title=good.title,
        differences=tuple(each for each in differences(own, good) if _is_done(each, own, good)),
    )


def _is_done(difference: Difference, own: PlateRecord, good: PlateRecord) -> bool:
    """Return whether a difference is in what was done to the plates, and not in what was said of them."""
    said = {key.strip().casefold() for record in (own, good) for key, _ in record.judged.details}
    what = difference.what
    return what == FIRST_SEEN or not (what in _SAID or what in said or what.startswith("cause of "))


def faults_since(
    home: Path,
    faults: Faults,
    recipes: Mapping[str, Recipe],
    *,
    sizes: Mapping[str, float] | None = None,
) -> dict[str, FaultSince]:
    """Return {process: what its newest judged plate has and why}, of processes whose newest one has a fault.

    Among the newest plates of the log alone; a process whose newest judged plate was found without its
    faults, or with none that the catalogue knows, is among them while the cause of its last fault may be
    confirmed (`faults.gone`). Raises nothing: without a log that can be looked at there are none.
    """
    from darkroom.log.catalogue.catalogue import Catalogue

    try:
        with Catalogue(home) as log:
            bring_up_to_date(log, home, False, None, 1)
            bottles = read_shelf(home).bottles
            judged: dict[str, list[PlateFigures]] = {}
            for figures in fault_history(log, faults, bottles, recipes, sizes=sizes):
                if figures.judged:
                    judged.setdefault(figures.process, []).append(figures)
            since = _gone(faults, judged)
            failed = {
                plates[-1].plate
                for plates in judged.values()
                if any(faults.fault(fault.name) for fault in plates[-1].faults)
            }
            if not failed:
                return since
            history = fault_history(log, faults, bottles, recipes, sizes=sizes, whole=failed)
            confirmed = confirmed_causes(log, faults)
    except Exception:  # whatever is wrong with the log, the plate on the bench goes on
        return {}
    answers = (
        (figures.process, why(faults, figures, history, confirmed.causes, confirmed.plates))
        for figures in history
        if figures.plate in failed
    )
    return since | {
        process: FaultSince(why=answer, text=home_advice(answer, faults)) for process, answer in answers
    }


def _gone(faults: Faults, judged: Mapping[str, list[PlateFigures]]) -> dict[str, FaultSince]:
    """Return {process: the fault that its newest judged plates have no more}."""
    found = {process: (plates, gone(faults, plates)) for process, plates in judged.items()}
    return {
        process: FaultSince(
            why=Why(
                plate=what.plate,
                number=what.number,
                faults=next(figures.faults for figures in plates if figures.plate == what.plate),
            ),
            text=gone_text(faults, what),
            gone=True,
        )
        for process, (plates, what) in found.items()
        if what is not None
    }
