"""How long to wash: the dilution law, and a lag for the film itself. Pure.

Batches: n changes of V mL, each mixed with the v mL carried over, leave c₀ (v / (v + V))ⁿ. A flow
Q through a well mixed tank V leaves c₀ exp(−Q t / V). Both say nothing of the film, which lets go
slowly: a change is never shorter than the lag, and a flow is lengthened by it.

The limits that are published are gelatine's, so every result is an estimate and says so.
"""

from __future__ import annotations

import math

from darkroom.process.model import Wash

ESTIMATE = "an estimate: the published limit is gelatine's"


def residue_after_changes(start: float, carried: float, change: float, changes: int) -> float:
    """Return the g/L left after `changes` changes of `change` mL with `carried` mL carried over."""
    return start * (carried / (carried + change)) ** changes


def residue_after_flow(start: float, flow: float, tank: float, seconds: float) -> float:
    """Return the g/L left after `seconds` of `flow` mL/s through a well mixed tank of `tank` mL."""
    return start * math.exp(-flow * seconds / tank)


def changes_needed(start: float, limit: float, carried: float, change: float) -> int:
    """Return the fewest changes, at least one, that leave no more than `limit` g/L."""
    exact = math.log(start / limit) / math.log((carried + change) / carried)
    changes = max(1, math.ceil(exact - 1e-6))
    while residue_after_changes(start, carried, change, changes) > limit:
        changes += 1
    return changes


def flow_seconds(start: float, limit: float, flow: float, tank: float) -> float:
    """Return the seconds after which a flow has brought `start` down to `limit` g/L; no lag in it."""
    return max(0.0, math.log(start / limit) * tank / flow)


def wash_changes(wash: Wash) -> int | None:
    """Return the changes of water a wash takes, or None for a wash in running water."""
    if wash.carried is None or wash.change is None:
        return None
    return changes_needed(wash.start, wash.limit, wash.carried, wash.change)


def wash_seconds(wash: Wash) -> float:
    """Return the seconds a wash takes by its own numbers. Raises ValueError for half a wash."""
    changes = wash_changes(wash)
    if changes is not None:
        return changes * wash.lag
    if wash.flow is None or wash.tank is None:
        raise ValueError("a wash has carried and change, or flow and tank")
    return flow_seconds(wash.start, wash.limit, wash.flow, wash.tank) + wash.lag


def describe(wash: Wash, seconds: float) -> str:
    """Return the wash in words, as the estimate it is; `seconds` is what it takes in the process."""
    minutes = max(1, math.ceil(seconds / 60 - 1e-9))
    changes = wash_changes(wash)
    if changes is None:
        return f"{minutes} min in running water ({ESTIMATE})"
    if wash.lag > 0:
        changes = max(changes, math.ceil(seconds / wash.lag - 1e-9))
    return f"{changes} changes in {minutes} min ({ESTIMATE})"
