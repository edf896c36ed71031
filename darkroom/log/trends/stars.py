"""Stars against anything the catalogue knows of a plate: which things good plates have in common.

Numbers are compared with stars within one process (a negative is not a tintype that was developed too
long), words over all plates asked for. No trend is a cause: two things may correlate through a third one,
and of many things some correlate by chance. Each trend says what chance alone would make of it.
"""

from __future__ import annotations

import math
import statistics
from array import array
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from itertools import repeat
from operator import truediv

import msgspec

from darkroom.log.trends import ranks
from darkroom.log.trends.facts import Rows
from darkroom.log.trends.fixer_counts import fixer_counts
from darkroom.log.trends.plate_columns import members
from darkroom.log.trends.rated_plates import RatedPlates, Thing, words_of
from darkroom.log.trends.stage_times import ByStar, Times

FEWEST = 12
"""With fewer rated plates there is no trend: with a dozen, chance alone reaches a coefficient of 0.59 in
one of 20 logs (tables of Spearman's coefficient, from memory)."""
FEWEST_OF_A_WORD = 5
"""A word, such as the name of a lens, of fewer rated plates is left out."""
CELLS = 240
"""Values are gathered into at most so many for a picture."""
PICTURED = 24
"""So many of the strongest trends have their values gathered for a picture."""
WORDS = ("process", "light", "lens", "aperture", "size", "camera", "holder")
_ROUND = (1.0, 2.0, 2.5, 5.0)


class StarStep(msgspec.Struct, frozen=True):
    """The plates with so many stars: how many, the median of the thing, and its quartiles."""

    stars: int
    plates: int
    median: float
    low: float
    high: float


class OverNumber(msgspec.Struct, frozen=True, kw_only=True, tag="number", tag_field="kind"):
    """Stars against a number `thing` in `unit` ("s", "°C", "%", "plates", or "" for a share of 1).

    `coefficient` is Spearman's rank correlation, `chance` what chance alone reaches in one of 20 logs
    among as many things as were `looked_at`.
    `spread` are (value, stars, plates), values gathered for a picture; none of the weaker ones. `assumed`
    counts the rated plates left out since their value was assumed, or worked out from what was.
    """

    thing: str
    unit: str
    process: str
    plates: int
    assumed: int
    coefficient: float
    chance: float
    looked_at: int
    by_star: tuple[StarStep, ...]
    spread: tuple[tuple[float, int, int], ...] = ()

    @property
    def strength(self) -> float:
        """The coefficient as a multiple of what chance alone reaches."""
        return abs(self.coefficient) / self.chance


class WordGroup(msgspec.Struct, frozen=True):
    """The plates with a word: how many, mean and median of their stars, and how many got 0, 1 … 5."""

    word: str
    plates: int
    mean: float
    median: float
    counts: tuple[int, ...]


class OverWord(msgspec.Struct, frozen=True, kw_only=True, tag="word", tag_field="kind"):
    """Stars against a word `thing`, best first. `coefficient` is 0 (no difference) to 1: `ranks.apart`."""

    thing: str
    plates: int
    coefficient: float
    chance: float
    looked_at: int
    words: tuple[WordGroup, ...]

    @property
    def strength(self) -> float:
        """The coefficient as a multiple of what chance alone reaches."""
        return self.coefficient / self.chance


class Stars(msgspec.Struct, frozen=True, kw_only=True):
    """The trends, the strongest first. `looked_at` things had enough plates and more than one value.

    `rated` plates have stars. `things` are the names of all things looked at.
    """

    rated: int
    looked_at: int
    things: tuple[str, ...]
    found: tuple[OverNumber | OverWord, ...]


Values = Callable[[], ByStar]
"""Gives the values of a thing: those of all things together would take much room."""


def stars_against(rows: Rows, stage: str | None = None, thing: str | None = None) -> Stars:
    """Return the trends of stars; with a `stage` only those of its time.

    With a `thing` all are computed, but only those with it in their name are returned.
    """
    rated = RatedPlates(rows)
    values = _values(rows, rated, stage)
    assumed = rated.assumed if stage is None else Counter()
    numbers = list(_compared(values))
    word_groups = {} if stage else _word_groups(words_of(rows, WORDS))
    looked_at = len(numbers) + len(word_groups)
    trends: list[OverNumber | OverWord] = []
    for (process, name, unit), plates, coefficient, steps in numbers:
        number = OverNumber(
            thing=name,
            unit=unit,
            process=process,
            plates=plates,
            coefficient=coefficient,
            looked_at=looked_at,
            chance=ranks.by_chance(plates, looked_at),
            assumed=assumed[process, name, unit],
            by_star=steps,
        )
        trends.append(number)
    trends += [
        _word(name, groups, coefficient, looked_at) for name, (groups, coefficient) in word_groups.items()
    ]
    things = tuple(sorted({trend.thing for trend in trends}))
    if thing is not None:
        trends = [trend for trend in trends if thing.casefold() in trend.thing.casefold()]
    trends.sort(key=lambda trend: (-trend.strength, trend.thing, getattr(trend, "process", "")))
    for position, trend in enumerate(trends[:PICTURED]):
        if isinstance(trend, OverNumber):
            trends[position] = msgspec.structs.replace(
                trend, spread=tuple(_spread(values[trend.process, trend.thing, trend.unit]()))
            )
    return Stars(rated=rated.plates, looked_at=looked_at, things=things, found=tuple(trends))


def _compared(values: dict[Thing, Values]) -> Iterator[tuple[Thing, int, float, tuple[StarStep, ...]]]:
    """Yield (thing, plates, coefficient, steps) of the numbers of enough plates that are not all the same.

    The numbers of each star are put in order once: for their ranks among all, and for their quartiles.
    """
    for thing, values_of in values.items():
        by_star = values_of()
        plates = sum(map(len, by_star.values()))
        if plates >= FEWEST:
            in_order = {star: sorted(by_star[star]) for star in sorted(by_star) if by_star[star]}
            coefficient = ranks.spearman_grouped(in_order)
            if coefficient is not None:
                yield thing, plates, coefficient, tuple(_step(*stars) for stars in in_order.items())


def _values(rows: Rows, rated: RatedPlates, stage: str | None) -> dict[Thing, Values]:
    """Return the numbers of the rated plates that were seen or read, by thing."""
    of_stages: dict[Thing, list[Times]] = {}
    for (process, name, _), times in rows.stages.times.items():
        if stage in (None, name):
            of_stages.setdefault((process, f"{name}: time", "s"), []).append(times)
    values: dict[Thing, Values] = {thing: partial(_together, times) for thing, times in of_stages.items()}
    if stage is not None:
        return values
    celsius_by_star, assumed = rows.stages.celsius_by_star()
    for (process, source), by_star in celsius_by_star.items():
        if source != "room":
            thing = process, f"temperature of the {source}", "°C"
            rated.numbers[thing] = by_star
            rated.assumed[thing] = assumed[process, source]
    of_plates = members(rows.fixed, "asked", "path", "fixer")
    for (is_asked, path, fixer), (_, count) in zip(of_plates, fixer_counts(rows.fixed), strict=True):
        rating = rated.rating_of(path) if is_asked and fixer is not None else None
        if rating is not None:
            rated.put((rating[0], "plates its fixer had", "plates"), rating[1])(float(count))
    return values | {thing: partial(dict, by_star) for thing, by_star in rated.numbers.items()}


def _together(sources: Iterable[Times]) -> ByStar:
    """Return the values of a stage by all its sources of temperature."""
    found: ByStar = {}
    for times in sources:
        for star, seconds in times.by_star().items():
            found.setdefault(star, array("d")).extend(seconds)
    return found


def _step(stars: int, values: Sequence[float]) -> StarStep:
    """Return median and quartiles of values that ascend."""
    low, median, high = ranks.quartiles(values)
    return StarStep(stars, len(values), median, low, high)


def _spread(by_star: ByStar) -> Iterator[tuple[float, int, int]]:
    """Yield (value, stars, plates); many different values are rounded to a step of 1, 2, 2.5 or 5."""
    distinct = set[float]().union(*by_star.values())
    step = 0.0
    if len(distinct) > CELLS:
        least = (max(distinct) - min(distinct)) / CELLS
        power = 10 ** math.floor(math.log10(least))
        step = next((r * power for r in _ROUND if r * power >= least), 10 * power)
    for star in sorted(by_star):
        values = by_star[star]
        size = step or 1.0
        counted = Counter(map(round, map(truediv, values, repeat(step))) if step else values)
        yield from ((round(at * size, 9), star, counted[at]) for at in sorted(counted))


def _word_groups(
    words: dict[str, Counter[tuple[str, int]]],
) -> dict[str, tuple[dict[str, list[int]], float]]:
    """Return {thing: ({word: stars}, coefficient)}; words are compared without case, shown as first typed.

    `words` are {thing: how often (word as typed, stars) stands}, in the order of the plates.
    """
    by_thing = {}
    for thing, counted in words.items():
        by_word: dict[str, list[int]] = {}
        first_spelling: dict[str, str] = {}
        for (text, stars), plates in counted.items():
            word = " ".join(text.split())
            if word:
                spelling = first_spelling.setdefault(word.casefold(), word)
                by_word.setdefault(spelling, []).extend([stars] * plates)
        enough = {word: stars for word, stars in by_word.items() if len(stars) >= FEWEST_OF_A_WORD}
        coefficient = ranks.apart(enough) if len(enough) > 1 else None
        if coefficient is not None and sum(map(len, enough.values())) >= FEWEST:
            by_thing[thing] = (enough, coefficient)
    return by_thing


def _word(thing: str, groups: dict[str, list[int]], coefficient: float, looked_at: int) -> OverWord:
    plates = sum(map(len, groups.values()))
    word_groups = [
        WordGroup(
            word,
            len(stars),
            statistics.fmean(stars),
            float(statistics.median(stars)),
            tuple(stars.count(n) for n in range(6)),
        )
        for word, stars in groups.items()
    ]
    return OverWord(
        thing=thing,
        plates=plates,
        coefficient=coefficient,
        chance=ranks.by_chance(plates, looked_at, len(groups)),
        looked_at=looked_at,
        words=tuple(sorted(word_groups, key=lambda group: (-group.mean, -group.plates, group.word))),
    )
