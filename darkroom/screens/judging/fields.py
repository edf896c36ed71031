"""The fields in which a plate is judged: from what stands to texts, and from the texts to what is to stand.
Pure."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from darkroom.bench.steps import TOLD_OPEN
from darkroom.errors import DarkroomError
from darkroom.faults.catalogue import Catalogue
from darkroom.log.plate.marks import MarkMoment
from darkroom.log.plate.picture import KEY as PICTURE
from darkroom.log.review.corrections import text_of
from darkroom.log.review.judgement import StandingJudgement
from darkroom.screens.judging.fault_fields import fault_fields, faults_of, followed
from darkroom.screens.judging.field_texts import (
    FIRST_SEEN,
    key_and_value,
    next_plate,
    strip_number,
    strip_reader,
    strips_hint,
)
from darkroom.screens.judging.judgement_field import HINTS, JudgementField, field_for
from darkroom.screens.log_plate.plate_text import stops_words

NAMED = {"contrast": "contrast", "next": "next time", PICTURE: "picture", FIRST_SEEN: "image seen"}
"""Details with a field of their own: key -> what the field is called."""
Text = Callable[[str], str]
"""From the id of a field to its text; what is wrong with it is kept."""


@dataclass(slots=True)
class JudgementFields:
    """All fields of one plate, in order."""

    stands: StandingJudgement
    entries: list[JudgementField] = field(default_factory=list)
    named: frozenset[str] = frozenset(NAMED)
    """The keys of the details that have a field of their own."""
    catalogue: Catalogue = field(default_factory=Catalogue)
    """The faults to choose from; empty until they are read."""
    advised: frozenset[str] = frozenset()
    """What the tests that were advised say to do."""

    @property
    def changed(self) -> bool:
        """Whether anything differs from what stood."""
        return any(entry.value != entry.was for entry in self.entries)

    def at(self, name: str) -> JudgementField:
        """Return the field of this id."""
        return next(entry for entry in self.entries if entry.id == name)

    def grow(self) -> None:
        """Add an empty fault, detail and note where there is none to type in; ask what belongs to a fault.

        The list of fields stays the same object: the form holds it.
        """
        for kind in ("fault", "detail", "note"):
            last = [place for place, entry in enumerate(self.entries) if entry.kind == kind][-1]
            if self.entries[last].value.strip():
                number = sum(entry.kind == kind for entry in self.entries)
                after = last + 1 + sum(entry.of == self.entries[last].id for entry in self.entries)
                self.entries[after:after] = _empty(kind, number)
        self.entries[:] = followed(self.entries, self.catalogue, self.advised)

    def take_catalogue(self, catalogue: Catalogue) -> None:
        """Take the faults to choose from; what was typed meanwhile stays."""
        self.catalogue = catalogue
        self.grow()


def fields_of(
    stands: StandingJudgement,
    *,
    unseen: bool = False,
    strips: Sequence[float] = (),
    marks: Sequence[MarkMoment] = (),
    mark_words: Sequence[str] = (),
    catalogue: Catalogue | None = None,
    advised: Collection[str] = (),
) -> JudgementFields:
    """Return the fields with what stands in them; of an `unseen` exposure they ask how long it was.

    `strips` are the seconds that each strip of a test plate got in all: the best one is chosen among them.
    There is a field for each of the `marks`, with `mark_words` to choose from. `catalogue` has the faults,
    `advised` is what the tests say to do that were advised.
    """
    faults = catalogue or Catalogue()
    stars = "" if stands.stars is None else str(stands.stars)
    stops_text: str = stands.exposure_word or ""
    if stands.exposure_stops is not None:
        stops_text = stops_words(stands.exposure_stops)
    strip = "" if stands.best_strip is None else str(stands.best_strip)
    entries = [
        field_for("stars", "stars", "stars", stars),
        _against_strip(field_for("stops", "stops", "next plate", stops_text), strips),
        _of_strips(field_for("strip", "strip", "best strip", strip), strips),
    ]
    named = {TOLD_OPEN: "was open", **NAMED} if unseen else NAMED
    own_details = {key.strip().casefold(): (n, value) for n, key, value in stands.details}
    for key, label in named.items():
        n, value = own_details.get(key, (None, ""))
        entries.append(field_for(key, key, label, value, n))
    for mark in marks:
        entries += _of_mark(mark, [words for words in stands.marks if words[2] == mark.n], mark_words)
    for number, fault in enumerate(stands.faults):
        entries += fault_fields(number, fault, faults, advised)
    entries += fault_fields(len(stands.faults), None, faults)
    entries.append(field_for("nothing else", "else", "other faults", "yes" if stands.nothing_else else ""))
    others = [detail for detail in stands.details if detail[1].strip().casefold() not in named]
    for number, (n, key, value) in enumerate(others):
        entries.append(field_for(f"detail {number}", "detail", "detail", f"{key} = {value}", n))
    entries += _empty("detail", len(others))
    for number, (n, text) in enumerate(stands.notes):
        entries.append(field_for(f"note {number}", "note", "note", text, n))
    entries += _empty("note", len(stands.notes))
    entries.append(field_for("reason", "reason", "reason", ""))
    return JudgementFields(stands, entries, frozenset(named), faults, frozenset(advised))


def _of_strips(entry: JudgementField, strips: Sequence[float]) -> JudgementField:
    """Return the field of the best strip, with the plate's own strips to choose from."""
    entry.check, entry.hint = strip_reader(strips), strips_hint(strips)
    entry.options = ("", *(str(number) for number, _ in enumerate(strips, 1))) if strips else ()
    return entry


def _against_strip(entry: JudgementField, strips: Sequence[float]) -> JudgementField:
    """Return the field of the next plate; of a test plate it counts from the best strip."""
    if strips:
        entry.hint = "Against the best strip: +1 twice its light, -1/2 less; empty: as that strip."
    return entry


def _of_mark(
    mark: MarkMoment, said: Sequence[tuple[int | None, str, int]], mark_words: Sequence[str]
) -> list[JudgementField]:
    """Return a field for what happened at a mark; one for each where more was said of it."""
    entries = []
    for number, (n, text, _) in enumerate(said or [(None, "", mark.n)]):
        entry = field_for(f"mark {mark.number}.{number}", "mark", f"mark {mark.number}", text, n)
        entry.hint, entry.options, entry.about = f"{mark.title}: {HINTS['mark']}", ("", *mark_words), mark.n
        entries.append(entry)
    return entries


def _empty(kind: str, number: int) -> list[JudgementField]:
    if kind == "fault":
        return fault_fields(number, None, Catalogue())
    return [field_for(f"{kind} {number}", kind, kind, "")]


def judgement_of(fields: JudgementFields) -> tuple[StandingJudgement, dict[str, str]]:
    """Return what is to stand, and {field: what is wrong} for every field that cannot be read."""
    mistakes: dict[str, str] = {}

    def meaning(entry: JudgementField, reader: Callable[[str], Any], unchanged: Any, failed: Any) -> Any:
        """Return what the text means: `unchanged` if unchanged, None if empty, `failed` if it is wrong."""
        if entry.value == entry.was:
            return unchanged
        if not entry.value.strip():
            return None
        try:
            return reader(entry.value)
        except DarkroomError as error:
            mistakes.setdefault(entry.id, str(error))
            return failed

    def text_of_field(name: str) -> str:
        entry = fields.at(name)

        def reader(text: str) -> str:
            value = (entry.check or text_of)(text)
            return str(value) if isinstance(value, Path) else text

        return meaning(entry, reader, entry.value, "") or ""

    def pair_of(entry: JudgementField) -> tuple[str, str]:
        pair: tuple[str, str] = meaning(entry, key_and_value, ("", ""), ("", ""))
        return pair

    stands, strip = fields.stands, fields.at("strip")
    said = (stands.exposure_stops, stands.exposure_word)
    next_stops, next_word = meaning(fields.at("stops"), next_plate, said, None) or (None, None)
    judgement = StandingJudgement(
        stars=int(fields.at("stars").value) if fields.at("stars").value else None,
        exposure_stops=next_stops,
        exposure_word=next_word,
        best_strip=meaning(strip, strip.check or strip_number, stands.best_strip, None),
        nothing_else=_nothing_else(fields),
        faults=faults_of(fields.entries, fields.catalogue, mistakes, text_of_field),
        details=_details(fields, text_of_field, pair_of),
        notes=tuple(
            (entry.line, text_of_field(entry.id))
            for entry in fields.entries
            if entry.kind == "note" and entry.value.strip()
        ),
        marks=tuple(
            (entry.line, text_of_field(entry.id), entry.about)
            for entry in fields.entries
            if entry.kind == "mark" and entry.value.strip()
        ),
    )
    text_of_field("reason")
    return judgement, mistakes


def _nothing_else(fields: JudgementFields) -> tuple[str, ...] | bool | None:
    """Return the names of all faults that were looked for, where there is nothing else."""
    entry = fields.at("nothing else")
    if entry.value == entry.was:
        return fields.stands.nothing_else
    if not entry.value:
        return None
    return tuple(fields.catalogue.faults) or True


def _details(
    fields: JudgementFields, text_of_field: Text, pair_of: Callable[[JudgementField], tuple[str, str]]
) -> tuple[tuple[int | None, str, str], ...]:
    standing_details = {n: (key, value) for n, key, value in fields.stands.details}
    details: list[tuple[int | None, str, str]] = []
    shown_lines = {entry.line for entry in fields.entries if entry.kind in ("detail", *fields.named)}
    for n, key, value in fields.stands.details:
        # an older one of the same name goes with the one in its field
        if n not in shown_lines and fields.at(key.strip().casefold()).value.strip():
            details.append((n, key, value))
    for entry in fields.entries:
        value = entry.value.strip()
        if entry.kind not in ("detail", *fields.named) or not value:
            continue
        if entry.line is not None and entry.value == entry.was:
            details.append((entry.line, *standing_details[entry.line]))
        elif entry.kind in fields.named:
            key = standing_details[entry.line][0] if entry.line is not None else entry.kind
            details.append((entry.line, key, text_of_field(entry.id)))
        else:
            details.append((entry.line, *pair_of(entry)))
    return tuple(details)
