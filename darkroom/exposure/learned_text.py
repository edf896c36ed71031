"""Which plates stand behind what was learned, in words: those that weigh, do not fit, disagree, say nothing.
Pure.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from darkroom.exposure.judged import LeftOut
from darkroom.exposure.learned import Learned
from darkroom.exposure.plate_names import plate_names

NAMED = 5
"""So many plates that were left out for one reason are named; further ones are counted."""


def plates_told(learned: Learned, left_out: Iterable[LeftOut]) -> list[tuple[str, str]]:
    """Return (what is told, which plates) of all that there is to tell, as ("does not fit", "plate 8: …").

    A weight in per cent is how far the time moves when that plate's judgement moves.
    """
    left_out = tuple(left_out)
    names = plate_names(_all_told(learned, left_out))
    told = []
    if learned.weigh:
        weighing = [f"plate {names[each.plate]} ({abs(each.weight):.0%})" for each in learned.weigh]
        told.append(("weigh most", " and ".join(weighing).replace("%", " %")))
    for odd in learned.unfitting:
        said = _said(odd.said_low, odd.said_high)
        others = _stops(odd.expected)
        told.append(("does not fit", f"plate {names[odd.plate]}: judged {said}, by the others {others}"))
    for pair in learned.disagree:
        one, other = (names[plate] for plate in pair.plates)
        told.append(("disagree", f"plates {one} and {other}, by {pair.stops:.1f} stops"))
    for reason, plates in _by_reason(left_out).items():
        told.append(("left out", f"{_counted([names[plate] for plate in plates])}: {reason}"))
    return told


def left_out_told(left_out: Iterable[LeftOut]) -> str:
    """Return "1 judged plate, left out: past wet", or of several how many and the commonest reason."""
    reasons = _by_reason(left_out)
    count = sum(len(plates) for plates in reasons.values())
    commonest = next(iter(reasons), "")
    if count == 1:
        return f"1 judged plate, left out: {commonest}"
    mostly = "" if len(reasons) == 1 else "mostly "
    return f"{count} judged plates, all left out: {mostly}{commonest}"


def _all_told(learned: Learned, left_out: Iterable[LeftOut]) -> Iterator[tuple[str, int]]:
    yield from ((each.plate, each.number) for each in learned.weigh)
    yield from ((each.plate, each.number) for each in learned.unfitting)
    yield from ((each.plate, each.number) for each in left_out)
    for pair in learned.disagree:
        yield from zip(pair.plates, pair.numbers, strict=True)


def _said(low: float, high: float) -> str:
    if high == math.inf:
        return "more"
    return "less" if low == -math.inf else _stops((low + high) / 2)


def _stops(value: float) -> str:
    rounded = round(value, 1) + 0.0
    if not rounded:
        return "right"
    return f"{rounded:+.1f} {'stop' if abs(rounded) == 1 else 'stops'}".replace("-", "−")


def _by_reason(left_out: Iterable[LeftOut]) -> dict[str, list[str]]:
    """Return the ids of the plates for each reason, the commonest reason first."""
    found: dict[str, list[str]] = {}
    for each in left_out:
        found.setdefault(each.reason, []).append(each.plate)
    return dict(sorted(found.items(), key=lambda pair: -len(pair[1])))


def _counted(names: list[str]) -> str:
    named = ", ".join(names[:NAMED])
    more = len(names) - NAMED
    if len(names) == 1:
        return f"plate {named}"
    return f"plates {named} and {more} more" if more > 0 else f"plates {named}"
