"""The faults and their causes as values: what the files of faults say, checked. Pure.

Weights are decibans: 10·log10 of how many times likelier a cause is for it. `usual`, `unexplained` and links
are probabilities. A file is read and checked by `catalogue_file`.
"""

from __future__ import annotations

import bisect
from collections.abc import Mapping
from typing import Literal

import msgspec

COSTS = ("at once", "some minutes", "an hour or so", "a day or more")
"""What a change or a test costs, 0 to 3, the waiting before the next plate counted."""
USUAL = (0.005, 0.3)
"""Between these lies the share of plates at which a cause is at work, in a file and after it was moved."""
JUDGEMENT = "judgement, no source"
"""Where the weights of an entry are from, unless it says otherwise."""
NONE_OF_THESE = "none of these"
"""The cause of a fault of which the photographer says that the catalogue does not have it."""
Answer = str
"""What a question is answered with: "yes" or "no"; a test: "shown" or "absent"."""


def name_key(text: str) -> str:
    """Return a name, a question or an answer as it is compared: in any case, with any spaces."""
    return " ".join(text.casefold().split())


def is_none_of_these(cause: str) -> bool:
    """Return whether a confirmed cause says that it was none of the catalogue's."""
    return name_key(cause) == NONE_OF_THESE


class Evidence(msgspec.Struct, frozen=True, kw_only=True):
    """What one figure of the record says about a cause.

    `of` is a name from `evidence_names`, `points` (value, decibans) with ascending values: straight between
    them, flat beyond. `says` is a text with a plain `{value}`, or one text for each value.
    """

    of: str
    points: tuple[tuple[float, float], ...]
    says: str | tuple[tuple[float, str], ...]

    def decibans(self, value: float) -> float:
        """Return what a value of the figure weighs for the cause."""
        values = [point[0] for point in self.points]
        place = bisect.bisect_right(values, value)
        if place == 0:
            return self.points[0][1]
        if place == len(self.points):
            return self.points[-1][1]
        (low, at_low), (high, at_high) = self.points[place - 1], self.points[place]
        return at_low + (at_high - at_low) * (value - low) / (high - low)

    def words(self, value: float) -> str:
        """Return what is said of a value: the text of the nearest one where each value has its own."""
        if isinstance(self.says, str):
            said = self.says.format(value=value)
            # what rounds to zero has no minus
            return self.says.format(value=0.0) if said == self.says.format(value=-0.0) else said
        return min(self.says, key=lambda said: abs(said[0] - value))[1]


class Test(msgspec.Struct, frozen=True, kw_only=True):
    """Something to try: its outcome weighs `shown` (above 0) or `absent` (below 0) decibans."""

    do: str
    shown: float
    absent: float
    cost: int = 1


class Cause(msgspec.Struct, frozen=True, kw_only=True):
    """What can make a plate fail.

    `usual` is the share of plates at which it is at work. `alters` is the role of the bottle that the remedy
    alters ("bath"): such a remedy is advised only after the cause's own test. `weights` says where the
    weights of its evidence are from.
    """

    id: str
    label: str
    usual: float
    remedy: str
    source: str
    evidence: tuple[Evidence, ...] = ()
    test: Test | None = None
    alters: str | None = None
    cost: int = 1
    cautions: tuple[str, ...] = ()
    weights: str = JUDGEMENT


class Ask(msgspec.Struct, frozen=True, kw_only=True):
    """A question about the plate: {answer: {cause: decibans}}, with the answers "yes" and "no"."""

    question: str
    answers: Mapping[Answer, Mapping[str, float]]


class Fault(msgspec.Struct, frozen=True, kw_only=True):
    """Something that is seen on a plate.

    `where` are the usual places, `words` everyday words by which it is found, `unexplained` how often it
    comes from none of the causes, `causes` are {cause: how often that cause shows as this fault}.
    """

    id: str
    label: str
    looks: str
    unexplained: float
    causes: Mapping[str, float]
    source: str
    where: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    asks: tuple[Ask, ...] = ()
    cautions: tuple[str, ...] = ()
    weights: str = JUDGEMENT


Origin = Literal["shipped", "own"]


class Catalogue(msgspec.Struct, frozen=True, kw_only=True):
    """All faults and causes at hand, {id: entry}, in the order of their files; own ones replace shipped ones.

    `own` are the ids of faults and causes that come from the photographer's own files.
    """

    faults: Mapping[str, Fault] = {}
    causes: Mapping[str, Cause] = {}
    own: frozenset[str] = frozenset()

    def fault(self, name: str) -> Fault | None:
        """Return the fault of an id or label, in any case; None for a name that is not in the catalogue."""
        found = self.faults.get(name)
        if found is not None:
            return found
        key = name_key(name)
        return next(
            (fault for fault in self.faults.values() if key in (fault.id.casefold(), fault.label.casefold())),
            None,
        )

    def cause(self, name: str) -> Cause | None:
        """Return the cause of an id or label, in any case; None for a name that is not in the catalogue."""
        found = self.causes.get(name)
        if found is not None:
            return found
        key = name_key(name)
        return next(
            (cause for cause in self.causes.values() if key in (cause.id.casefold(), cause.label.casefold())),
            None,
        )

    def looked_for(self, said: tuple[str, ...] | bool | None) -> tuple[str, ...]:
        """Return the faults that were looked for where a plate was said to have no other.

        `said` is what the journal has: their names, or true for all the shipped ones, since nobody knows
        which own ones there were then.
        """
        if isinstance(said, bool):
            return tuple(fault for fault in self.faults if fault not in self.own) if said else ()
        return said or ()

    def linked(self, faults: tuple[str, ...]) -> tuple[str, ...]:
        """Return the ids of the causes linked to any of the faults, in the order of the catalogue."""
        wanted = {cause for fault in faults if fault in self.faults for cause in self.faults[fault].causes}
        return tuple(cause for cause in self.causes if cause in wanted)
