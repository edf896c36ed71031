"""What became of a fault after a plate that had it: the judged plates of the process since then. Pure.

They are told, and weigh nothing: what came after a plate was not known of it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from darkroom.faults import runs
from darkroom.faults.answer import Since
from darkroom.faults.began import named
from darkroom.faults.history import PlateFigures
from darkroom.faults.usual import before
from darkroom.process.model import ROLES
from darkroom.process.uses import role_text


def since(plate: PlateFigures, history: Sequence[PlateFigures], fault: str) -> Since | None:
    """Return how it went on with a fault of a plate; None where no later plate of the process was judged.

    `history` are plates of all processes, oldest first.
    """
    up_to = {other.plate for other in (*before(plate, history), plate)}
    later = [
        other
        for other in history
        if other.plate not in up_to and other.process == plate.process and other.judged
    ]
    if not later:
        return None
    rows = [(has, list(each)) for has, each in groupby(later, key=lambda other: runs.marked(other, (fault,)))]
    having = rows.pop(0)[1] if rows[0][0] else []
    lacking = rows.pop(0)[1] if rows else []
    last = having[-1] if having else plate
    return Since(
        fault=fault,
        having=len(having),
        having_to=having[-1].number if having else None,
        lacking=len(lacking),
        lacking_from=lacking[0].number if lacking else None,
        other=tuple(_other(lacking[0], last)) if lacking else (),
        again=rows[0][1][0].number if rows else None,
    )


def _other(plate: PlateFigures, last: PlateFigures) -> Iterator[str]:
    """Yield what a plate had that the one before it had another of: bottles, holder and camera."""
    for role in ROLES:
        now, then = plate.bottles.get(role), last.bottles.get(role)
        if now is not None and then is not None and not runs.same_bottle(now, then):
            yield named(role_text(role), now.name)
    for called, name, was in (("holder", plate.holder, last.holder), ("camera", plate.camera, last.camera)):
        if name is not None and was is not None and name != was:
            yield named(called, name)
