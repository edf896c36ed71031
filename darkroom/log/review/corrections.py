"""Lines that judge a plate afterwards, and lines that correct an earlier judgement.

A correction is a new line; the corrected line stays in the journal but no longer counts.
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
from darkroom.log.plate import ratings
from darkroom.log.plate.faults import JudgedFault

LONGEST = 4000
"""The most characters a text may have: a line of a journal is written in one piece."""


def stops(text: str) -> float:
    """Return stops from `+1`, `-0.5`, `1/3`, `+1 1/2`. Raises WrongUse."""
    normal = text.strip().replace("\u2212", "-").replace(",", ".")
    match = re.fullmatch(r"([+-]?)\s*(?:(\d+(?:\.\d+)?)|(?:(\d+)\s+)?(\d+)/([1-9]\d*))", normal)
    if match is None:
        raise WrongUse(f"'{text}' is no number of stops such as +1, -0.5 or 1/3")
    size = Fraction(match[2]) if match[2] else int(match[3] or 0) + Fraction(int(match[4]), int(match[5]))
    if size > 10:
        raise WrongUse(f"'{text}' is out of range: -10 to +10")
    return round(float(-size if match[1] == "-" else size), 4)


def text_of(text: str) -> str:
    """Return a text that can be a part of a line. Raises WrongUse for an empty or too long text."""
    if not text.strip():
        raise WrongUse("an empty text says nothing")
    if len(text) > LONGEST:
        raise WrongUse(f"a text of {len(text)} signs is too long: {LONGEST} at most")
    return text


def strip_of(number: int, strips: Sequence[float] | None) -> int:
    """Return the number of a best strip. Raises WrongUse for one that the plate's `strips` have not.

    Without any the time of a best strip is not known, and nothing can be learned of it.
    """
    if not strips:
        raise WrongUse("this plate has no timed strips: say what the next plate should get instead")
    if number > len(strips):
        raise WrongUse(f"there is no strip {number}: the plate has {len(strips)}")
    return number


class Judgement(msgspec.Struct, frozen=True, kw_only=True):
    """What is said of a plate at review; `details` are (key, value).

    `nothing_else` are the names of all faults that were looked for, where there is nothing else; see
    `Judged`. `marks` are (number of the mark's line, what happened).
    """

    stars: int | None = None
    exposure_stops: float | None = None
    best_strip: int | None = None
    exposure_word: ev.ExposureWord | None = None
    nothing_else: tuple[str, ...] | bool | None = None
    faults: tuple[JudgedFault, ...] = ()
    details: tuple[tuple[str, str], ...] = ()
    notes: tuple[str, ...] = ()
    marks: tuple[tuple[int, str], ...] = ()

    @property
    def rates(self) -> bool:
        """Whether it has a value of a rating."""
        return ratings.rates(self)

    def __len__(self) -> int:
        """Return how many lines it makes."""
        return self.rates + len(self.faults) + len(self.details) + len(self.notes) + len(self.marks)


msgspec.json.Decoder(Judgement)  # known to msgspec from here on: two threads must not be the first to use it


def judgement_builder(judgement: Judgement, at: str) -> Callable[[int], Sequence[Review]]:
    """Return what makes the lines of a judgement from the number of the first; `at` is the wall time."""

    def build(n: int) -> list[Review]:
        lines: list[Review] = []

        def number() -> int:
            return n + len(lines)

        if judgement.rates:
            lines.append(
                ev.Rating(
                    n=number(),
                    at=at,
                    up=None,
                    stars=judgement.stars,
                    exposure_stops=judgement.exposure_stops,
                    best_strip=judgement.best_strip,
                    exposure_word=judgement.exposure_word,
                    nothing_else=_as_written(judgement.nothing_else),
                )
            )
        for fault in judgement.faults:
            lines.append(
                ev.Fault(
                    n=number(),
                    at=at,
                    up=None,
                    name=fault.name,
                    where=fault.where,
                    cause=fault.cause,
                    answers=dict(fault.answers) or None,
                )
            )
        for key, value in judgement.details:
            lines.append(ev.Detail(n=number(), at=at, up=None, key=key, value=value))
        for text in judgement.notes:
            lines.append(ev.Note(n=number(), at=at, up=None, text=text))
        for about, text in judgement.marks:
            lines.append(ev.Note(n=number(), at=at, up=None, text=text, about=about))
        return lines

    return build


def correction_builder(
    log: PlateLog, corrects: int, judgement: Judgement, reason: str | None, at: str
) -> Callable[[int], Sequence[Review]]:
    """Return what makes the one line that corrects line `corrects`; an empty judgement withdraws it.

    Values that a new rating does not give are kept from the corrected one. Raises WrongUse for a line that is
    not there, is no judgement, was corrected before, or is of another kind.
    """
    line = _correctable(log, corrects)
    if len(judgement) == 0:
        return lambda n: [ev.Rating(n=n, at=at, up=None, corrects=corrects, reason=reason)]
    if len(judgement) > 1:
        raise WrongUse(f"one line can be corrected at a time: line {corrects} would get {len(judgement)}")

    def build(n: int) -> list[Review]:
        new_line = judgement_builder(judgement, at)(n)[0]
        if isinstance(new_line, ev.Rating) and isinstance(line, ev.Rating):
            new_line = msgspec.structs.replace(new_line, **(ratings.given(line) | ratings.given(new_line)))
        if isinstance(new_line, ev.Note) and isinstance(line, ev.Note):
            new_line = msgspec.structs.replace(new_line, about=line.about)
        return [msgspec.structs.replace(new_line, corrects=corrects, reason=reason)]

    if type(build(0)[0]) is not type(line):
        raise WrongUse(f"line {corrects} is a {_kind(line)}, not a {_kind(build(0)[0])}")
    return build


def _as_written(nothing_else: tuple[str, ...] | bool | None) -> list[str] | bool | None:
    """Return "nothing else" as a line has it."""
    if isinstance(nothing_else, tuple):
        return list(nothing_else)
    return nothing_else or None


def _correctable(log: PlateLog, n: int) -> Review:
    line = next((standing_line for standing_line in log.standing if standing_line.n == n), None)
    if line is None:
        raise WrongUse(f"there is no line {n} that stands in {log.plate}")
    if not isinstance(line, ev.REVIEW):
        raise WrongUse(
            f"line {n} is what happened at the bench; notes, faults, ratings and details can be corrected"
        )
    for correcting_line in log.standing:
        if isinstance(correcting_line, ev.REVIEW) and correcting_line.corrects == n:
            raise WrongUse(f"line {n} was corrected by line {correcting_line.n}: correct that one")
    return line


def _kind(line: Review) -> str:
    return str(line.__struct_config__.tag)
