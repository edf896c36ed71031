"""The fields in which a plate is judged: from what stands to texts, and from the texts to what is to stand.
Pure."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import msgspec

from darkroom.bench.fold import TOLD_OPEN
from darkroom.errors import DarkroomError
from darkroom.log.plate.marks import MarkMoment
from darkroom.log.plate.picture import KEY as PICTURE
from darkroom.log.review.corrections import LONGEST, text_of
from darkroom.log.review.judgement import FaultLine, StandingJudgement
from darkroom.screens.judging.field_texts import (
    CHECKS,
    key_and_value,
    next_plate,
    strip_number,
    strip_reader,
    strips_hint,
)
from darkroom.screens.log_list.plate_rows import stars_words
from darkroom.screens.log_plate.plate_text import stops_words
from darkroom.screens.widgets.form import Field

STARS = ("", "0", "1", "2", "3", "4", "5")
PLACES = (
    "",
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
NAMED = {"contrast": "contrast", "next": "next time", PICTURE: "picture"}
"""Details with a field of their own: key -> what the field is called."""
HINTS = {
    "stars": "Left and right, or 0 to 5. Empty: not judged.",
    "stops": "The next plate: +1 twice the light, -1/2 less, 0 as it was; or more, right, less.",
    "strip": "The best strip of a test plate: 1, 2, 3 …",
    "contrast": "In words: flat, full, harsh.",
    "next": "What to change next time; it stands on the home screen before the next plate.",
    PICTURE: "The path of a scan on this computer; it is shown with the plate, in reports and on its label.",
    TOLD_OPEN: "Nobody saw when the cap went on: how long was the lens open? 9 s, 1:10.",
    "mark": "what happened? Left and right choose; or type words of your own, they are kept.",
    "fault": "Its name: fog, comets, oyster stains … Empty takes it away.",
    "where": "Left and right choose a place; or type one of your own.",
    "detail": "Anything else, as key = value. Empty takes it away.",
    "note": "Words about the plate. Empty takes it away.",
    "reason": "Why something that stood is changed; it stands beside the correction.",
}


Text = Callable[[str], str]
"""From the id of a field to its text; what is wrong with it is kept."""


@dataclass(slots=True, eq=False)
class JudgementField(Field):
    """One field of a judgement: `line` is the number of the journal's line that its value came from.

    `about` is the number of the line of the mark that it is about.
    """

    kind: str = ""
    line: int | None = None
    about: int = 0


@dataclass(slots=True)
class JudgementFields:
    """All fields of one plate, in order."""

    stands: StandingJudgement
    entries: list[JudgementField] = field(default_factory=list)
    named: frozenset[str] = frozenset(NAMED)
    """The keys of the details that have a field of their own."""

    @property
    def changed(self) -> bool:
        """Whether anything differs from what stood."""
        return any(entry.value != entry.was for entry in self.entries)

    def at(self, name: str) -> JudgementField:
        """Return the field of this id."""
        return next(entry for entry in self.entries if entry.id == name)

    def grow(self) -> None:
        """Add an empty fault, detail and note where there is none to type in."""
        for kind in ("fault", "detail", "note"):
            last = [place for place, entry in enumerate(self.entries) if entry.kind == kind][-1]
            if self.entries[last].value.strip():
                number = sum(entry.kind == kind for entry in self.entries)
                fields_after = 2 if kind == "fault" else 1
                self.entries[last + fields_after : last + fields_after] = _empty(kind, number)


def fields_of(
    stands: StandingJudgement,
    *,
    unseen: bool = False,
    strips: Sequence[float] = (),
    marks: Sequence[MarkMoment] = (),
    mark_words: Sequence[str] = (),
) -> JudgementFields:
    """Return the fields with what stands in them; of an `unseen` exposure they ask how long it was.

    `strips` are the seconds that each strip of a test plate got in all: the best one is chosen among them.
    There is a field for each of the `marks`, with `mark_words` to choose from.
    """
    stars = "" if stands.stars is None else str(stands.stars)
    stops_text: str = stands.exposure_word or ""
    if stands.exposure_stops is not None:
        stops_text = stops_words(stands.exposure_stops)
    strip = "" if stands.best_strip is None else str(stands.best_strip)
    entries = [
        _entry("stars", "stars", "stars", stars),
        _against_strip(_entry("stops", "stops", "next plate", stops_text), strips),
        _of_strips(_entry("strip", "strip", "best strip", strip), strips),
    ]
    named = {TOLD_OPEN: "was open", **NAMED} if unseen else NAMED
    own_details = {key.strip().casefold(): (n, value) for n, key, value in stands.details}
    for key, label in named.items():
        n, value = own_details.get(key, (None, ""))
        entries.append(_entry(key, key, label, value, n))
    for mark in marks:
        entries += _of_mark(mark, [words for words in stands.marks if words[2] == mark.n], mark_words)
    for number, fault in enumerate(stands.faults):
        entries += [
            _entry(f"fault {number}", "fault", "fault", fault.name, fault.line),
            _entry(f"where {number}", "where", "   where", fault.where or "", fault.line),
        ]
    entries += _empty("fault", len(stands.faults))
    others = [detail for detail in stands.details if detail[1].strip().casefold() not in named]
    for number, (n, key, value) in enumerate(others):
        entries.append(_entry(f"detail {number}", "detail", "detail", f"{key} = {value}", n))
    entries += _empty("detail", len(others))
    for number, (n, text) in enumerate(stands.notes):
        entries.append(_entry(f"note {number}", "note", "note", text, n))
    entries += _empty("note", len(stands.notes))
    return JudgementFields(stands, [*entries, _entry("reason", "reason", "reason", "")], frozenset(named))


def _entry(name: str, kind: str, label: str, value: str, line: int | None = None) -> JudgementField:
    entry = JudgementField(
        name,
        label,
        HINTS[kind],
        value,
        value,
        kind=kind,
        line=line,
        max_length=LONGEST,
        check=CHECKS.get(kind, text_of),
    )
    if kind == "stars":
        entry.options, entry.closed, entry.show, entry.empty = STARS, True, _shown_stars, "not judged"
    elif kind == "where":
        entry.options = PLACES
    return entry


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
        entry = _entry(f"mark {mark.number}.{number}", "mark", f"mark {mark.number}", text, n)
        entry.hint, entry.options, entry.about = f"{mark.title}: {HINTS['mark']}", ("", *mark_words), mark.n
        entries.append(entry)
    return entries


def _shown_stars(value: str) -> str:
    return f"{value} of 5 {stars_words(int(value))}"


def _empty(kind: str, number: int) -> list[JudgementField]:
    entries = [_entry(f"{kind} {number}", kind, kind, "")]
    return entries + ([_entry(f"where {number}", "where", "   where", "")] if kind == "fault" else [])


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
        nothing_else=stands.nothing_else,
        faults=_faults(fields, mistakes, text_of_field),
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


def _faults(fields: JudgementFields, mistakes: dict[str, str], text_of_field: Text) -> tuple[FaultLine, ...]:
    standing_faults = {fault.line: fault for fault in fields.stands.faults}
    faults: list[FaultLine] = []
    for entry in fields.entries:
        if entry.kind != "fault":
            continue
        place_field = fields.at(entry.id.replace("fault", "where"))
        if entry.value.strip():
            name, place_text = text_of_field(entry.id), text_of_field(place_field.id)
            where = place_text if place_text.strip() else None
            fault = FaultLine(line=entry.line, name=name, where=where)
            earlier = standing_faults.get(entry.line)
            if earlier is not None and earlier.name == name:  # what was said of its cause stays with it
                fault = msgspec.structs.replace(earlier, where=where)
            faults.append(fault)
        elif place_field.value.strip() and entry.line is None:
            mistakes[entry.id] = f"{place_field.value.strip()}: what fault is there?"
    return tuple(faults)


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
