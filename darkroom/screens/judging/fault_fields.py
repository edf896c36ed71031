"""The fields about the faults of a plate: which, where, the questions about it, tests, its cause. Pure.

A fault of the catalogue is shown by its label, and the journal holds its id. Words that the catalogue has not
are kept as they are; nothing is asked about them, and nothing is inferred.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence

from darkroom.errors import nearest
from darkroom.faults.catalogue import NONE_OF_THESE, Catalogue, Fault
from darkroom.faults.catalogue_words import shown_as
from darkroom.log.review.judgement import FaultLine
from darkroom.process.text.plain_text import plain
from darkroom.screens.judging.judgement_field import HINTS, JudgementField, field_for
from darkroom.screens.widgets.line_edit import edited
from darkroom.screens.widgets.pick_list import Pick

PLACES = (
    "upper left corner",
    "upper right corner",
    "lower left corner",
    "lower right corner",
    "left edge",
    "right edge",
    "upper edge",
    "lower edge",
    "centre",
    "all over",
)
ANSWERS = {"asked": ("yes", "no"), "tested": ("shown", "absent")}
"""What a question is answered with, and what a test can have shown."""
NOT_LISTED = "not in the catalogue: kept as your words, nothing is inferred"
ABOUT_IT = (*ANSWERS, "cause")
"""The kinds of fields that mean something for one fault alone."""
LISTED = ("fault", "where", "cause")
"""The kinds of fields that have a list."""


def fault_fields(
    number: int, stood: FaultLine | None, catalogue: Catalogue, advised: Collection[str] = ()
) -> list[JudgementField]:
    """Return the fields of the fault with this number; `advised` is what advised tests say to do."""
    name = "" if stood is None else _shown(stood.name, catalogue)
    entry = field_for(f"fault {number}", "fault", "fault", name, None if stood is None else stood.line)
    entry.stood = stood
    return followed([entry], catalogue, advised)


def followed(
    entries: Sequence[JudgementField], catalogue: Catalogue, advised: Collection[str] = ()
) -> list[JudgementField]:
    """Return the fields with those that belong to each fault as it is named now; the others stay."""
    belonging: dict[str, dict[tuple[str, str], JudgementField]] = {}
    for entry in entries:
        if entry.of:
            belonging.setdefault(entry.of, {})[entry.kind, entry.key] = entry
    wanted: list[JudgementField] = []
    for entry in entries:
        if entry.kind == "fault":
            _name(entry, catalogue)
            there = belonging.get(entry.id, {})
            for field in _belonging(entry, catalogue, advised):
                old = there.get((field.kind, field.key))
                wanted_field = field if old is None else _renewed(old, field)
                wanted.append(wanted_field)
            place = len(wanted) - sum(field.of == entry.id for field in wanted)
            wanted.insert(place, entry)
        elif not entry.of:
            wanted.append(entry)
    return wanted


def _renewed(old: JudgementField, new: JudgementField) -> JudgementField:
    """Return the field that is there, with what the new one would offer."""
    if old.value == old.was:
        old.value = new.was
    old.was, old.options, old.hint, old.show, old.empty = new.was, new.options, new.hint, new.show, new.empty
    old.assumed = new.assumed
    return old


def _name(entry: JudgementField, catalogue: Catalogue) -> None:
    """Offer the faults of the catalogue, and say how the one that is named looks."""
    was = "" if entry.stood is None else _shown(entry.stood.name, catalogue)
    if entry.value == entry.was:
        entry.value = was
    entry.was, entry.options = was, ("", *(fault.label for fault in catalogue.faults.values()))
    fault = catalogue.fault(entry.value) if entry.value.strip() else None
    entry.hint = HINTS["fault"]
    if fault is not None:
        entry.hint = fault.looks
    elif entry.value.strip() and catalogue.faults:
        near = near_name(entry, catalogue)
        entry.hint = f"It is {NOT_LISTED}."
        if near:
            entry.hint = f"Do you mean “{plain(near)}”? Right takes it. Else it is {NOT_LISTED}."


def near_name(entry: JudgementField, catalogue: Catalogue) -> str | None:
    """Return the fault that own words are most like; None where none is near, or they name one."""
    words = entry.value.strip()
    if not words or catalogue.fault(words) is not None:
        return None
    labels = {known.label.casefold(): known.label for known in catalogue.faults.values()}
    near = nearest(words.casefold(), labels)
    return None if near is None else labels[near]


def step_named(
    entry: JudgementField, entries: Sequence[JudgementField], catalogue: Catalogue, key: str, cursor: int
) -> tuple[int, str] | None:
    """Do what left and right do with a fault that is named; return the cursor and what to say of it.

    One that is answered stays; own words stay too, but right takes a name near to them. None where the next
    fault is to be chosen.
    """
    if entry.kind != "fault" or not entry.value.strip():
        return None
    if any(field.of == entry.id and field.value for field in entries if field.kind in ABOUT_IT):
        return cursor, "its questions or cause are answered: space changes the fault"
    if catalogue.fault(entry.value) is not None:
        return None
    near = near_name(entry, catalogue) if key == "right" else None
    if near is None:
        return edited(entry.value, cursor, key, None, entry.max_length)[1], ""
    entry.value = near
    return len(near), ""


def _shown(name: str, catalogue: Catalogue) -> str:
    fault = catalogue.fault(name)
    return name if fault is None else fault.label


def _same(entry: JudgementField, catalogue: Catalogue) -> bool:
    """Return whether the field names the fault that stood in it, by whichever name."""
    if entry.stood is None:
        return False
    if entry.value == entry.was:
        return True
    fault = catalogue.fault(entry.value)
    return fault is not None and fault is catalogue.fault(entry.stood.name)


def _belonging(entry: JudgementField, catalogue: Catalogue, advised: Collection[str]) -> list[JudgementField]:
    """Return the fields that belong to a fault: its place; of a known one questions, tests and its cause."""
    number = entry.id.removeprefix("fault ")
    stood = entry.stood if _same(entry, catalogue) else None
    answers = {} if stood is None else dict(stood.answers)
    fault = catalogue.fault(entry.value) if entry.value.strip() else None
    where = field_for(
        f"where {number}", "where", "   where", entry.stood.where or "" if entry.stood else "", entry.line
    )
    usual = fault.where if fault is not None else ()
    where.options = ("", *usual, *(place for place in PLACES if place not in usual))
    fields = [where]
    if fault is not None:
        for place, ask in enumerate(fault.asks):
            fields.append(_answer(f"asked {number}.{place}", "asked", ask.question, answers))
        for place, do in enumerate(_tests(fault, catalogue, answers, advised)):
            fields.append(_answer(f"tested {number}.{place}", "tested", do, answers))
        fields.append(_cause(f"cause {number}", fault, catalogue, stood))
    for field in fields:
        field.of = entry.id
    return fields


def _tests(
    fault: Fault, catalogue: Catalogue, answers: dict[str, str], advised: Collection[str]
) -> list[str]:
    """Return what the tests of its causes say to do: those that were advised, and those already made."""
    causes = [catalogue.causes[name] for name in fault.causes if name in catalogue.causes]
    tests = dict.fromkeys(cause.test.do for cause in causes if cause.test is not None)
    return [do for do in tests if do in advised or do in answers]


def _answer(name: str, kind: str, key: str, answers: dict[str, str]) -> JudgementField:
    field = field_for(name, kind, f"   {kind}", answers.get(key, ""))
    field.key, field.closed, field.check = key, True, None
    field.options = ("", *ANSWERS[kind])
    shown = plain(key)
    field.show = lambda value: f"{value}: {shown}"
    field.empty = field.assumed = f"not said: {shown}"
    field.hint = f"{shown} Left and right: {' or '.join(ANSWERS[kind])}; empty adds nothing."
    return field


def _cause(name: str, fault: Fault, catalogue: Catalogue, stood: FaultLine | None) -> JudgementField:
    """Return the field of the confirmed cause: those linked to the fault, the closest link first."""
    field = field_for(name, "cause", "   cause", (stood.cause if stood is not None else None) or "")
    linked = sorted(fault.causes, key=lambda cause: -fault.causes[cause])
    others = [field.value] if field.value not in ("", NONE_OF_THESE, *linked) else []
    field.options, field.closed, field.check = ("", *linked, NONE_OF_THESE, *others), True, None
    field.show = lambda cause: cause_label(cause, catalogue)
    field.empty = "not confirmed"
    return field


def cause_label(cause: str, catalogue: Catalogue) -> str:
    """Return what a cause is called."""
    known = catalogue.causes.get(cause)
    return plain(cause if known is None else known.label)


def list_of(entry: JudgementField, catalogue: Catalogue) -> tuple[str, list[Pick], str | None]:
    """Return title and rows of a field's list, and what is said of words of one's own, if they may be."""
    if entry.kind == "fault":
        picks = [
            Pick(fault.label, fault.label, fault.looks, " ".join((fault.id, *fault.where, *fault.words)))
            for fault in catalogue.faults.values()
        ]
        return "What is wrong with the plate?", picks, f"It is {NOT_LISTED}."
    if entry.kind == "where":
        picks = [Pick(place, place or "not said") for place in entry.options]
        return "Where on the plate?", picks, "A place of your own."
    picks = [Pick("", "not confirmed", "Nobody knows yet what it came from.")]
    for cause in filter(None, entry.options):
        meaning = shown_as(cause, catalogue)
        if cause == NONE_OF_THESE:
            meaning = "It came from something that the catalogue does not have."
        picks.append(Pick(cause, cause_label(cause, catalogue), meaning))
    return "What did it come from?", picks, None


def faults_of(
    entries: Sequence[JudgementField],
    catalogue: Catalogue,
    mistakes: dict[str, str],
    text_of_field: Callable[[str], str],
) -> tuple[FaultLine, ...]:
    """Return the faults as the fields have them; a place without a fault is added to the mistakes."""
    faults: list[FaultLine] = []
    for entry in entries:
        if entry.kind != "fault":
            continue
        belonging = [field for field in entries if field.of == entry.id]
        place = next(field for field in belonging if field.kind == "where")
        if not entry.value.strip():
            if place.value.strip() and entry.line is None:
                mistakes[entry.id] = f"{place.value.strip()}: what fault is there?"
            continue
        same = _same(entry, catalogue)
        name, known = text_of_field(entry.id), catalogue.fault(entry.value)
        where = text_of_field(place.id)
        answers = dict(entry.stood.answers) if same and entry.stood is not None else {}
        for field in belonging:
            if field.kind in ANSWERS and field.value:
                answers[field.key] = field.value
            elif field.kind in ANSWERS:
                answers.pop(field.key, None)
        cause = next((field.value for field in belonging if field.kind == "cause"), None)
        if same and entry.stood is not None:
            name = entry.stood.name
            cause = entry.stood.cause if cause is None else cause
        elif known is not None:
            name = known.id
        faults.append(
            FaultLine(
                line=entry.line,
                name=name,
                where=where if where.strip() else None,
                cause=cause or None,
                answers=tuple(answers.items()),
            )
        )
    return tuple(faults)
