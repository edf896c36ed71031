"""The judged plates of the whole log, for learning: from the catalogue, which has them without the journals.

The newest journals alone would not do: which plates matter for the next one is learning's own choice (the
same lens and light a year ago weigh more than another lens of yesterday), and a photographer who seldom
judges has few judged plates among the newest. Ten thousand plates come from the catalogue in a fraction of a
second.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import msgspec

from darkroom.exposure.judged import JudgedPlate, LeftOut

if TYPE_CHECKING:
    from darkroom.log.catalogue.catalogue import Catalogue
    from darkroom.log.catalogue.keeping_up import Progress


FEW = 50
"""So many plates are read sooner than another process has started."""


class JudgedPlates(msgspec.Struct, frozen=True, kw_only=True):
    """What the judged plates say, oldest first, and those that say nothing.

    `trouble` says why the log could not be read; there are no plates then. `damaged` says that judged plates
    are in neither list, since their journals have lost their first line.
    """

    plates: tuple[JudgedPlate, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    trouble: str | None = None
    damaged: str | None = None


def judged_plates(
    home: Path, *, by_hand_too: bool = False, progress: Progress | None = None, helpers: int = 1
) -> JudgedPlates:
    """Return the judged plates of the log in `home` as they are now. Raises nothing.

    For a thread of its own: a log whose catalogue was never filled is read once as a whole, one of more than
    FEW plates by another process, so that no clock of this one waits. With `by_hand_too` the state of every
    journal is compared, as the commands do: that also finds a journal which an editor changed. With a
    `progress` they are too, and the catalogue is filled in this process with so many `helpers`.
    """
    from darkroom.log.catalogue.catalogue import Catalogue
    from darkroom.log.catalogue.collodion_ages import with_ages

    try:
        with Catalogue(home) as catalogue:
            bring_up_to_date(catalogue, home, by_hand_too, progress, helpers)
            judged, left_out = catalogue.judged_exposures()
            plates = with_ages(catalogue, judged)
            damaged = _damaged(catalogue.judged_without_start())
    except Exception as error:  # whatever is wrong with the log, the plate on the bench goes on
        return JudgedPlates(trouble=f"the log cannot be looked at: {error}")
    return JudgedPlates(plates=tuple(plates), left_out=tuple(left_out), damaged=damaged)


def bring_up_to_date(
    catalogue: Catalogue, home: Path, by_hand_too: bool, progress: Progress | None, helpers: int
) -> None:
    """Have the catalogue of `home` know the journals as they are; see `judged_plates` for what it asks."""
    from darkroom.log.catalogue import worker
    from darkroom.log.journal.find import newest

    filled = catalogue.path is None or catalogue.whole or progress is not None
    if not filled and len(newest(home, FEW + 1)) > FEW:
        with worker.running(home) as program:
            program.wait()
    if by_hand_too or progress is not None:
        catalogue.check(progress, helpers)
    else:
        catalogue.read_changes()


def _damaged(count: int) -> str | None:
    if not count:
        return None
    plates = "1 judged plate has" if count == 1 else f"{count} judged plates have"
    return (
        f"{plates} lost the first line of the journal, so nothing is learned from it: see darkroom log check"
    )
