"""The case histories of faults: what was seen and recorded, and the cause that a practitioner names first."""

from __future__ import annotations

from pathlib import Path

import msgspec
import yaml

from darkroom.faults.history import MarkedFault

FOLDER = Path(__file__).parent.parent / "faults" / "case_histories"


class CaseHistory(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One case: the faults as judged, {name: value} of the recorded figures, and the cause named `first`.

    `also` is named beside it, `not_recorded` are figures that would have mattered.
    """

    title: str
    process: str
    told: str
    faults: tuple[MarkedFault, ...]
    figures: dict[str, float]
    first: str
    because: str
    not_recorded: tuple[str, ...] = ()
    nothing_else: bool = False
    also: str | None = None


def read_case_histories() -> dict[str, CaseHistory]:
    """Return {title: case} of all files, in their order."""
    cases = [
        msgspec.convert(case, CaseHistory)
        for path in sorted(FOLDER.glob("*.yaml"))
        for case in yaml.safe_load(path.read_text(encoding="utf-8"))
    ]
    found = {case.title: case for case in cases}
    assert len(found) == len(cases), "two cases of one title"
    return found
