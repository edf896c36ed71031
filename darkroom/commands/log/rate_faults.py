"""The faults of `darkroom log rate`: their names, causes and answers, held against the list of faults."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click
import msgspec

from darkroom.errors import NothingFound, WrongUse, harmless
from darkroom.faults.catalogue import NONE_OF_THESE, Catalogue, Fault, is_none_of_these, name_key
from darkroom.faults.finding import find_cause, near_names
from darkroom.log.plate.faults import JudgedFault, answer_text
from darkroom.log.review.corrections import text_of

if TYPE_CHECKING:
    from darkroom.log.review.judgement import FaultLine

_TEST_ANSWERS = {"shown": "shown", "absent": "absent", "yes": "shown", "no": "absent"}
"""What is said of a test, and what the journal has."""


class RatedFaults(msgspec.Struct, frozen=True, kw_only=True):
    """The faults of a rating: new ones, and (line, fault) of those that stand on the plate already.

    `already` are the lines of those of which nothing new was said.
    """

    new: tuple[JudgedFault, ...] = ()
    corrected: tuple[tuple[int, JudgedFault], ...] = ()
    already: tuple[FaultLine, ...] = ()


def rated_faults(
    catalogue: Catalogue,
    standing: Sequence[FaultLine],
    words: Sequence[str],
    cause: str | None,
    answers: Sequence[str],
    corrects: int | None,
) -> RatedFaults:
    """Return the faults as they are to be written; remarks go to standard error. Raises WrongUse.

    `words` are NAME or NAME@WHERE, `answers` QUESTION=ANSWER; `standing` are the faults of the plate. What is
    said of a fault that stands already corrects its line, a place too where its line has none; the same fault
    at another place is a line of its own. A cause or an answer without a fault's name is about the plate's
    only fault, and without a place about that fault in every place.
    """
    given = list(dict.fromkeys(_named(catalogue, _fault(text)) for text in words))
    if cause is None and not answers:
        if corrects is not None:
            return _correcting(catalogue, standing, given, corrects)
        pairs: list[tuple[FaultLine | None, JudgedFault]] = []
        for fault in given:
            free = [line for line in standing if all(line is not taken for taken, _ in pairs)]
            pairs += _on_lines(catalogue, _same(catalogue, free, fault), fault)
        return _sorted(pairs)
    if len(given) > 1:
        raise WrongUse("--cause and --answer go with one --fault")
    lines = _lines_of(catalogue, standing, given, corrects)
    pairs = _on_lines(catalogue, lines, given[0] if given else None)
    first = pairs[0][1]
    found = None if cause is None else _cause(catalogue, first, cause)
    answered = _answered(catalogue, first, answers)
    return _sorted(
        [
            (
                line,
                msgspec.structs.replace(
                    fault,
                    cause=found or fault.cause,
                    answers=tuple((dict(fault.answers) | answered).items()),
                ),
            )
            for line, fault in pairs
        ],
        even_same=corrects is not None,
    )


def _on_lines(
    catalogue: Catalogue, lines: Sequence[FaultLine], fault: JudgedFault | None
) -> list[tuple[FaultLine | None, JudgedFault]]:
    """Return (line, fault as it is now) of each line, or the new fault without a line."""
    if not lines:
        assert fault is not None  # without one it was refused
        return [(None, fault)]
    return [(line, _kept(catalogue, line, fault)) for line in lines]


def _sorted(pairs: Sequence[tuple[FaultLine | None, JudgedFault]], even_same: bool = False) -> RatedFaults:
    """Return the faults by what is to be written; a line that stays as it is only where `even_same`."""
    told = [(line, fault) for line, fault in pairs if line is not None and line.line is not None]
    return RatedFaults(
        new=tuple(fault for line, fault in pairs if line is None),
        corrected=tuple((line.line or 0, fault) for line, fault in told if even_same or fault != line.fault),
        already=tuple(line for line, fault in told if not even_same and fault == line.fault),
    )


def say_already(plate: str, lines: Iterable[FaultLine]) -> None:
    """Say of each fault that the plate, as it is called, has it and that nothing new was said of it."""
    for line in lines:
        click.echo(harmless(f"{plate} has {line.fault.text} already (line {line.line})"), err=True)


def say_unknown(catalogue: Catalogue, faults: Iterable[JudgedFault]) -> None:
    """Say of each name that is not in the list that nothing is inferred from it."""
    for name in dict.fromkeys(fault.name for fault in faults):
        if catalogue.fault(name) is None:
            near = near_names(name, catalogue.faults)
            hint = f" (did you mean {' or '.join(map(repr, near[:3]))}?)" if near else ""
            text = f"fault '{name}' is not in darkroom fault list{hint}: kept as it is, it tells of no cause"
            click.echo(harmless(text), err=True)


def _correcting(
    catalogue: Catalogue, standing: Sequence[FaultLine], given: list[JudgedFault], corrects: int
) -> RatedFaults:
    """Return the faults; one that corrects another of its name keeps what was said of the cause."""
    line = next((line for line in standing if line.line == corrects), None)
    if line is None or len(given) != 1:
        return RatedFaults(new=tuple(given))
    return RatedFaults(new=(_kept(catalogue, line, given[0]),))


def _same(catalogue: Catalogue, standing: Sequence[FaultLine], fault: JudgedFault) -> list[FaultLine]:
    """Return the lines of the plate that a fault is about: those of its name and its place.

    Without a place it is about every place; with one that no line has, about a line without a place.
    """
    key = _key(catalogue, fault.name)
    lines = [line for line in standing if _key(catalogue, line.name) == key]
    if fault.where is None:
        return lines
    there = [line for line in lines if line.where == fault.where]
    return there or [line for line in lines if line.where is None][:1]


def _kept(catalogue: Catalogue, line: FaultLine, fault: JudgedFault | None) -> JudgedFault:
    """Return a fault with what its line says of place, cause and answers; with another name it is another."""
    if fault is None:
        return _named(catalogue, line.fault)
    if _key(catalogue, fault.name) != _key(catalogue, line.name):
        return fault
    return JudgedFault(fault.name, fault.where or line.where, line.cause, line.answers)


def _lines_of(
    catalogue: Catalogue,
    standing: Sequence[FaultLine],
    given: Sequence[JudgedFault],
    corrects: int | None,
) -> list[FaultLine]:
    """Return the lines of the plate that a cause is about, none for that of a new fault."""
    if corrects is not None:
        found = [line for line in standing if line.line == corrects]
        if not found:
            raise WrongUse(f"--cause and --answer are about a fault: line {corrects} is no fault that stands")
        return found
    if given:
        return _same(catalogue, standing, given[0])
    if len({_key(catalogue, line.name) for line in standing}) > 1:
        numbers = ", ".join(f"{line.line} ({line.fault.text})" for line in standing)
        raise WrongUse(harmless(f"which fault? name it with --fault, or its line with --corrects: {numbers}"))
    if not standing:
        raise WrongUse("--cause and --answer go with --fault: the plate has no fault yet")
    return [*standing]


def _key(catalogue: Catalogue, name: str) -> str:
    fault = catalogue.fault(name)
    return name_key(name) if fault is None else fault.id


def _fault(text: str) -> JudgedFault:
    name, sign, where = (part.strip() for part in text.partition("@"))
    if not name or (sign and not where):
        raise WrongUse(f"--fault: '{text}' is not of the form NAME or NAME@WHERE")
    return JudgedFault(text_of(name), text_of(where) if where else None)


def _named(catalogue: Catalogue, fault: JudgedFault) -> JudgedFault:
    """Return a fault under the name that the list has for it."""
    known = catalogue.fault(fault.name)
    return fault if known is None else msgspec.structs.replace(fault, name=known.id)


def _cause(catalogue: Catalogue, fault: JudgedFault, word: str) -> str:
    """Return the id of a cause. Raises WrongUse with the nearest right name."""
    if is_none_of_these(word):
        return NONE_OF_THESE
    try:
        cause = find_cause(catalogue, word)
    except NothingFound as error:
        raise WrongUse(f"--cause: {error}") from None
    known = catalogue.fault(fault.name)
    if known is not None and cause.id not in known.causes:
        text = f"the list has no '{cause.id}' among the causes of '{known.id}': noted all the same"
        click.echo(harmless(text), err=True)
    return cause.id


def _answered(catalogue: Catalogue, fault: JudgedFault, answers: Sequence[str]) -> dict[str, str]:
    """Return {question or test: answer} of those that are given now, and say each in full."""
    if not answers:
        return {}
    known = catalogue.fault(fault.name)
    if known is None:
        raise WrongUse(
            harmless(f"--answer: '{fault.name}' is not in darkroom fault list: nothing is asked of it")
        )
    found: dict[str, str] = {}
    for text in answers:
        question, sign, answer = (part.strip() for part in text.rpartition("="))
        if not sign or not question or not answer:
            raise WrongUse(f"--answer: '{text}' is not of the form QUESTION=ANSWER")
        asked, allowed = _asked(catalogue, known, question)
        if answer.casefold() not in allowed:
            raise WrongUse(f"--answer: '{answer}' is no answer to '{asked}': {', '.join(allowed)}")
        found[asked] = allowed[answer.casefold()]
    for asked, answer in found.items():
        click.echo(harmless(f"{known.label}: {answer_text(asked, answer)}"), err=True)
    return found


def _asked(catalogue: Catalogue, fault: Fault, word: str) -> tuple[str, dict[str, str]]:
    """Return (the question or test that a word means, {what may be said: what is written}).

    Raises WrongUse with what is asked about the fault where it means none; with those that it means where
    they are several.
    """
    known = dict(_questions(catalogue, fault))
    key = _plain(word)
    same = [asked for asked in known if _plain(asked) == key]
    same = same or [asked for asked in known if key and key in _plain(asked)]
    if len(same) == 1:
        return same[0], known[same[0]]
    every = "\n".join(
        f"  {asked} ({' or '.join(dict.fromkeys(known[asked].values()))})" for asked in same or known
    )
    raise WrongUse(f"--answer: {'which question?' if same else 'no such question'}\n{every}")


def _questions(catalogue: Catalogue, fault: Fault) -> Iterator[tuple[str, dict[str, str]]]:
    for ask in fault.asks:
        yield ask.question, {answer: answer for answer in ask.answers}
    for cause in fault.causes:
        test = catalogue.causes[cause].test
        if test is not None:
            yield test.do, _TEST_ANSWERS


def _plain(text: str) -> str:
    return name_key(text).rstrip("?.")


def standing_faults(path: Path) -> tuple[str, tuple[FaultLine, ...]]:
    """Return (what a plate is called, the faults that stand in its journal)."""
    from darkroom.log.journal.merge import read_plate
    from darkroom.log.review.judgement import standing

    log = read_plate(path)
    number = log.start.number if log.start is not None else None
    return path.stem if number is None else f"plate {number}", standing(log).faults
