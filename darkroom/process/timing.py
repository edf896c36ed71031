"""How long a stage takes at a temperature, and how far it is while the temperature changes. Pure.

A law of time is a constant, a table (the logarithm of the time is linear in temperature between its
points, and the last segment goes on beyond them), or a reference time with its temperature
coefficient. Progress is the integral of dt / t(T): half done at 18 °C stays half done when the
bath warms.

A trace is a sequence of (instant in seconds, °C), ascending; each value holds until the next, the
first covers everything before it, the last goes on.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

from darkroom.process.model import Expect, Process, Reference, Stage, Table, TimeLaw
from darkroom.process.text.durations import show_duration
from darkroom.process.text.temperatures import show_celsius
from darkroom.process.washing import wash_seconds

CelsiusTrace = Sequence[tuple[float, float]]

QUICKEST = 0.01
SLOWEST = 1e7
"""Bounds of every time that is worked out, in seconds: no temperature makes one infinite or nothing."""


def seconds_at(law: TimeLaw, celsius: float) -> float:
    """Return the seconds that `law` gives at `celsius`; always within QUICKEST and SLOWEST."""
    if isinstance(law, Reference):
        return _exp(math.log(law.is_) + math.log(law.coefficient) * (law.at - celsius) / 10)
    if isinstance(law, float | int):
        return float(law)
    return _between(law, celsius)


def _between(table: Table, celsius: float) -> float:
    if len(table) == 1:
        return table[0][1]
    upper = next((i for i in range(1, len(table)) if celsius <= table[i][0]), len(table) - 1)
    (cold, slow), (warm, quick) = table[upper - 1], table[upper]
    if celsius in (cold, warm) or cold == warm:
        return slow if celsius == cold else quick
    share = (celsius - cold) / (warm - cold)
    return _exp(math.log(slow) + share * (math.log(quick) - math.log(slow)))


def _exp(logarithm: float) -> float:
    return math.exp(max(math.log(QUICKEST), min(math.log(SLOWEST), logarithm)))


def law_text(law: TimeLaw, duration: Callable[[float], str] = show_duration) -> str:
    """Return a law in words: "3:30 at 20 °C, 2:50 at 24 °C", "0:15 at 20 °C, 1.9 times as long 10 °C colder".

    `duration` makes text of seconds.
    """
    if isinstance(law, Reference):
        longer = f"{law.coefficient:g} times as long 10 °C colder"
        return f"{duration(law.is_)} at {show_celsius(law.at)}, {longer}"
    if isinstance(law, float | int):
        return duration(law)
    return ", ".join(f"{duration(seconds)} at {show_celsius(celsius)}" for celsius, seconds in law)


def least_wash(process: Process, index: int) -> float:
    """Return the least seconds of the wash at `index`: 15 min after hypo, 5 min after cyanide.

    What counts are the stages since the wash before it. Common practice, no source.
    """
    least = 0.0
    for stage in reversed(process.stages[:index]):
        if stage.wash is not None:
            break
        if "hypo" in stage.holds:
            least = max(least, 900.0)
        if "cyanide" in stage.holds:
            least = max(least, 300.0)
    return least


def law_of(process: Process, index: int) -> TimeLaw | None:
    """Return the law of the stage at `index`, a wash as a constant; None when it has no time."""
    stage = process.stages[index]
    if stage.wash is not None:
        return max(wash_seconds(stage.wash), least_wash(process, index))
    return stage.time


def stage_seconds(process: Process, index: int, celsius: float) -> float | None:
    """Return the seconds of the stage at `index` at `celsius`, or None when it has no time."""
    law = law_of(process, index)
    return None if law is None else seconds_at(law, celsius)


def expected(stage: Stage, celsius: float) -> tuple[float, float] | None:
    """Return the usual (least, most) seconds of a stage at `celsius`, or None when none is given."""
    usual = stage.expect
    if usual is None:
        return None
    least, most = _ends(usual, 0), _ends(usual, 1)
    return seconds_at(least, celsius), seconds_at(most, celsius)


def _ends(usual: Expect, end: int) -> TimeLaw:
    """Return the lower (0) or upper (1) end of a usual range as a law of time."""
    rows = tuple((row[0], row[1][end]) for row in usual if not isinstance(row, float | int))
    return rows or [float(number) for number in usual if isinstance(number, float | int)][end]


def segments(trace: CelsiusTrace, start: float) -> Iterator[tuple[float, float, float]]:
    """Yield (from, until, °C) from `start` on without gap; the last lasts for ever."""
    if not trace:
        raise ValueError("a trace needs at least one reading")
    begin, celsius = start, trace[0][1]
    for instant, value in trace:
        if instant > begin:
            yield begin, instant, celsius
            begin = instant
        celsius = value
    yield begin, math.inf, celsius


def done(law: TimeLaw, trace: CelsiusTrace, start: float, now: float) -> float:
    """Return how much is done at `now`: 0 at `start`, 1 at the zero, more after it."""
    if now <= start:
        return 0.0
    if isinstance(law, float | int):
        return (now - start) / law
    fraction = 0.0
    for begin, until, celsius in segments(trace, start):
        fraction += (min(until, now) - begin) / seconds_at(law, celsius)
        if until >= now:
            break
    return fraction


def zero_at(law: TimeLaw, trace: CelsiusTrace, start: float) -> float:
    """Return the instant at which the work begun at `start` is done, the last reading going on."""
    if isinstance(law, float | int):
        return start + law
    fraction = 0.0
    for begin, until, celsius in segments(trace, start):
        seconds = seconds_at(law, celsius)
        share = (until - begin) / seconds
        if fraction + share >= 1:
            return begin + (1 - fraction) * seconds
        fraction += share
    raise AssertionError("the last reading lasts for ever")
