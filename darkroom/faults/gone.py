"""A fault that the plates since then have not: its cause may be known now, and nobody has said it. Pure."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec

from darkroom.faults.catalogue import Catalogue
from darkroom.faults.history import PlateFigures

LONGEST_ASKED = 4
"""After so many judged plates without it nobody is asked any more what it came from."""


class Gone(msgspec.Struct, frozen=True, kw_only=True):
    """The last plate with a fault (its id and number), and the number of the first judged one without it."""

    fault: str
    plate: str
    number: int
    since: int


def gone(catalogue: Catalogue, judged: Sequence[PlateFigures]) -> Gone | None:
    """Return the fault that the newest plates have no more, while its cause is not confirmed; else None.

    `judged` are the judged plates of one process, oldest first. A fault is gone where the newest one has no
    fault of the catalogue; the latest plate that had one is asked about, of its faults the first.
    """
    without: list[PlateFigures] = []
    for figures in reversed(judged):
        known = [
            (mark, fault) for mark in figures.faults if (fault := catalogue.fault(mark.name)) is not None
        ]
        if not known:
            without.append(figures)
            if len(without) > LONGEST_ASKED:
                return None
            continue
        if not without or any(mark.cause for mark, _ in known):
            return None
        fault = known[0][1]
        return Gone(fault=fault.id, plate=figures.plate, number=figures.number, since=without[-1].number)
    return None


def gone_text(catalogue: Catalogue, what: Gone) -> str:
    """Return the sentence for before the next plate."""
    label = catalogue.faults[what.fault].label
    return f"{label} gone since plate {what.since}: c on plate {what.number}'s page confirms the cause"
