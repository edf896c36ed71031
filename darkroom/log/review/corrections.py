"""Judging a plate afterwards: lines to be added, and what a correction of an earlier line keeps of it.

A correction is a new line; the corrected one stays in the journal and counts no more.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from fractions import Fraction

import msgspec

from darkroom.bench import events as ev
from darkroom.errors import WrongUse
from darkroom.log.journal.append import Review
from darkroom.log.journal.merge import PlateLog

Make = Callable[[int], Review]
"""From the number of the line to the line."""


LONGEST = 4000
"""A text has no more signs than this: a line of a journal is written in one piece."""


def stops(text: str) -> float:
    """Return stops from `+1`, `-0.5`, `1/3`, `+1 1/2`. Raises WrongUse."""
    plain = text.strip().replace("\u2212", "-").replace(",", ".")
    found = re.fullmatch(r"([+-]?)\s*(?:(\d+(?:\.\d+)?)|(?:(\d+)\s+)?(\d+)/([1-9]\d*))", plain)
    if found is None:
        raise WrongUse(f"'{text}' is no number of stops such as +1, -0.5 or 1/3")
    size = Fraction(found[2]) if found[2] else int(found[3] or 0) + Fraction(int(found[4]), int(found[5]))
    if size > 10:
        raise WrongUse(f"'{text}' is out of range: -10 to +10")
    return round(float(-size if found[1] == "-" else size), 4)


def text_of(text: str) -> str:
    """Return a text that can be a part of a line. Raises WrongUse for an empty or an endless one."""
    if not text.strip():
        raise WrongUse("an empty text says nothing")
    if len(text) > LONGEST:
        raise WrongUse(f"a text of {len(text)} signs is too long: {LONGEST} at most")
    return text


class Judgement(msgspec.Struct, frozen=True, kw_only=True):
    """What is said of a plate at review; `faults` are (name, where), `details` (key, value)."""

    stars: int | None = None
    exposure_stops: float | None = None
    best_strip: int | None = None
    faults: tuple[tuple[str, str | None], ...] = ()
    details: tuple[tuple[str, str], ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def rates(self) -> bool:
        """Whether it has a value of a rating."""
        return any(value is not None for value in (self.stars, self.exposure_stops, self.best_strip))

    def __len__(self) -> int:
        """Return how many lines it makes."""
        return self.rates + len(self.faults) + len(self.details) + len(self.notes)


def built(judgement: Judgement, at: str) -> Callable[[int], Sequence[Review]]:
    """Return what makes the lines of a judgement from the number of the first; `at` is the wall time."""

    def build(n: int) -> list[Review]:
        made: list[Review] = []

        def number() -> int:
            return n + len(made)

        if judgement.rates:
            made.append(
                ev.Rating(
                    n=number(),
                    at=at,
                    up=None,
                    stars=judgement.stars,
                    exposure_stops=judgement.exposure_stops,
                    best_strip=judgement.best_strip,
                )
            )
        for name, where in judgement.faults:
            made.append(ev.Fault(n=number(), at=at, up=None, name=name, where=where))
        for key, value in judgement.details:
            made.append(ev.Detail(n=number(), at=at, up=None, key=key, value=value))
        for text in judgement.notes:
            made.append(ev.Note(n=number(), at=at, up=None, text=text))
        return made

    return build


def correction(
    log: PlateLog, corrects: int, judgement: Judgement, reason: str | None, at: str
) -> Callable[[int], Sequence[Review]]:
    """Return what makes the one line that corrects line `corrects`; an empty judgement withdraws it.

    What a rating does not say anew is kept from the corrected one. Raises WrongUse for a line that is
    not there, is no judgement, was corrected before, or is of another kind.
    """
    line = _correctable(log, corrects)
    if len(judgement) == 0:
        return lambda n: [ev.Rating(n=n, at=at, up=None, corrects=corrects, reason=reason)]
    if len(judgement) > 1:
        raise WrongUse(f"one line can be corrected at a time: line {corrects} would get {len(judgement)}")

    def build(n: int) -> list[Review]:
        made = built(judgement, at)(n)[0]
        if isinstance(made, ev.Rating) and isinstance(line, ev.Rating):
            kept = {
                name: getattr(line, name)
                for name in ("stars", "exposure_stops", "best_strip")
                if getattr(made, name) is None
            }
            made = msgspec.structs.replace(made, **kept)
        if isinstance(made, ev.Note) and isinstance(line, ev.Note):
            made = msgspec.structs.replace(made, about=line.about)
        return [msgspec.structs.replace(made, corrects=corrects, reason=reason)]

    if type(build(0)[0]) is not type(line):
        raise WrongUse(f"line {corrects} is a {_kind(line)}, not a {_kind(build(0)[0])}")
    return build


def _correctable(log: PlateLog, n: int) -> Review:
    line = next((one for one in log.standing if one.n == n), None)
    if line is None:
        raise WrongUse(f"there is no line {n} that stands in {log.plate}")
    if not isinstance(line, ev.REVIEW):
        raise WrongUse(
            f"line {n} is what happened at the bench; notes, faults, ratings and details can be corrected"
        )
    for other in log.standing:
        if isinstance(other, ev.REVIEW) and other.corrects == n:
            raise WrongUse(f"line {n} was corrected by line {other.n}: correct that one")
    return line


def _kind(line: Review) -> str:
    return str(line.__struct_config__.tag)
