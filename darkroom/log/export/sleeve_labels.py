"""Labels for the sleeves of plates: one HTML page to print, 88 × 50 mm each."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from darkroom.log.export.html_page import closing, opening
from darkroom.log.export.markup import escape, typed
from darkroom.log.plate.record import PlateRecord
from darkroom.log.plate.wall_time import parsed
from darkroom.process.text.durations import say_duration


def labels(plates: Iterable[PlateRecord], title: str) -> Iterator[bytes]:
    """Yield the page: number, day, subject, process, exposure, and the plate's id to find it by."""
    yield from opening(title, "labels.css")
    yield b"<main>\n"
    for record in plates:
        yield _label(record).encode()
    yield b"</main>\n"
    yield from closing()


def _label(record: PlateRecord) -> str:
    start = record.log.start
    begun = parsed(start.at) if start else None
    day = f"{begun:%Y-%m-%d}" if begun else record.log.local_date
    lines = []
    if start is not None and start.subject:
        lines.append(f'<p class="subject">{typed(start.subject)}</p>')
    lines += [f"<p>{line}</p>" for line in _lines(record) if line]
    return (
        f"<article><header><b>{escape(record.title)}</b><span>{escape(day)}</span></header>\n<div>"
        + "\n".join(lines)
        + f"</div>\n<footer>{escape(record.log.plate)}</footer></article>\n"
    )


def _lines(record: PlateRecord) -> Iterator[str]:
    start, judged = record.log.start, record.judged
    made = [record.process, start.size if start else None]
    yield ", ".join(typed(one) for one in made if one)
    taken = [
        None if record.exposed is None else say_duration(record.exposed),
        record.aperture,
        start.lens if start else None,
    ]
    yield ", ".join(typed(one) for one in taken if one)
    if start is not None and start.who:
        yield typed(start.who)
    stars = "" if judged.stars is None else f"{judged.stars} of 5 stars"
    yield ", ".join(one for one in (stars, *(typed(fault.text) for fault in judged.faults)) if one)
