"""Labels for the sleeves of plates: one HTML page to print, 88 × 50 mm each."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from darkroom.log.export.html_page import closing, opening
from darkroom.log.export.markup import escape, typed
from darkroom.log.plate.record import Told
from darkroom.log.plate.wall_time import parsed
from darkroom.process.text.durations import say_duration


def labels(plates: Iterable[Told], title: str) -> Iterator[bytes]:
    """Yield the page: number, day, subject, process, exposure, and the plate's id to find it by."""
    yield from opening(title, "labels.css")
    yield b"<main>\n"
    for told in plates:
        yield _label(told).encode()
    yield b"</main>\n"
    yield from closing()


def _label(told: Told) -> str:
    start = told.log.start
    begun = parsed(start.at) if start else None
    day = f"{begun:%Y-%m-%d}" if begun else told.log.local_date
    lines = []
    if start is not None and start.subject:
        lines.append(f'<p class="subject">{typed(start.subject)}</p>')
    lines += [f"<p>{line}</p>" for line in _lines(told) if line]
    return (
        f"<article><header><b>{escape(told.title)}</b><span>{escape(day)}</span></header>\n<div>"
        + "\n".join(lines) + f"</div>\n<footer>{escape(told.log.plate)}</footer></article>\n"
    )  # fmt: skip


def _lines(told: Told) -> Iterator[str]:
    start, judged = told.log.start, told.judged
    made = [told.process, start.size if start else None]
    yield ", ".join(typed(one) for one in made if one)
    taken = [
        None if told.exposed is None else say_duration(told.exposed), told.aperture,
        start.lens if start else None,
    ]  # fmt: skip
    yield ", ".join(typed(one) for one in taken if one)
    if start is not None and start.who:
        yield typed(start.who)
    stars = "" if judged.stars is None else f"{judged.stars} of 5 stars"
    yield ", ".join(one for one in (stars, *(typed(fault.text) for fault in judged.faults)) if one)
