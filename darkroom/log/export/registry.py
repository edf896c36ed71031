"""Every format of an export, each one record: the command, its help and its tests come from here.

A new format is a module that turns plates into bytes, and a record below. The modules are imported when they
write: some need libraries that nothing else does.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec

if TYPE_CHECKING:
    from darkroom.log.export.pictures import Pictures
    from darkroom.log.export.report_faults import FaultBook
    from darkroom.log.plate.columns import RowKind
    from darkroom.log.plate.record import PlateRecord


class Wanted(msgspec.Struct, frozen=True, kw_only=True):
    """How one file is wanted: what a row is, the title of a page, the pictures that it shows, if any.

    `faults` tells a page of the faults and of why a plate has one; None where it says nothing of them.
    """

    rows: RowKind = "plates"
    title: str = "Plates"
    pictures: Pictures | None = None
    faults: FaultBook | None = None


OneFile = Callable[["Iterable[PlateRecord]", Wanted], Iterator[bytes]]
"""From plates, and how the file is wanted, to its bytes."""
OnePlate = Callable[["PlateRecord"], tuple[str, bytes]]
"""From a plate to the name and the bytes of its file."""


class OneFolder(msgspec.Struct, frozen=True, kw_only=True):
    """How a folder of files is written: `write` puts plates into an empty one.

    `files` matches the path, from the folder, of every file it may write. `check` raises NotWritten where
    something that it needs is not there.
    """

    write: Callable[[Iterable[PlateRecord], Path], None]
    files: str
    check: Callable[[], object]


class Format(msgspec.Struct, frozen=True, kw_only=True):
    """A format. It has one writer: `one_file` for all plates, `one_plate` for each, or `one_folder`.

    `help` is a line of the command's help; `by_stage` says that a row may be a stage instead of a plate, and
    `shows_pictures` that a page shows the pictures of its plates.
    """

    name: str
    suffix: str
    help: str
    by_stage: bool = False
    shows_pictures: bool = False
    one_file: OneFile | None = None
    one_plate: OnePlate | None = None
    one_folder: OneFolder | None = None


def _csv(plates: Iterable[PlateRecord], wanted: Wanted) -> Iterator[bytes]:
    from darkroom.log.export.csv_tables import table

    return table(plates, wanted.rows)


def _json_lines(plates: Iterable[PlateRecord], wanted: Wanted) -> Iterator[bytes]:
    from darkroom.log.export.json_lines import lines

    return lines(plates, wanted.rows)


def _html(plates: Iterable[PlateRecord], wanted: Wanted) -> Iterator[bytes]:
    from darkroom.log.export.html_report import report

    return report(plates, wanted.title, wanted.pictures, wanted.faults)


def _labels(plates: Iterable[PlateRecord], wanted: Wanted) -> Iterator[bytes]:
    from darkroom.log.export.sleeve_labels import labels

    return labels(plates, wanted.title)


def _xmp(plate: PlateRecord) -> tuple[str, bytes]:
    from darkroom.log.export.xmp_sidecars import name, sidecar

    return name(plate), sidecar(plate)


def _parquet(plates: Iterable[PlateRecord], folder: Path) -> None:
    from darkroom.log.export.parquet_tables import write_tables

    write_tables(plates, folder)


def _parquet_library() -> object:
    from darkroom.log.export.parquet_tables import load

    return load()


FORMATS: dict[str, Format] = {
    form.name: form
    for form in (
        Format(
            name="csv",
            suffix=".csv",
            by_stage=True,
            one_file=_csv,
            help="a table, one row a plate, or a stage with --rows stages",
        ),
        Format(
            name="jsonl",
            suffix=".jsonl",
            by_stage=True,
            one_file=_json_lines,
            help="JSON Lines, one object a plate with every event, or a stage",
        ),
        Format(
            name="html",
            suffix=".html",
            shows_pictures=True,
            one_file=_html,
            help="a report with time lines, one file that stands alone and prints well",
        ),
        Format(
            name="xmp",
            suffix=".xmp",
            one_plate=_xmp,
            help="a sidecar for the scan of each plate, into the folder PATH, made if it is not there",
        ),
        Format(
            name="labels",
            suffix=".html",
            one_file=_labels,
            help="labels for sleeves, an HTML page to print",
        ),
        Format(
            name="parquet",
            suffix="",
            one_folder=OneFolder(
                write=_parquet,
                files=r"(plates|stages)/year=(\d{1,4}|__HIVE_DEFAULT_PARTITION__)/part-\d+\.parquet",
                check=_parquet_library,
            ),
            help="tables of plates and stages for engines of many rows, into the new folder PATH",
        ),
    )
}
"""{name: format}, in the order of the help."""
