"""Which plates stand behind what was learned, in words: those that weigh, do not fit, disagree, say nothing.
Pure.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from darkroom.exposure.judged import LeftOut
from darkroom.exposure.learned import Learned

NAMED = 5
"""So many plates that were left out for one reason are named; further ones are counted."""


def plates_told(learned: Learned, left_out: Iterable[LeftOut]) -> list[tuple[str, str]]:
    """Return (what is told, which plates) of all that there is to tell, as ("does not fit", "plate 8: …").

    A weight in per cent is how far the time moves when that plate's judgement moves.
    """
    told = []
    if learned.weigh:
        weighing = [f"plate {each.number} ({abs(each.weight):.0%})" for each in learned.weigh]
        told.append(("weigh most", " and ".join(weighing).replace("%", " %")))
    for odd in learned.unfitting:
        said = _said(odd.said_low, odd.said_high)
        told.append(
            ("does not fit", f"plate {odd.number}: judged {said}, by the others {_stops(odd.expected)}")
        )
    for pair in learned.disagree:
        told.append(
            ("disagree", f"plates {pair.numbers[0]} and {pair.numbers[1]}, by {pair.stops:.1f} stops")
        )
    told += [
        ("left out", f"{_counted(numbers)}: {reason}") for reason, numbers in _by_reason(left_out).items()
    ]
    return told


def _said(low: float, high: float) -> str:
    if high == math.inf:
        return "more"
    return "less" if low == -math.inf else _stops((low + high) / 2)


def _stops(value: float) -> str:
    rounded = round(value, 1) + 0.0
    if not rounded:
        return "right"
    return f"{rounded:+.1f} {'stop' if abs(rounded) == 1 else 'stops'}".replace("-", "−")


def _by_reason(left_out: Iterable[LeftOut]) -> dict[str, list[int]]:
    """Return the numbers of the plates for each reason, the commonest reason first."""
    found: dict[str, list[int]] = {}
    for each in left_out:
        found.setdefault(each.reason, []).append(each.number)
    return dict(sorted(found.items(), key=lambda pair: -len(pair[1])))


def _counted(numbers: list[int]) -> str:
    named = ", ".join(map(str, numbers[:NAMED]))
    more = len(numbers) - NAMED
    if len(numbers) == 1:
        return f"plate {named}"
    return f"plates {named} and {more} more" if more > 0 else f"plates {named}"
