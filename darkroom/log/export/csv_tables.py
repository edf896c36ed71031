"""Tables for a spreadsheet: RFC 4180, UTF-8, one row a plate or one row a stage.

A text that a spreadsheet would take for a formula gets an apostrophe before it (the advice of the OWASP
page on CSV injection): opening a log must never run anything. Numbers are written as numbers.
"""

from __future__ import annotations

import csv
import io
import unicodedata
from collections.abc import Iterable, Iterator, Sequence

from darkroom.log.plate.columns import PLATE, STAGE, RowKind, Value, stage_rows
from darkroom.log.plate.record import PlateRecord
from darkroom.process.text.plain_text import legal

STARTERS = frozenset("=+-@＝＋－＠")
"""What begins a formula or a command, the full-width signs too."""


def table(plates: Iterable[PlateRecord], rows: RowKind = "plates") -> Iterator[bytes]:
    """Yield the table, heading first; what is not known is empty."""
    if rows == "plates":
        yield _row([heading for heading, _, _ in PLATE])
        for record in plates:
            yield _row([cell(value(record)) for _, _, value in PLATE])
        return
    yield _row([heading for heading, _, _ in STAGE])
    for record in plates:
        for row in stage_rows(record):
            yield _row([cell(value(row)) for _, _, value in STAGE])


def _row(cells: Sequence[str]) -> bytes:
    text = io.StringIO(newline="")
    csv.writer(text, lineterminator="\r\n").writerow(cells)
    return text.getvalue().encode("utf-8", "replace")


def cell(value: Value) -> str:
    """Return a value as a cell's text that no spreadsheet runs."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (int, float)):
        return f"{value:.10g}" if isinstance(value, float) else str(value)
    text = legal(value)
    return f"'{text}" if _first(text) in STARTERS or text[:1] in ("\t", "\n") else text


def _first(text: str) -> str:
    """Return the first sign that is seen: spaces and invisible signs before a formula do not disarm it."""
    return next((sign for sign in text if not sign.isspace() and unicodedata.category(sign) != "Cf"), "")
