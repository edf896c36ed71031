"""The lines that change a plate's judgement: one for each value that differs.

A changed value corrects the line it came from, an emptied one withdraws it, a new one is a new line; the
lines before stay in the journal.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import msgspec

from darkroom.bench import events as ev
from darkroom.errors import NotSavedError
from darkroom.log.journal.append import Review
from darkroom.log.journal.merge import PlateLog, read_plate
from darkroom.log.plate.account_lines import mark_numbers
from darkroom.log.plate.faults import JudgedFault, fault_of
from darkroom.log.plate.ratings import VALUES, given, rates
from darkroom.log.review.corrections import Judgement, correction_builder, judgement_builder


class FaultLine(msgspec.Struct, frozen=True, kw_only=True):
    """A fault that stands, and the number of its line; None for a new one. See `JudgedFault`."""

    line: int | None = None
    name: str
    where: str | None = None
    cause: str | None = None
    answers: tuple[tuple[str, str], ...] = ()

    @property
    def fault(self) -> JudgedFault:
        """The fault without its line."""
        return JudgedFault(self.name, self.where, self.cause, self.answers)

    @classmethod
    def of(cls, line: int | None, fault: JudgedFault) -> FaultLine:
        """Return a fault with the line that says it."""
        return cls(line=line, name=fault.name, where=fault.where, cause=fault.cause, answers=fault.answers)


class StandingJudgement(msgspec.Struct, frozen=True, kw_only=True):
    """A plate's judgement by values, each text with the line it came from, or None for a new one.

    `details` are (line, key, value), `notes` (line, text), `marks` (line, what happened, number of the mark's
    line). `nothing_else` are the names of all faults that were looked for; see `record.Judged`.
    """

    stars: int | None = None
    exposure_stops: float | None = None
    best_strip: int | None = None
    exposure_word: ev.ExposureWord | None = None
    nothing_else: tuple[str, ...] | bool | None = None
    faults: tuple[FaultLine, ...] = ()
    details: tuple[tuple[int | None, str, str], ...] = ()
    notes: tuple[tuple[int | None, str], ...] = ()
    marks: tuple[tuple[int | None, str, int], ...] = ()


def standing(log: PlateLog) -> StandingJudgement:
    """Return the judgement that stands, as `record.judge` has it, with its lines."""
    from darkroom.log.plate.record import judge

    judged = judge(log.standing)
    counting_lines = list(_counting(log).values())
    notes = [line for line in counting_lines if isinstance(line, ev.Note)]
    marks = mark_numbers(log.events)
    return StandingJudgement(
        stars=judged.stars,
        exposure_stops=judged.exposure_stops,
        best_strip=judged.best_strip,
        exposure_word=judged.exposure_word,
        nothing_else=judged.nothing_else,
        faults=tuple(
            FaultLine.of(line.n, fault_of(line)) for line in counting_lines if isinstance(line, ev.Fault)
        ),
        details=tuple(
            (line.n, line.key, line.value) for line in counting_lines if isinstance(line, ev.Detail)
        ),
        notes=tuple((line.n, line.text) for line in notes if line.about not in marks),
        marks=tuple((line.n, line.text, line.about) for line in notes if line.about in marks),
    )


def change_builders(
    log: PlateLog, wanted: StandingJudgement, reason: str | None, at: str
) -> list[Callable[[int], Sequence[Review]]]:
    """Return what makes each line that is to be added, in order; nothing where nothing changed.

    Raises WrongUse for a line that cannot be corrected.
    """
    builders = _rated(log, wanted, reason, at)
    counting_lines = _counting(log)

    def add_line(line: int | None, same: bool, judgement: Judgement) -> None:
        if line is None:
            builders.append(judgement_builder(judgement, at))
        elif not same:
            builders.append(correction_builder(log, line, judgement, reason, at))

    kept: set[int | None] = set()
    for said in wanted.faults:
        earlier = counting_lines.get(said.line or 0)
        same = isinstance(earlier, ev.Fault) and fault_of(earlier) == said.fault
        add_line(said.line, same, Judgement(faults=(said.fault,)))
        kept.add(said.line)
    for n, key, value in wanted.details:
        earlier = counting_lines.get(n or 0)
        same = isinstance(earlier, ev.Detail) and (earlier.key, earlier.value) == (key, value)
        add_line(n, same, Judgement(details=((key, value),)))
        kept.add(n)
    for n, text in wanted.notes:
        earlier = counting_lines.get(n or 0)
        add_line(n, isinstance(earlier, ev.Note) and earlier.text == text, Judgement(notes=(text,)))
        kept.add(n)
    for n, text, about in wanted.marks:
        earlier = counting_lines.get(n or 0)
        same = isinstance(earlier, ev.Note) and earlier.text == text
        add_line(n, same, Judgement(marks=((about, text),)))
        kept.add(n)
    for n, line in counting_lines.items():
        if n not in kept and not isinstance(line, ev.Rating):
            builders.append(correction_builder(log, n, Judgement(), reason, at))
    return builders


def combined_builder(
    path: Path, log: PlateLog, builders: Sequence[Callable[[int], Sequence[Review]]]
) -> Callable[[int], Sequence[Review]]:
    """Return what makes all the lines, for `append.add_all`.

    Raises NotSavedError when the plate was judged by someone else since `log` was read.
    """
    read_lines = _review(log)

    def build(n: int) -> list[Review]:
        if _review(read_plate(path)) != read_lines:
            raise NotSavedError("the plate was judged from elsewhere meanwhile: open it again")
        lines: list[Review] = []
        for builder in builders:
            lines.extend(builder(n + len(lines)))
        return lines

    return build


def _review(log: PlateLog) -> list[Review]:
    return [line for line in log.standing if isinstance(line, ev.REVIEW)]


def _counting(log: PlateLog) -> dict[int, Review]:
    """Return {n: line} of the review that no other line corrects, without ratings that only withdraw."""
    lines = _review(log)
    corrected_numbers = {line.corrects for line in lines}
    return {
        line.n: line
        for line in lines
        if line.n not in corrected_numbers and not (isinstance(line, ev.Rating) and not rates(line))
    }


def _rated(
    log: PlateLog, wanted: StandingJudgement, reason: str | None, at: str
) -> list[Callable[[int], Sequence[Review]]]:
    """Return what makes the lines of the values of a rating."""
    current = standing(log)
    names_by_rating = _names_by_rating(log)
    before, after = given(current), given(wanted)
    changed = {name: after.get(name) for name in VALUES if after.get(name) != before.get(name)}
    emptied = [name for name, value in changed.items() if value is None]
    source = {name: n for n, names in names_by_rating.items() for name in names}
    withdrawn = [n for n, names in names_by_rating.items() if any(name in names for name in emptied)]
    new_values: dict[str, Any] = {}
    corrected_values: dict[int, dict[str, Any]] = {}
    for name in VALUES:
        value = changed.get(name, before.get(name))
        if value is None or (name not in changed and source.get(name) not in withdrawn):
            continue
        if name not in source or source[name] in withdrawn:
            new_values[name] = value
        else:
            corrected_values.setdefault(source[name], {})[name] = value
    builders = [correction_builder(log, n, Judgement(), reason, at) for n in withdrawn]
    builders += [
        correction_builder(log, n, msgspec.convert(values, Judgement), reason, at)
        for n, values in corrected_values.items()
    ]
    if new_values:
        builders.append(judgement_builder(msgspec.convert(new_values, Judgement), at))
    return builders


def _names_by_rating(log: PlateLog) -> dict[int, set[str]]:
    """Return {rating that counts: what it and those it corrects say}, in the order in which they count."""
    lines = {line.n: line for line in _review(log)}
    names_by_rating: dict[int, set[str]] = {}
    order_of: dict[int, int] = {}
    for n, line in _counting(log).items():
        if not isinstance(line, ev.Rating):
            continue
        rating: Review | None = line
        names: set[str] = set()
        while isinstance(rating, ev.Rating):
            names |= set(given(rating))
            order_of[n] = rating.n
            rating = None if rating.corrects is None else lines.get(rating.corrects)
        names_by_rating[n] = names
    return dict(sorted(names_by_rating.items(), key=lambda pair: (order_of[pair[0]], pair[0])))
