"""The report: plates with their time lines, for a screen or for paper, in one HTML file."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache
from tempfile import SpooledTemporaryFile

import msgspec
from markupsafe import Markup

from darkroom.log.export.page_templates import environment, page
from darkroom.log.export.pictures import Pictures
from darkroom.log.export.report_faults import FaultBook, FaultSections
from darkroom.log.export.report_trends import Charts
from darkroom.log.export.svg_shapes import rect
from darkroom.log.export.svg_time_line import drawing
from darkroom.log.plate import bottle_text, stage_text
from darkroom.log.plate.account import Account, StageAccount
from darkroom.log.plate.late_strikes import Late, late
from darkroom.log.plate.own_speed import speed_facts
from darkroom.log.plate.picture import KEY as PICTURE
from darkroom.log.plate.record import PlateRecord
from darkroom.log.plate.scene_text import aperture_text, light_text, lost_text, place_text, proposed_text
from darkroom.log.plate.wall_time import clock, moment
from darkroom.process.text.durations import say_duration, show_duration

IN_MEMORY = 8 << 20
"""Sections wait in memory up to so many bytes, beyond that in a temporary file."""
PIECE = 1 << 16
_KEY = (
    ("plan", "planned"),
    ("usual", "usual"),
    ("seen", "observed: ended by a strike"),
    ("called", "called: ended by the clock"),
    ("told", "told afterwards, or timed away"),
)


class ContentsRow(msgspec.Struct, frozen=True, kw_only=True):
    """A row of the contents."""

    plate: str
    title: str
    begun: str
    process: str
    subject: str
    stars: str
    stands: str


class StageTableRow(msgspec.Struct, frozen=True, kw_only=True):
    """A row of the stages: the stage, and its cells in words."""

    stage: StageAccount
    begun: str
    planned: str
    took: str
    end: str
    known: str


def report(
    plates: Iterable[PlateRecord],
    title: str,
    pictures: Pictures | None = None,
    fault_book: FaultBook | None = None,
) -> Iterator[bytes]:
    """Yield the page, with `pictures` of the plates, if any, and their faults, if there is a `fault_book`.

    `plates` is gone through once: their sections wait in a temporary file, beyond `IN_MEMORY` bytes on the
    disk, until the contents, trends and faults that stand before them are known.
    """
    contents: list[ContentsRow] = []
    charts = Charts() if fault_book is None else Charts(fault_book.read_catalogue)
    faults = None if fault_book is None else FaultSections(fault_book)
    section = environment().get_template("plate.html")
    with SpooledTemporaryFile(IN_MEMORY, "w+", encoding="utf-8", newline="\n") as sections:
        for record in plates:
            contents.append(_entry(record))
            charts.add(record)
            if faults is not None:
                faults.add(record)
            sections.write(section.render(_section(record, pictures)))
        sections.seek(0)
        yield from page(
            "report.html",
            "report.css",
            title=title,
            embed=pictures is not None and pictures.embed,
            contents=contents,
            figures=list(charts.figures()),
            faults=[] if faults is None else list(faults.sections()),
            own_words=() if faults is None else faults.own_words(),
            sections=map(Markup, iter(lambda: sections.read(PIECE), "")),
        )


def _entry(record: PlateRecord) -> ContentsRow:
    start = record.log.start
    return ContentsRow(
        plate=record.log.plate,
        title=record.title,
        begun=moment(start.at)[:16] if start else "",
        process=record.process or "",
        subject=start.subject if start and start.subject else "",
        stars=_stars(record),
        stands=_stands(record),
    )


def _stars(record: PlateRecord) -> str:
    stars = record.judged.stars
    return "" if stars is None else f"{stars} of 5"


def _stands(record: PlateRecord) -> str:
    ended = record.log.ended
    if ended is not None:
        return ended.how
    return record.account.now or "not known"


def _section(record: PlateRecord, pictures: Pictures | None) -> dict[str, object]:
    """Return what the section of a plate shows, by the names that its template has."""
    account = record.account
    return {
        "record": record,
        "subject": record.log.start.subject if record.log.start else None,
        "facts": _facts(record),
        "picture": None if pictures is None else pictures.of(record),
        "drawing": drawing(record),
        "key": _key(),
        "stages": _stages(account),
        "lists": (
            ("Readings and settings", account.readings),
            ("Moments", account.moments),
            ("Taken back", account.taken_back),
            ("Words and judgements", account.words),
            ("From a newer darkroom", account.newer),
        ),
    }


def _facts(record: PlateRecord) -> Iterator[tuple[str, str | None]]:
    start, ended, judged, account = record.log.start, record.log.ended, record.judged, record.account
    yield "process", record.process
    if start is not None:
        yield "begun", moment(start.at)
    if ended is not None:
        yield "ended", f"{moment(ended.at)}, {ended.how}" + (f": {ended.reason}" if ended.reason else "")
    else:
        yield "stands", account.now
    if start is not None:
        for name in ("who", "size", "lens"):
            yield name, getattr(start, name)
        yield "aperture", aperture_text(record.scene, record.aperture)
        yield "light", light_text(record.scene, start.light)
        yield "light lost", lost_text(record.scene)
        yield "place", place_text(record.scene)
        yield "camera", start.camera
        yield "holder", start.holder
        yield "bottles", bottle_text.names_text(record)
        yield "bottle ids", bottle_text.ids_text(record)
        given = "" if record.exposed is None else f"; given {say_duration(record.exposed)}"
        away = ", timed away" if start.timed == "away" else ""
        yield "exposure", f"{account.exposure or 'until a press'}{given}{away}"
        yield "proposed", proposed_text(start.proposed)
    if account.wet_used is not None and account.wet_about is not None:
        yield "wet time", f"{show_duration(account.wet_used)} of about {show_duration(account.wet_about)}"
    yield "stars", _stars(record)
    if judged.exposure_stops is not None:
        yield (
            "next plate",
            f"{judged.exposure_stops:+g} {'stop' if abs(judged.exposure_stops) == 1 else 'stops'}",
        )
    elif judged.exposure_word is not None:
        yield "next plate", judged.exposure_word
    yield "asked", "\n".join(stage_text.unseen(stage) for stage in record.open_questions) or None
    yield "best strip", None if judged.best_strip is None else str(judged.best_strip)
    yield from speed_facts(record)
    yield "faults", "\n".join("; ".join((fault.text, *fault.reasons)) for fault in judged.faults)
    yield "notes", "\n".join(judged.notes)
    yield from (detail for detail in judged.details if detail[0].strip().casefold() != PICTURE)
    if account.estimated:
        yield "times", "estimated: the computer was started again in between"
    yield "journal", record.log.path.name


@cache
def _key() -> tuple[tuple[Markup, str], ...]:
    """Return the key of the drawings: (a bar, what it means)."""
    return tuple((Markup(rect(kind, 1, 1, 24, 9)), meaning) for kind, meaning in _KEY)


def _stages(account: Account) -> list[StageTableRow]:
    strikes = late(account)
    return [
        _row(stage, [strike for strike in strikes if strike.index == index])
        for index, stage in enumerate(account.stages)
    ]


def _row(stage: StageAccount, strikes: list[Late]) -> StageTableRow:
    return StageTableRow(
        stage=stage,
        begun=clock(stage.started) if stage.started else "",
        planned=stage_text.planned(stage, "usual "),
        took=", ".join([stage_text.took(stage), *(strike.words for strike in strikes)]),
        end=stage_text.ended(stage),
        known="not known" if stage.unseen else stage_text.SEEN[stage.how],
    )
