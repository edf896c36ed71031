"""The report: plates with their time lines, for a screen or for paper, in one HTML file."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import islice
from tempfile import SpooledTemporaryFile

import msgspec
from markupsafe import Markup

from darkroom.log.export.page_templates import page
from darkroom.log.export.pictures import Pictures
from darkroom.log.export.plate_section import section, stars_text
from darkroom.log.export.report_faults import FaultBook, FaultSections
from darkroom.log.export.report_trends import Charts
from darkroom.log.plate.record import PlateRecord
from darkroom.log.plate.wall_time import moment

IN_MEMORY = 8 << 20
"""Sections wait in memory up to so many bytes, beyond that in a temporary file."""
PIECE = 1 << 16
_SECTIONS = b"\0sections\0"
"""Where the template puts the sections; no value that it writes has a NUL."""
BATCH = 32
"""So many plates go through each step together: a processor that changes steps at every plate takes a fifth
longer."""


class ContentsRow(msgspec.Struct, frozen=True, kw_only=True, gc=False):
    """A row of the contents."""

    plate: str
    title: str
    begun: str
    process: str
    subject: str
    stars: str
    stands: str


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
    with SpooledTemporaryFile(IN_MEMORY) as sections:
        following = iter(plates)
        while batch := list(islice(following, BATCH)):
            contents += map(_entry, batch)
            for record in batch:
                charts.add(record)
            if faults is not None:
                for record in batch:
                    faults.add(record)
            for record in batch:
                sections.write(section(record, pictures).encode())
        sections.seek(0)
        for piece in page(
            "report.html",
            "report.css",
            title=title,
            embed=pictures is not None and pictures.embed,
            contents=contents,
            figures=list(charts.figures()),
            faults=[] if faults is None else list(faults.sections()),
            own_words=() if faults is None else faults.own_words(),
            sections=Markup(_SECTIONS.decode()),
        ):
            before, place, after = piece.partition(_SECTIONS)
            yield before
            if place:
                yield from iter(lambda: sections.read(PIECE), b"")
                yield after


def _entry(record: PlateRecord) -> ContentsRow:
    start = record.log.start
    return ContentsRow(
        plate=record.log.plate,
        title=record.title,
        begun=moment(start.at)[:16] if start else "",
        process=record.process or "",
        subject=start.subject if start and start.subject else "",
        stars=stars_text(record),
        stands=_stands(record),
    )


def _stands(record: PlateRecord) -> str:
    ended = record.log.ended
    if ended is not None:
        return ended.how
    return record.account.now or "not known"
