"""The judged faults as rows of the catalogue, and back; what was looked for when there was nothing else."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import msgspec

from darkroom.log.plate.faults import JudgedFault

_ANSWERS = msgspec.json.Decoder(tuple[tuple[str, str], ...])
_LOOKED_FOR = msgspec.json.Decoder(tuple[str, ...] | bool)


def fault_row(position: int, fault: JudgedFault) -> tuple[str | int | None, ...]:
    """Return the row of a fault: (position, name, place, cause, its answers as JSON or None)."""
    return position, fault.name, fault.where, fault.cause, _json(fault.answers) if fault.answers else None


def fault_of_row(row: Sequence[Any]) -> JudgedFault:
    """Return the fault of such a row."""
    _, name, place, cause, answers = row
    return JudgedFault(
        str(name),
        None if place is None else str(place),
        None if cause is None else str(cause),
        () if answers is None else _ANSWERS.decode(str(answers)),
    )


def looked_for_text(nothing_else: tuple[str, ...] | bool | None) -> str | None:
    """Return "nothing else" as the row of a plate has it, JSON; see `Judged`."""
    return None if nothing_else is None else _json(nothing_else)


def looked_for_of(text: str | None) -> tuple[str, ...] | bool | None:
    """Return "nothing else" of such a text."""
    return None if text is None else _LOOKED_FOR.decode(text)


def _json(value: object) -> str | None:
    try:
        return msgspec.json.encode(value).decode()
    except UnicodeEncodeError:  # a hand has changed the journal: no tool writes such
        return None
