"""A plate as one line of text, as the list of the command line prints it. The catalogue keeps it ready."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from darkroom.log.plate.line_text import clean, wall

IN_A_LINE = ("plate", "number", "started", "how", "place", "process", "subject", "stars")
"""The columns of the catalogue that a line shows, beside the faults."""


def line(row: Mapping[str, Any]) -> str:
    """Return a plate as one line; `row` holds the values IN_A_LINE, and its `faults`."""
    if row["started"] is None:
        return clean(f"{'?':>5}  {row['plate']:24}  its first line is lost")
    how = row["how"] or f"on the {row['place']}"
    parts = [
        f"{row['number']:>5}",
        f"{row['plate']:24}",
        wall(row["started"]),
        f"{how:12}",
        row["process"] or "?",
    ]
    parts += [row["subject"]] if row["subject"] else []
    parts += [f"{row['stars']} stars" if row["stars"] != 1 else "1 star"] if row["stars"] is not None else []
    parts += ["; ".join([fault.text for fault in row["faults"]])] if row["faults"] else []
    return clean("  ".join(parts))
