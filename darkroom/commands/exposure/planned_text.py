"""A planned exposure as JSON and as text: the time, every factor in stops and as a multiplier, their sum."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from darkroom.exposure.factor_text import stops_text, times_text

if TYPE_CHECKING:
    from darkroom.exposure.factors import Planned


def planned_as_json(planned: Planned) -> dict[str, Any]:
    """Return the JSON members of a planned exposure. The keys are a contract with people's scripts."""
    factors = [
        {"what": factor.what, "stops": factor.stops, "times": factor.times} for factor in planned.factors
    ]
    return {"seconds": planned.seconds, "factors": factors}


def planned_lines(planned: Planned, begins: str) -> Iterator[str]:
    """Yield the time, then what it is made of; `begins` says what the factors count from."""
    from darkroom.exposure.factors import Factor
    from darkroom.exposure.time_remarks import remarks
    from darkroom.process.text.durations import show_short

    yield show_short(planned.seconds)
    yield begins + (":" if planned.factors else ", and nothing changes it")
    factors = [*planned.factors]
    if len(factors) > 1:
        factors.append(Factor(what="in all", how="", stops=planned.stops))
    what = max((len(factor.what) for factor in factors), default=0)
    how = max((len(factor.how) for factor in factors), default=0)
    for factor in factors:
        stops = stops_text(factor.stops)
        yield f"  {factor.what:{what}}  {factor.how:{how}}  {stops:>12}  {times_text(factor.stops)}"
    yield from planned.assumed
    yield from remarks(planned.seconds)
