"""What trends read of a plate, packed into one value of the catalogue: one row a plate, not some twenty.

The value is made where the plate's other rows are made, from the same rows. It stands under the checksum of
its own row, as every value of the catalogue does.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import lru_cache
from operator import itemgetter
from typing import TYPE_CHECKING, Any

import msgspec

from darkroom.log.catalogue.schema import STAGE_COLUMNS
from darkroom.process.text.temperatures import COLDEST, HOTTEST

if TYPE_CHECKING:
    from darkroom.log.catalogue.rows import PlateRows

MOST = 1e7
"""A time of more seconds is taken for a typing error."""
SEEN = ("strike", "short")
"""Ends of stages that a strike saw; no others count in trends."""
FACTS = (
    "plate", "process", "process_sum", "size", "lens", "aperture", "light", "camera", "holder", "fixer",
    "stars", "exposed", "wet_used", "wet_about", "humidity", "humidity_from", "estimated", "number", "day",
    "moment", "exposure_stops", "best_strip", "exposure_word", "nothing_else",
)  # fmt: skip
"""The columns of `plates` that trends ask for."""

Step = tuple[str, bool, str | None, bool]
"""(stage, whether its time is that until the plate was clear, source of its temperature, whether that was
read)."""
PackedUse = tuple[str, str, float, str | None, str | None]
"""(role, stage, instant, the bottle's id, its name); see `PlateUse`."""


class TrendPlate(msgspec.Struct, frozen=True, array_like=True, gc=False):
    """One plate as trends read it.

    `facts` are the values of FACTS. `steps` and `times` are those of `seen_times`. `cleared` are (stage,
    seconds until clear) of the stages in a fixer that were not skipped, struck or not. `faults` are the names
    of its faults, `room` the mean of the room's readings in °C, `unseen` says whether its wet time began at
    an end that no strike saw. `judged` is a `JudgedPlate` as MessagePack, where it tells its exposure.
    """

    facts: tuple[Any, ...]
    steps: bytes
    times: list[float]
    cleared: tuple[tuple[str, float | None], ...]
    uses: tuple[PackedUse, ...]
    faults: tuple[str, ...]
    room: float | None
    unseen: bool
    judged: bytes | None


PLATE = msgspec.msgpack.Decoder(TrendPlate)
STEPS = msgspec.msgpack.Decoder(tuple[Step, ...])
_anything = msgspec.msgpack.Decoder().decode
_encoded = msgspec.msgpack.Encoder().encode
_NAN = math.nan
_facts_of = itemgetter(*FACTS)
_STAGE, _ENDS, _HOW, _CLEARED = (
    STAGE_COLUMNS.index(name) - 1 for name in ("stage", "ends", "how", "cleared")
)


def packed(rows: PlateRows) -> bytes:
    """Return what trends read of the plate of these rows."""
    stages = rows.stages
    steps, times = seen_times(stages)
    cleared = [
        (stage[_STAGE], stage[_CLEARED])
        for stage in stages
        if stage[_ENDS] == "cleared" and stage[_HOW] != "skipped"
    ]
    room = [
        celsius
        for source, celsius, origin in rows.readings
        if source == "room" and origin not in (None, "assumed") and _number(celsius) is not None
    ]
    values = (
        list(map(_number, _facts_of(rows.plate))),
        steps,
        times,
        cleared,
        [(use[2], use[3], use[4], use[5], use[6]) for use in rows.uses],
        [fault.name for fault in rows.faults],
        sum(room) / len(room) if room else None,  # type: ignore[arg-type]
        _unseen(stages, None if rows.process is None else _wet_from(rows.process[2])),
        None if rows.exposure is None else rows.exposure[2],
    )
    try:
        return _encoded(values)
    except (UnicodeEncodeError, OverflowError):  # the other rows of the plate cannot be kept as they are too
        return _encoded(_kept(values))


def _number(value: Any) -> Any:
    """Return a value as a table gives it back: None for a number that is none."""
    return None if isinstance(value, float) and math.isnan(value) else value


def seen_times(stages: Iterable[Sequence[Any]]) -> tuple[bytes, list[float]]:
    """Return the stages whose end a strike saw: their steps as MessagePack, and their numbers.

    `stages` are rows of the catalogue from `position` on. The steps of most plates are the same bytes. The
    numbers are of each step its seconds; behind them, where its temperature was read, that in °C and the
    process's own seconds, not a number where it says none.
    """
    steps: list[Step] = []
    times: list[float] = []
    for _, stage, ends, _, seconds, how, source, celsius, origin, law, cleared, _ in stages:
        if how not in SEEN or ends == "exposure":
            continue
        clears = ends == "cleared"
        taken = cleared if clears else seconds
        if taken is None or not 0 < taken <= MOST:
            continue
        if source is None or celsius is None or origin == "assumed" or not COLDEST <= celsius <= HOTTEST:
            steps.append((stage, clears, source, False))
            times.append(taken)
        else:
            steps.append((stage, clears, source, True))
            times += (taken, celsius, _NAN if clears or law is None else law)
    return _steps(tuple(steps)), times


@lru_cache(maxsize=1024)
def _steps(steps: tuple[Step, ...]) -> bytes:
    try:
        return _encoded(steps)
    except UnicodeEncodeError:
        return _encoded(_kept(steps))


def _unseen(stages: Iterable[Sequence[Any]], wet_from: str | None) -> bool:
    """Return whether the wet time began at an end that no strike saw: that of the stage `wet_from`."""
    return any(
        stage[_STAGE] == wet_from
        and stage[_HOW] is not None
        and stage[_HOW] not in SEEN
        and stage[_ENDS] not in (None, "exposure")
        for stage in stages
    )


@lru_cache(maxsize=16)
def _wet_from(process: str) -> str | None:
    """Return the stage whose end begins the wet time of a process, which is JSON."""
    window = msgspec.json.decode(process).get("wet_window")
    return str(window.get("from")) if isinstance(window, dict) else None


def storable(value: bytes) -> bytes:
    """Return a packed value with each of its own as the tables can keep it; see `kept_value`."""
    return _encoded(_kept(_anything(value)))


def _kept(value: Any) -> Any:
    if isinstance(value, list | tuple):
        return [_kept(one) for one in value]
    return kept_value(value)


def kept_value(value: Any) -> Any:
    """Return a value as the tables can keep it: a number beyond 64 bits as text, odd signs replaced."""
    if isinstance(value, str):
        return value if value.isascii() else value.encode("utf-8", "replace").decode()
    if isinstance(value, int) and not -(1 << 63) <= value < 1 << 63:
        return str(value)
    return value
