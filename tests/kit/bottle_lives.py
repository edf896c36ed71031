"""Lives of invented bottles, for tests: lines of the book and the plates that used it."""

from __future__ import annotations

import random
from collections.abc import Sequence
from datetime import timedelta, timezone
from typing import Any

from darkroom.solutions import events as ev
from darkroom.solutions.bottle import Bottle, fold
from darkroom.solutions.care import Due
from darkroom.solutions.events import BottleEntry
from darkroom.solutions.uses import Use
from tests.kit.bottles import entry, made

DAY = 86400.0
MADE = 1_780_000_000.0
"""28 May 2026, 20:26:40 UTC."""
ZONE = timezone(timedelta(hours=2))
BATH: tuple[tuple[float, Any, dict[str, Any]], ...] = (
    (1, ev.Opened, {}),
    (2, ev.Treated, {"how": "iodised"}),
    (10, ev.Treated, {"how": "filtered"}),
    (20, ev.Treated, {"how": "filtered"}),
    (34, ev.Measured, {"what": "density", "value": 1.068, "celsius": 22.0, "strength": 8.4}),
    (35, ev.ToppedUp, {"grams": 9.0, "strength": 9.0, "volume": 1000.0}),
    (36, ev.Treated, {"how": "sunned"}),
    (50, ev.Treated, {"how": "filtered"}),
    (55, ev.Measured, {"what": "density", "value": 1.066, "celsius": 22.0, "strength": 8.1}),
    (55, ev.Postponed, {"care": "sun", "until": "2026-08-01T00:00:00.000+02:00"}),
    (56, ev.SetAside, {}),
    (60, ev.Note, {"text": "clearer after the weekend"}),
    (66, ev.TakenUp, {}),
)
"""(day, kind of line, its members) of a silver bath's first ten weeks."""


def lines(happened: Sequence[tuple[float, Any, dict[str, Any]]] = BATH, **start: Any) -> list[BottleEntry]:
    """Return the lines of a bottle made at MADE, a bath of 9 % unless `start` says otherwise."""
    members = {"strength": 9.0, "volume": 1000.0, "recipe": "silver-bath", "ripens": 2.0, **start}
    told = [made(instant=MADE, **members)]
    for n, (day, kind, further) in enumerate(happened, 2):
        told.append(entry(kind, n=n, instant=MADE + day * DAY, **further))
    return told


def bottle(bottle_id: str = "b1", entries: Sequence[BottleEntry] | None = None, **start: Any) -> Bottle:
    """Return the bottle of these lines, a silver bath of ten weeks unless they say otherwise."""
    found = fold(bottle_id, lines(**start) if entries is None else entries)
    assert found is not None
    return found


def uses(count: int = 60, first: float = 2, last: float = 56, of: str = "b1", seed: int = 3) -> list[Use]:
    """Return plates that used a bottle between two days of its life; every fifth is of unknown size."""
    rng = random.Random(seed)
    days = sorted(rng.uniform(first, last) for _ in range(count))
    return [
        Use(
            plate=f"plate-{number}",
            number=number,
            bottle=of,
            role="bath",
            stage="sensitise",
            instant=MADE + day * DAY,
            area=300.0 if number % 5 else None,
        )
        for number, day in enumerate(days, 1)
    ]


def due(says: str = "Filter the bath", **members: Any) -> Due:
    """Return a care that is due now, unless `members` say otherwise."""
    usual: dict[str, Any] = {
        "bottle": "b1", "name": "B-1", "care": "filter", "now": True, "due": MADE + 60 * DAY,
        "basis": "31 plates since filtered 17 Jul 2026; its recipe: after 25",
    }  # fmt: skip
    return Due(**{**usual, "says": says, **members})
