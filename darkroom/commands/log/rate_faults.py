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
from darkroom.log.plate.faults import JudgedFault
from darkroom.log.review.corrections import text_of

if TYPE_CHECKING:
    from darkroom.log.review.judgement import FaultLine

_TEST_ANSWERS = {"shown": "shown", "absent": "absent", "yes": "shown", "no": "absent"}
"""What is said of a test, and what the journal has."""


class RatedFaults(msgspec.Struct, frozen=True, kw_only=True):
    """The faults of a rating: new ones, and (line, fault) of those that stand on the plate already."""

    new: tuple[JudgedFault, ...] = ()
    corrected: tuple[tuple[int, JudgedFault], ...] = ()


def rated_faults(
    catalogue: Catalogue,
    standing: Sequence[FaultLine],
    words: Sequence[str],
    cause: str | None,
    answers: Sequence[str],
    corrects: int | None,
) -> RatedFaults:
    """Return the faults as they are to be written; remarks go to standard error. Raises WrongUse.

    `words` are NAME or NAME@WHERE, `answers` QUESTION=ANSWER; `standing` are the faults of the plate. A cause
    or an answer of a fault that stands already corrects its line; so does one without a name, where the
    plate has a single fault.
    """
    given = [_named(catalogue, _fault(text)) for text in words]
    if cause is None and not answers:
        return _without_cause(catalogue, standing, given, corrects)
    if len(given) > 1:
        raise WrongUse("--cause and --answer go with one --fault")
    line = _line_of(catalogue, standing, given, corrects)
    fault = given[0] if given else None
    if line is not None:
        fault = _kept(catalogue, line, fault)
    assert fault is not None  # without one it was refused
    told = msgspec.structs.replace(
        fault,
        cause=fault.cause if cause is None else _cause(catalogue, fault, cause),
        answers=_answered(catalogue, fault, answers),
    )
    if line is None:
        return RatedFaults(new=(told,))
    assert line.line is not None  # it stands in the journal
    return RatedFaults(corrected=((line.line, told),))


def say_unknown(catalogue: Catalogue, faults: Iterable[JudgedFault]) -> None:
    """Say of each name that is not in the list that nothing is inferred from it."""
    for name in dict.fromkeys(fault.name for fault in faults):
        if catalogue.fault(name) is None:
            near = near_names(name, catalogue.faults)
            hint = f" (did you mean {' or '.join(map(repr, near[:3]))}?)" if near else ""
            text = f"fault '{name}' is not in darkroom fault list{hint}: kept as it is, it tells of no cause"
            click.echo(harmless(text), err=True)


def _without_cause(
    catalogue: Catalogue, standing: Sequence[FaultLine], given: list[JudgedFault], corrects: int | None
) -> RatedFaults:
    """Return the faults; one that corrects another of its name keeps what was said of the cause."""
    line = next((line for line in standing if corrects is not None and line.line == corrects), None)
    if line is None or len(given) != 1:
        return RatedFaults(new=tuple(given))
    return RatedFaults(new=(_kept(catalogue, line, given[0]),))


def _kept(catalogue: Catalogue, line: FaultLine, fault: JudgedFault | None) -> JudgedFault:
    """Return a fault with what its line says of place, cause and answers; with another name it is another."""
    if fault is None:
        return _named(catalogue, line.fault)
    if _key(catalogue, fault.name) != _key(catalogue, line.name):
        return fault
    return JudgedFault(fault.name, fault.where or line.where, line.cause, line.answers)


def _line_of(
    catalogue: Catalogue,
    standing: Sequence[FaultLine],
    given: Sequence[JudgedFault],
    corrects: int | None,
) -> FaultLine | None:
    """Return the line of the plate that a cause is about, None for that of a new fault."""
    if corrects is not None:
        found = next((line for line in standing if line.line == corrects), None)
        if found is None:
            raise WrongUse(f"--cause and --answer are about a fault: line {corrects} is no fault that stands")
        return found
    if given:
        same = [line for line in standing if _key(catalogue, line.name) == _key(catalogue, given[0].name)]
        same = [line for line in same if given[0].where in (None, line.where)]
    else:
        same = list(standing)
    if len(same) > 1:
        numbers = ", ".join(f"{line.line} ({line.fault.text})" for line in same)
        raise WrongUse(harmless(f"which fault? name its line with --corrects: {numbers}"))
    if not same and not given:
        raise WrongUse("--cause and --answer go with --fault: the plate has no fault yet")
    return same[0] if same else None


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


def _answered(
    catalogue: Catalogue, fault: JudgedFault, answers: Sequence[str]
) -> tuple[tuple[str, str], ...]:
    """Return the answers of a fault with those that are given now."""
    if not answers:
        return fault.answers
    known = catalogue.fault(fault.name)
    if known is None:
        raise WrongUse(
            harmless(f"--answer: '{fault.name}' is not in darkroom fault list: nothing is asked of it")
        )
    found = dict(fault.answers)
    for text in answers:
        question, sign, answer = (part.strip() for part in text.rpartition("="))
        if not sign or not question or not answer:
            raise WrongUse(f"--answer: '{text}' is not of the form QUESTION=ANSWER")
        asked, allowed = _asked(catalogue, known, question)
        if answer.casefold() not in allowed:
            raise WrongUse(f"--answer: '{answer}' is no answer to '{asked}': {', '.join(allowed)}")
        found[asked] = allowed[answer.casefold()]
    return tuple(found.items())


def _asked(catalogue: Catalogue, fault: Fault, word: str) -> tuple[str, dict[str, str]]:
    """Return (the question or test that a word means, {what may be said: what is written}).

    Raises WrongUse with what is asked about the fault where it means none, or several.
    """
    known = dict(_questions(catalogue, fault))
    key = _plain(word)
    same = [asked for asked in known if _plain(asked) == key]
    same = same or [asked for asked in known if key and key in _plain(asked)]
    if len(same) == 1:
        return same[0], known[same[0]]
    every = "\n".join(f"  {asked} {' or '.join(dict.fromkeys(known[asked].values()))}" for asked in known)
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


def standing_faults(path: Path) -> tuple[FaultLine, ...]:
    """Return the faults that stand in a plate's journal."""
    from darkroom.log.journal.merge import read_plate
    from darkroom.log.review.judgement import standing

    return standing(read_plate(path)).faults
