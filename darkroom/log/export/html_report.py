"""The report: plates with their time lines, for a screen or for paper, in one HTML file."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import islice
from tempfile import SpooledTemporaryFile

from markupsafe import Markup

from darkroom.log.export.page_templates import page, told, typed_text
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
    count, contents = 0, list[Markup]()
    charts = Charts() if fault_book is None else Charts(fault_book.read_catalogue)
    faults = None if fault_book is None else FaultSections(fault_book)
    with SpooledTemporaryFile(IN_MEMORY) as sections:
        following = iter(plates)
        while batch := list(islice(following, BATCH)):
            count += len(batch)
            contents.append(Markup("".join(map(_contents_row, batch))))
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
            plates=count,
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


def _contents_row(record: PlateRecord) -> str:
    """Return the row of a plate in the contents as markup: as text, as its section is put together."""
    start = record.log.start
    begun = told(moment(start.at)[:16]) if start else ""
    subject = start.subject if start and start.subject else ""
    return (
        f'<tr><td><a href="#p{told(record.log.plate)}">{told(record.title)}</a></td><td>{begun}</td>'
        f"<td>{typed_text(record.process or '')}</td><td>{typed_text(subject)}</td>"
        f"<td>{stars_text(record)}</td><td>{told(_stands(record))}</td></tr>\n"
    )


def _stands(record: PlateRecord) -> str:
    ended = record.log.ended
    if ended is not None:
        return ended.how
    return record.account.now or "not known"
