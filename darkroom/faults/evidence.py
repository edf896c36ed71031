"""The figures that a cause's evidence may be of, computed from the record. Pure.

What each one is stands in `evidence_names`. What the record does not hold, or a value that cannot be, is not
among them. Only plates before this one count, whatever came later.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from functools import cached_property

from darkroom.faults import evidence_names, runs
from darkroom.faults import usual as usuals
from darkroom.faults.history import BottleThen, PlateFigures, StageFigures, stops_of

FEWEST_EACH = 3
"""So many judged plates with a holder, and with the others, are compared (our own choice)."""
MOST_EACH = 10
"""So many of the last ones of either (our own choice: half of the plates that the usual is made of)."""


class Asked:
    """A plate, the plates before it (oldest first) and the faults that the question is about."""

    def __init__(self, plate: PlateFigures, earlier: Sequence[PlateFigures], faults: Collection[str]) -> None:
        self.plate = plate
        self.earlier = earlier
        self.faults = frozenset(faults)

    @cached_property
    def run(self) -> runs.Run | None:
        """The plates with one of the faults up to this one."""
        return runs.run_up_to(self.plate, self.earlier, self.faults)


Figure = Callable[[Asked], float | None]


def figures_of(
    plate: PlateFigures, history: Sequence[PlateFigures], faults: Collection[str]
) -> dict[str, float]:
    """Return {name: value} of all figures that the record holds, in the units of `evidence_names`.

    `history` are plates of all processes, oldest first; it may go on after this one. `faults` are the ids
    that the figures about a fault are asked of: a plate with any of them counts as having it.
    """
    asked = Asked(plate, usuals.before(plate, history), faults)
    found = {}
    for name, figure in FIGURES.items():
        value = figure(asked)
        believed = evidence_names.BY_NAME[name]
        if value is not None and believed.low <= value <= believed.high:
            found[name] = value
    return found


def _of_plate(value: usuals.Value) -> Figure:
    return lambda asked: value(asked.plate)


def _over_usual(name: str, relative: bool) -> Figure:
    """Return a plate's figure less the usual one; relative: in per cent of the usual one."""
    value = usuals.COMPARED[name]

    def figure(asked: Asked) -> float | None:
        own, usual = value(asked.plate), usuals.usual(asked.earlier, asked.plate.process, value)
        if own is None or usual is None:
            return None
        if not relative:
            return own - usual
        return 100 * (own / usual - 1) if usual > 0 else None

    return figure


def _share(part: str) -> Figure:
    """Return a stage's time in per cent of what was planned for it.

    Without a plan the file's own usual range stands for it: within the range it is 100.
    """

    def figure(asked: Asked) -> float | None:
        stage = asked.plate.stages.get(part)
        wanted = None if stage is None else _wanted(stage)
        return 100 * stage.seconds / wanted if stage is not None and wanted else None

    return figure


def _wanted(stage: StageFigures) -> float | None:
    if stage.planned is not None or stage.usual is None:
        return stage.planned
    low, high = stage.usual
    return min(max(stage.seconds, low), high)


def _fixed_share(asked: Asked) -> float | None:
    stage = asked.plate.stages.get("fix")
    if stage is None:
        return None
    # twice the clearing time is the trade's rule where the file has none
    wanted = stage.planned or (2 * stage.cleared if stage.cleared else None)
    return 100 * stage.seconds / wanted if wanted else None


def _wet_share(plate: PlateFigures) -> float | None:
    return 100 * plate.wet_used / plate.wet_about if plate.wet_used is not None and plate.wet_about else None


def _exposure_over_proposal(plate: PlateFigures) -> float | None:
    given, proposed = stops_of(plate.exposed), stops_of(plate.proposed)
    return None if given is None or proposed is None else given - proposed


def _stop_seconds(plate: PlateFigures) -> float | None:
    stage = plate.stages.get("stop")
    return None if stage is None else stage.seconds


def _clearing_ratio(plate: PlateFigures) -> float | None:
    stage, fixer = plate.stages.get("fix"), plate.bottles.get("fixer")
    if stage is None or fixer is None or stage.cleared is None or not fixer.fresh_clearing:
        return None
    return stage.cleared / fixer.fresh_clearing


def _bottle(role: str, value: Callable[[BottleThen], float | None]) -> Figure:
    """Return a figure of the bottle that the plate had in a role."""

    def figure(asked: Asked) -> float | None:
        bottle = asked.plate.bottles.get(role)
        return None if bottle is None else value(bottle)

    return figure


def _plates_since(what: str) -> Callable[[BottleThen], float | None]:
    return lambda bottle: bottle.since.get(what, bottle.plates)


def _iodised(bottle: BottleThen) -> float | None:
    return None if bottle.iodised is None else float(bottle.iodised)


def _substratum(asked: Asked) -> float | None:
    """Return whether the plate has a substratum; without one it is 0 only where other plates name theirs."""
    if "substratum" in asked.plate.bottles:
        return 1.0
    return 0.0 if any("substratum" in plate.bottles for plate in asked.earlier) else None


def _same_fault_before(asked: Asked) -> float | None:
    """Return how many judged plates right before had it; the last twenty are looked at."""
    judged = [plate for plate in asked.earlier if plate.process == asked.plate.process and plate.judged]
    if not judged or not asked.faults:
        return None
    count = 0
    for plate in reversed(judged[-usuals.LAST :]):
        if not runs.marked(plate, asked.faults):
            break
        count += 1
    return float(count)


def _more_often(name: Callable[[PlateFigures], str | None]) -> Figure:
    """Return by how many per cent points more of the last plates with this holder than of the others had it.

    The last MOST_EACH of either count: what a holder was before it leaked does not speak for ever. The plate
    itself has the fault, whatever the holder does, and does not count.
    """

    def figure(asked: Asked) -> float | None:
        own = name(asked.plate)
        if own is None or not asked.faults:
            return None
        judged = [plate for plate in asked.earlier if plate.judged and name(plate) is not None]
        like = [runs.marked(plate, asked.faults) for plate in judged if name(plate) == own][-MOST_EACH:]
        others = [runs.marked(plate, asked.faults) for plate in judged if name(plate) != own][-MOST_EACH:]
        if min(len(like), len(others)) < FEWEST_EACH:
            return None
        return 100 * (sum(like) / len(like) - sum(others) / len(others))

    return figure


def _new(role: str) -> Figure:
    """Return whether the fault began with this plate's bottle and its first plate.

    It did not where plates before it had the bottle and not the fault, nor where the fault stayed with
    another bottle than the one it began with.
    """

    def figure(asked: Asked) -> float | None:
        new = None if asked.run is None else runs.is_new(asked.run, role)
        if asked.run is None or not new:
            return None if new is None else 0.0
        with_it = runs.used_before(asked.run, role, asked.earlier)
        if any(plate.judged and not runs.marked(plate, asked.faults) for plate in with_it):
            return 0.0
        return _as_figure(runs.has_first_bottle(asked.run, role))

    return figure


def _bath_treated(asked: Asked) -> float | None:
    """Return whether the fault began when the bath was treated that this plate had too."""
    done = None if asked.run is None else runs.treated(asked.run, "bath")
    if asked.run is None or not done:
        return None if done is None else 0.0
    return _as_figure(runs.has_first_bottle(asked.run, "bath"))


def _as_figure(answer: bool | None) -> float | None:
    return None if answer is None else float(answer)


FIGURES: Mapping[str, Figure] = {
    "coat seconds": _of_plate(usuals.coat_seconds),
    "coat over usual": _over_usual("coat over usual", relative=True),
    "bath share": _share("bath"),
    "bath temperature": _of_plate(usuals.bath_celsius),
    "bath over usual": _over_usual("bath over usual", relative=False),
    "drain seconds": _of_plate(usuals.drain_seconds),
    "drain over usual": _over_usual("drain over usual", relative=True),
    "wet share": _of_plate(_wet_share),
    "room temperature": _of_plate(usuals.room_celsius),
    "humidity": _of_plate(lambda plate: plate.humidity),
    "exposure over proposal": _of_plate(_exposure_over_proposal),
    "judged stops": _of_plate(lambda plate: plate.stops),
    "developer temperature": _of_plate(usuals.developer_celsius),
    "developer over usual": _over_usual("developer over usual", relative=False),
    "developed share": _share("develop"),
    "developed over usual": _over_usual("developed over usual", relative=True),
    "first seen": _of_plate(lambda plate: plate.first_seen),
    "stop seconds": _of_plate(_stop_seconds),
    "clearing ratio": _of_plate(_clearing_ratio),
    "fixed share": _fixed_share,
    "wash share": _share("wash"),
    "collodion age": _bottle("collodion", lambda bottle: bottle.age_days),
    "developer age": _bottle("developer", lambda bottle: bottle.age_days),
    "bath strength": _bottle("bath", lambda bottle: bottle.percent),
    "bath iodised": _bottle("bath", _iodised),
    "plates on bath": _bottle("bath", lambda bottle: bottle.plates),
    "plates since filtered": _bottle("bath", _plates_since("filtered")),
    "plates since sunned": _bottle("bath", _plates_since("sunned")),
    "plates on developer": _bottle("developer", lambda bottle: bottle.plates),
    "plates on fixer": _bottle("fixer", lambda bottle: bottle.plates),
    "substratum": _substratum,
    "same fault before": _same_fault_before,
    "holder": _more_often(lambda plate: plate.holder),
    "camera": _more_often(lambda plate: plate.camera),
    "new collodion": _new("collodion"),
    "new bath": _new("bath"),
    "new developer": _new("developer"),
    "new fixer": _new("fixer"),
    "new varnish": _new("varnish"),
    "bath treated": _bath_treated,
}
"""How each name of the closed list is computed, in its order."""
