"""Stars against anything the catalogue knows of a plate: which things good plates have in common.

Numbers are held against stars within one process (a negative is not a tintype that was developed too
long); words are held over all plates asked for. Nothing here is a cause: what goes together may have a
third thing behind it, and of many things looked at some go together by chance. Each trend says how much
chance alone would make of it.
"""

from __future__ import annotations

import math
import statistics
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

import msgspec

from darkroom.log.trends import ranks
from darkroom.log.trends.facts import MOST, PlateFacts, Rows, fixer_counts

FEWEST = 12
"""Of fewer rated plates nothing is said: with a dozen, chance alone reaches a coefficient of 0.59 in one of
20 logs (tables of Spearman's coefficient, from memory)."""
FEWEST_OF_A_WORD = 5
"""A lens that took fewer rated plates is left out."""
CELLS = 240
"""Values are gathered into at most so many for a picture."""
PICTURED = 24
"""The strongest of so many have their values gathered for a picture."""
TURN = 4096
"""So many plates are counted at a time."""
WORDS = ("process", "light", "lens", "aperture", "size")
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
        """How many times what chance makes."""
        return abs(self.coefficient) / self.chance


class OfWord(msgspec.Struct, frozen=True):
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
    words: tuple[OfWord, ...]

    @property
    def strength(self) -> float:
        """How many times what chance makes."""
        return self.coefficient / self.chance


class Stars(msgspec.Struct, frozen=True, kw_only=True):
    """What was found, the strongest first. `looked_at` things had plates enough and differed at all.

    `rated` plates have stars. `things` are the names of all that was looked at.
    """

    rated: int
    looked_at: int
    things: tuple[str, ...]
    found: tuple[OverNumber | OverWord, ...]


ByStar = dict[int, list[float]]
"""{stars: the values of the plates that have them}."""
Key = tuple[str, str, str]
"""(process, thing, unit)."""


def stars_against(rows: Rows, stage: str | None = None, thing: str | None = None) -> Stars:
    """Return what stars go with; of one `stage`'s time alone where it is given.

    With a `thing` all is looked at, and only what has it in its name is returned.
    """
    rated = {plate.path: plate for plate in rows.plates if plate.stars is not None}
    assumed = Counter[Key]()
    told = _numbers(rows, rated, stage, assumed)
    for by_star in told.values():
        for some in by_star.values():
            some.sort()
    numbers = [
        (key, by_star, plates, coefficient)
        for key, by_star in told.items()
        if (plates := sum(map(len, by_star.values()))) >= FEWEST
        and (coefficient := ranks.spearman_grouped(by_star)) is not None
    ]
    words = {} if stage else _words(rated.values())
    looked_at = len(numbers) + len(words)
    found: list[OverNumber | OverWord] = []
    values: dict[int, ByStar] = {}
    for (process, name, unit), by_star, plates, coefficient in numbers:
        number = OverNumber(
            thing=name,
            unit=unit,
            process=process,
            plates=plates,
            coefficient=coefficient,
            looked_at=looked_at,
            chance=ranks.by_chance(plates, looked_at),
            assumed=assumed[process, name, unit],
            by_star=tuple(_step(star, by_star[star]) for star in sorted(by_star)),
        )
        values[id(number)] = by_star
        found.append(number)
    found += [_word(name, groups, coefficient, looked_at) for name, (groups, coefficient) in words.items()]
    things = tuple(sorted({one.thing for one in found}))
    if thing is not None:
        found = [one for one in found if thing.casefold() in one.thing.casefold()]
    found.sort(key=lambda one: (-one.strength, one.thing, getattr(one, "process", "")))
    for place, one in enumerate(found[:PICTURED]):
        if isinstance(one, OverNumber):
            found[place] = msgspec.structs.replace(one, spread=tuple(_spread(values[id(one)])))
    return Stars(rated=len(rated), looked_at=looked_at, things=things, found=tuple(found))


def _numbers(
    rows: Rows, rated: dict[str, PlateFacts], stage: str | None, assumed: Counter[Key]
) -> dict[Key, ByStar]:
    """Return everything that was seen or read of the rated plates; count in `assumed` what was not."""
    found: dict[Key, ByStar] = {}
    for (process, name, _), times in rows.stages.times.items():
        if stage in (None, name):
            for star, some in times.by_star.items():
                found.setdefault((process, f"{name}: time", "s"), {}).setdefault(star, []).extend(some)
    if stage is None:
        for (process, source), heats in rows.stages.heats.items():
            if source != "room":
                key = process, f"temperature of the {source}", "°C"
                found[key] = {star: list(some) for star, some in heats.items()}
                assumed[key] = rows.stages.assumed[process, source]
        for plate in rated.values():
            for thing, unit, value in _of_plate(plate, rows):
                key = plate.process or "?", thing, unit
                if value is None:
                    assumed[key] += 1
                elif value <= MOST:
                    _put(found, key, plate.stars, value)
        for row, count in fixer_counts(rows.fixed):
            fixed = rated.get(row.path)
            if fixed is not None and row.fixer is not None:
                key = (fixed.process or "?", "plates its fixer had", "plates")
                _put(found, key, fixed.stars, float(count))
    return found


def _put(found: dict[Key, ByStar], key: Key, stars: int | None, value: float) -> None:
    by_star = found.get(key)
    if by_star is None:
        by_star = found[key] = {}
    some = by_star.get(stars or 0)
    if some is None:
        some = by_star[stars or 0] = []
    some.append(value)


def _of_plate(plate: PlateFacts, rows: Rows) -> Iterator[tuple[str, str, float | None]]:
    """Yield (thing, unit, value, or None where it was assumed)."""
    used, read = plate.wet_used, plate.humidity_from not in (None, "assumed")
    if plate.exposed:
        yield "exposure", "s", plate.exposed
    yield "humidity", "%", plate.humidity if read else None
    room = rows.rooms.get(plate.path)
    yield "temperature of the room", "°C", room
    if used is not None and plate.path not in rows.unseen and not plate.estimated:
        yield "wet time used", "s", used
        known = read and room is not None and plate.wet_about
        yield (
            "share of the wet window used",
            "",
            used / plate.wet_about if known and plate.wet_about else None,
        )


def _step(stars: int, ordered: list[float]) -> StarStep:
    """Gather values that are sorted; quartiles lie between two of them as the median does."""
    low, median, high = (_between(ordered, share) for share in (0.25, 0.5, 0.75))
    return StarStep(stars, len(ordered), median, low, high)


def _between(ordered: Sequence[float], share: float) -> float:
    place = share * (len(ordered) - 1)
    below = int(place)
    above = min(below + 1, len(ordered) - 1)
    return ordered[below] + (place - below) * (ordered[above] - ordered[below])


def _spread(by_star: ByStar) -> Iterator[tuple[float, int, int]]:
    """Yield (value, stars, plates); many different values are rounded to a step of 1, 2, 2.5 or 5."""
    every = {value for values in by_star.values() for value in values}
    step = 0.0
    if len(every) > CELLS:
        least = (max(every) - min(every)) / CELLS
        power = 10 ** math.floor(math.log10(least))
        step = next((r * power for r in _ROUND if r * power >= least), 10 * power)
    for star in sorted(by_star):
        some = by_star[star]
        counted = Counter([round(value / step) * step for value in some] if step else some)
        yield from ((round(at, 9), star, counted[at]) for at in sorted(counted))


def _words(rated: Iterable[PlateFacts]) -> dict[str, tuple[dict[str, list[int]], float]]:
    """Return {thing: ({word: stars}, coefficient)}; a word is the same in any case, as it was first typed."""
    groups: dict[str, dict[str, list[int]]] = {thing: {} for thing in WORDS}
    every = list(rated)
    for thing in WORDS:
        typed: dict[str, str] = {}
        counted = Counter[tuple[str | None, int | None]]()
        for start in range(0, len(every), TURN):  # other threads get their turn in between
            counted.update([(getattr(one, thing), one.stars) for one in every[start : start + TURN]])
        for (said, stars), plates in counted.items():
            word = " ".join((said or "").split())
            if word and stars is not None:
                known = typed.setdefault(word.casefold(), word)
                groups[thing].setdefault(known, []).extend([stars] * plates)
    found = {}
    for thing, by_word in groups.items():
        enough = {word: stars for word, stars in by_word.items() if len(stars) >= FEWEST_OF_A_WORD}
        coefficient = ranks.apart(enough) if len(enough) > 1 else None
        if coefficient is not None and sum(map(len, enough.values())) >= FEWEST:
            found[thing] = (enough, coefficient)
    return found


def _word(thing: str, groups: dict[str, list[int]], coefficient: float, looked_at: int) -> OverWord:
    plates = sum(map(len, groups.values()))
    words = [
        OfWord(
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
        words=tuple(sorted(words, key=lambda one: (-one.mean, -one.plates, one.word))),
    )
