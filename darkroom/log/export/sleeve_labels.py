"""Labels for the sleeves of plates: one HTML page to print, 88 × 50 mm each."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import msgspec

from darkroom.log.export.page_templates import page
from darkroom.log.export.pictures import file_name
from darkroom.log.plate import bottle_text
from darkroom.log.plate.record import PlateRecord
from darkroom.log.plate.scene_text import aperture_text
from darkroom.log.plate.stage_text import given
from darkroom.log.plate.wall_time import parsed


class Label(msgspec.Struct, frozen=True, kw_only=True):
    """What a label shows. `day` is YYYY-MM-DD; of `lines` each is the texts of one line."""

    plate: str
    title: str
    day: str
    subject: str | None
    lines: tuple[list[str], ...]
    stars: str
    faults: list[str]


def labels(plates: Iterable[PlateRecord], title: str) -> Iterator[bytes]:
    """Yield the page: number, day, subject, process, exposure, and the plate's id to find it by."""
    return page("labels.html", "labels.css", title=title, labels=map(_label, plates))


def _label(record: PlateRecord) -> Label:
    start, judged = record.log.start, record.judged
    begun = parsed(start.at) if start else None
    made = (record.process, start.size if start else None)
    exposure = (
        given(record),
        aperture_text(record.scene, record.aperture),
        start.lens if start else None,
    )
    photographer = (start.who if start else None, record.picture and file_name(record.picture))
    used = (bottle_text.names_text(record),)
    return Label(
        plate=record.log.plate,
        title=record.title,
        day=f"{begun:%Y-%m-%d}" if begun else record.log.local_date,
        subject=start.subject if start else None,
        lines=tuple([text for text in line if text] for line in (made, exposure, used, photographer)),
        stars="" if judged.stars is None else f"{judged.stars} of 5 stars",
        faults=[fault.text for fault in judged.faults],
    )
