"""The share of a fault over time in words, to stand beside its figures. No sentence claims a cause. Pure."""

from __future__ import annotations

import string
from collections.abc import Iterator
from datetime import date

from darkroom.faults.tallies import TELLING
from darkroom.log.trends.fault_shares import AROUND, Changed, FaultShares, FaultStep
from darkroom.log.trends.trend_text import counted

LETTERS = string.ascii_lowercase
"""Signs of the changes on the axis, in the order of time."""


def title(trend: FaultShares) -> str:
    """Return the name of the trend."""
    return f"plates with {trend.label}"


def about(trend: FaultShares) -> str:
    """Return what a step of the trend is."""
    return f"by {trend.by}" if trend.known else f"by {trend.by}, in no file of faults"


def step_name(step: FaultStep, trend: FaultShares) -> str:
    """Return what a step is called: a day, the week from a Monday on, a month, a quarter or a year."""
    day = date.fromordinal(step.least)
    if trend.by == "month":
        return f"{day:%Y-%m}"
    if trend.by == "quarter":
        return f"{day:%Y} Q{(day.month + 2) // 3}"
    if trend.by == "year":
        return f"{day:%Y}"
    return day.isoformat() if trend.by == "day" else f"{day.isoformat()} on"


def summary(trend: FaultShares) -> list[str]:
    """Say how many plates were judged, how many have it, and where the share changed most."""
    share = 100 * trend.having / trend.plates
    says = [f"{counted(trend.plates, 'judged plate')}, {trend.having:,} with it ({share:.0f} %)"]
    if trend.unjudged:
        says.append(f"{trend.unjudged:,} not judged left out")
    most = trend.strongest
    if most is not None and most.strength >= TELLING:
        says.append(f"most changed at {letter(trend, most)}: {counts(most)}")
    if trend.changes:
        says.append("no cause is claimed")
    return says


def letter(trend: FaultShares, change: Changed) -> str:
    """Return the sign of a change on the axis."""
    return LETTERS[trend.changes.index(change)]


def counts(change: Changed) -> str:
    """Return how many of the judged plates before and after a change had the fault, of the nearest ones."""
    before = f"the last {AROUND}" if change.before == AROUND else f"{change.before}"
    after = f"the first {AROUND}" if change.after == AROUND else f"{change.after}"
    return f"{change.having_before} of {before} plates before it, {change.having_after} of {after} from it on"


def signs(trend: FaultShares) -> Iterator[str]:
    """Yield each change with its sign and its day: "a 05-14 developer D-4, bath B-1 topped up"."""
    for sign, change in zip(LETTERS, trend.changes, strict=False):
        yield f"{sign} {date.fromordinal(change.day).isoformat()[5:]} {', '.join(change.what)}"


def change_lines(trend: FaultShares) -> Iterator[str]:
    """Yield each change with the plate before which it came, and the counts around it."""
    for sign, change in zip(LETTERS, trend.changes, strict=False):
        plate = change.plate if change.number is None else f"plate {change.number}"
        day = date.fromordinal(change.day).isoformat()
        yield f"{sign}  {day}, {plate}: {', '.join(change.what)}: {counts(change)}"
    if trend.changed > len(trend.changes):
        yield f"{trend.changed - len(trend.changes):,} more changes, with which the share changed less"
