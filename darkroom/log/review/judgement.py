"""What is said of a plate after its judgement was changed: only what changed becomes lines.

A changed value corrects the line it came from, an emptied one withdraws it, a new one is a new line; what
was there stays in the journal.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

import msgspec

from darkroom.bench import events as ev
from darkroom.errors import NotSavedError
from darkroom.log.journal.append import Review
from darkroom.log.journal.merge import PlateLog, read_plate
from darkroom.log.plate.record import rates
from darkroom.log.review.corrections import Judgement, built, correction

VALUES = ("stars", "exposure_stops", "best_strip")


class Stands(msgspec.Struct, frozen=True, kw_only=True):
    """A plate's judgement by values, each word with the line it came from, or None for a new one.

    `faults` are (line, name, where), `details` (line, key, value), `notes` (line, text).
    """

    stars: int | None = None
    exposure_stops: float | None = None
    best_strip: int | None = None
    faults: tuple[tuple[int | None, str, str | None], ...] = ()
    details: tuple[tuple[int | None, str, str], ...] = ()
    notes: tuple[tuple[int | None, str], ...] = ()


def standing(log: PlateLog) -> Stands:
    """Return the judgement that stands, as `record.judge` has it, with its lines."""
    from darkroom.log.plate.record import judge

    judged = judge(log.standing)
    counts = list(_counting(log).values())
    return Stands(
        stars=judged.stars,
        exposure_stops=judged.exposure_stops,
        best_strip=judged.best_strip,
        faults=tuple((line.n, line.name, line.where) for line in counts if isinstance(line, ev.Fault)),
        details=tuple((line.n, line.key, line.value) for line in counts if isinstance(line, ev.Detail)),
        notes=tuple((line.n, line.text) for line in counts if isinstance(line, ev.Note)),
    )


def changes(
    log: PlateLog, wanted: Stands, reason: str | None, at: str
) -> list[Callable[[int], Sequence[Review]]]:
    """Return what makes each line that is to be added, in order; nothing where nothing changed.

    Raises WrongUse for a line that cannot be corrected.
    """
    found = _rated(log, wanted, reason, at)
    counts = _counting(log)

    def one(line: int | None, same: bool, judgement: Judgement) -> None:
        if line is None:
            found.append(built(judgement, at))
        elif not same:
            found.append(correction(log, line, judgement, reason, at))

    kept: set[int | None] = set()
    for n, name, where in wanted.faults:
        before = counts.get(n or 0)
        same = isinstance(before, ev.Fault) and (before.name, before.where) == (name, where)
        one(n, same, Judgement(faults=((name, where),)))
        kept.add(n)
    for n, key, value in wanted.details:
        before = counts.get(n or 0)
        same = isinstance(before, ev.Detail) and (before.key, before.value) == (key, value)
        one(n, same, Judgement(details=((key, value),)))
        kept.add(n)
    for n, text in wanted.notes:
        before = counts.get(n or 0)
        one(n, isinstance(before, ev.Note) and before.text == text, Judgement(notes=(text,)))
        kept.add(n)
    for n, line in counts.items():
        if n not in kept and not isinstance(line, ev.Rating):
            found.append(correction(log, n, Judgement(), reason, at))
    return found


def together(
    path: Path, log: PlateLog, makers: Sequence[Callable[[int], Sequence[Review]]]
) -> Callable[[int], Sequence[Review]]:
    """Return what makes all the lines, for `append.add_all`.

    Raises NotSavedError when the plate was judged by someone else since `log` was read.
    """
    before = _review(log)

    def build(n: int) -> list[Review]:
        if _review(read_plate(path)) != before:
            raise NotSavedError("the plate was judged from elsewhere meanwhile: open it again")
        made: list[Review] = []
        for maker in makers:
            made.extend(maker(n + len(made)))
        return made

    return build


def _review(log: PlateLog) -> list[Review]:
    return [line for line in log.standing if isinstance(line, ev.REVIEW)]


def _counting(log: PlateLog) -> dict[int, Review]:
    """Return the review lines that no other corrects, by their number; what withdraws is none."""
    lines = _review(log)
    corrected = {line.corrects for line in lines}
    return {
        line.n: line
        for line in lines
        if line.n not in corrected and not (isinstance(line, ev.Rating) and not rates(line))
    }


def _rated(
    log: PlateLog, wanted: Stands, reason: str | None, at: str
) -> list[Callable[[int], Sequence[Review]]]:
    """Return what makes the lines of the values of a rating."""
    now = standing(log)
    heads = _heads(log)
    changed = {name: getattr(wanted, name) for name in VALUES if getattr(wanted, name) != getattr(now, name)}
    emptied = [name for name, value in changed.items() if value is None]
    source = {name: n for n, said in heads.items() for name in said}
    gone = [n for n, said in heads.items() if any(name in said for name in emptied)]
    anew: dict[str, float | int] = {}
    corrected: dict[int, dict[str, float | int]] = {}
    for name in VALUES:
        value = changed.get(name, getattr(now, name))
        if value is None or (name not in changed and source.get(name) not in gone):
            continue
        if name not in source or source[name] in gone:
            anew[name] = value
        else:
            corrected.setdefault(source[name], {})[name] = value
    found = [correction(log, n, Judgement(), reason, at) for n in gone]
    found += [
        correction(log, n, msgspec.convert(values, Judgement), reason, at) for n, values in corrected.items()
    ]
    if anew:
        found.append(built(msgspec.convert(anew, Judgement), at))
    return found


def _heads(log: PlateLog) -> dict[int, set[str]]:
    """Return {rating that counts: what it and those it corrects say}, in the order in which they count."""
    lines = {line.n: line for line in _review(log)}
    found: dict[int, set[str]] = {}
    placed: dict[int, int] = {}
    for n, line in _counting(log).items():
        if not isinstance(line, ev.Rating):
            continue
        one: Review | None = line
        said: set[str] = set()
        while isinstance(one, ev.Rating):
            said |= {name for name in VALUES if getattr(one, name) is not None}
            placed[n] = one.n
            one = None if one.corrects is None else lines.get(one.corrects)
        found[n] = said
    return dict(sorted(found.items(), key=lambda pair: (placed[pair[0]], pair[0])))
