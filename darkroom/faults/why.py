"""Why one plate failed, from the record of the log: all that the room knows, joined. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from darkroom.faults.answer import Why
from darkroom.faults.began import began
from darkroom.faults.catalogue import Catalogue
from darkroom.faults.evidence import figures_of
from darkroom.faults.history import PlateFigures
from darkroom.faults.marked_names import with_ids
from darkroom.faults.nearest_good import nearest_good
from darkroom.faults.since import since
from darkroom.faults.tallies import tallies
from darkroom.faults.usual import before, usual_plates
from darkroom.faults.weighing import weigh


def why(
    catalogue: Catalogue,
    plate: PlateFigures,
    history: Sequence[PlateFigures],
    confirmed: Mapping[str, int],
    confirmed_plates: int | None = None,
) -> Why:
    """Return why a plate failed.

    `history` are plates of all processes, oldest first; it may hold this plate and go on after it. Later
    plates are looked at for the nearest good one, and for how it went on with the faults. `confirmed` is
    {cause id: plates of which the photographer said that it was this}, `confirmed_plates` those with any
    confirmed cause (without it, the sum); this plate's own are among them and do not move its own chances.
    A plate without a fault of the catalogue has no causes, and 1 is the chance of none.
    """
    (plate,) = with_ids((plate,), catalogue)
    history = with_ids(history, catalogue)
    absent = [name for name in catalogue.faults if plate.lacks(name)]
    outcome = weigh(
        catalogue,
        plate.faults,
        absent,
        lambda faults: figures_of(plate, history, faults),
        confirmed,
        confirmed_plates,
    )
    runs = (began(plate, history, fault) for fault in outcome.known)
    judged = [each for each in before(plate, history) if each.judged]
    return Why(
        plate=plate.plate,
        number=plate.number,
        faults=plate.faults,
        unknown=outcome.unknown,
        causes=outcome.causes,
        none=outcome.none,
        advice=outcome.advice,
        began=tuple(run for run in runs if run is not None),
        tallies=tallies(plate, history, outcome.known) if outcome.known else (),
        since=tuple(found for fault in outcome.known if (found := since(plate, history, fault)) is not None),
        confirmed=sum(confirmed.values()) if confirmed_plates is None else confirmed_plates,
        plates=len(judged) + plate.judged,
        usual_plates=usual_plates(plate, history),
        nearest_good=nearest_good(plate, history, outcome.known) if outcome.known else None,
    )
