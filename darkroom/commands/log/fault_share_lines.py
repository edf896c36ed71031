"""The shares of faults over time as lines of `darkroom log trends`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from darkroom.log.trends.fault_shares import FaultShares

FAULTS = 6
"""The faults of so many plates are shown step by step: the first ones of `fault_shares`."""
WIDTH = 24
"""A bar is so many signs long at most."""


def fault_share_lines(trends: Sequence[FaultShares]) -> Iterator[str]:
    """Yield each fault's steps and what changed; of the rarer ones the number of plates alone."""
    from darkroom.log.trends import fault_share_text as say
    from darkroom.log.trends.trend_text import counted

    for trend in trends[:FAULTS]:
        yield ""
        yield f"{say.title(trend)}, {say.about(trend)}"
        for step in trend.steps:
            share = step.having / step.plates
            likely = f"{100 * step.low:.0f} to {100 * step.high:.0f} %"
            yield (
                f"  {say.step_name(step, trend):>16}  {counted(step.plates, 'plate'):>12}  "
                f"{('█' * round(WIDTH * share)).ljust(WIDTH)}  {step.having:>5} with it, {100 * share:.0f} % "
                f"(likely {likely})"
            )
        yield "  " + "; ".join(say.summary(trend))
        for line in say.change_lines(trend):
            yield f"    {line}"
    if len(trends) > FAULTS:
        rarer = (f"{trend.label} {trend.having:,}" for trend in trends[FAULTS:])
        yield ""
        yield f"other faults, --json has their steps: {', '.join(rarer)}"
