"""From the files of faults to one catalogue: own entries add to the shipped ones or replace them. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Literal, TypeVar

import msgspec

from darkroom.errors import Problem, nearest
from darkroom.faults.catalogue import Catalogue, Cause, Fault, Origin

Entry = TypeVar("Entry", Cause, Fault)
Kind = Literal["cause", "fault"]


class FilePart(msgspec.Struct, frozen=True, kw_only=True):
    """What one file says, checked as far as the file alone tells.

    `lines` are {("cause" or "fault", id): line}, `named_on` {(fault's id, cause's id): line}: which causes
    a fault names is known when all files are read.
    """

    file: str
    causes: tuple[Cause, ...] = ()
    faults: tuple[Fault, ...] = ()
    lines: Mapping[tuple[Kind, str], int] = {}
    named_on: Mapping[tuple[str, str], int] = {}
    origin: Origin = "shipped"


def merge(parts: Iterable[FilePart], *, complete: bool = True) -> tuple[Catalogue, tuple[Problem, ...]]:
    """Return the catalogue of all files, and what is wrong between them.

    An own entry takes the place of a shipped one of its id. What is wrong leaves out that entry alone: an id
    or a label that another file of the same origin has already, a fault that names a cause which no file
    has; of an own one the shipped one of that id then stands. Unless the parts are `complete`, since a file
    could not be taken, a fault whose causes are not there is left out without a word.
    """
    in_order = sorted(parts, key=lambda part: part.origin == "own")
    problems: list[Problem] = []
    causes: dict[str, tuple[Cause, FilePart]] = {}
    for part in in_order:
        for cause in part.causes:
            _enter(causes, cause, part, "cause", problems)
    faults: dict[str, tuple[Fault, FilePart]] = {}
    for part in in_order:
        for fault in part.faults:
            unknown = _unknown_causes(fault, part, causes)
            problems += unknown if complete else ()
            if not unknown:
                _enter(faults, fault, part, "fault", problems)
    entered = (*causes.items(), *faults.items())
    catalogue = Catalogue(
        faults={fault_id: fault for fault_id, (fault, _) in faults.items()},
        causes={cause_id: cause for cause_id, (cause, _) in causes.items()},
        own=frozenset(entry_id for entry_id, (_, part) in entered if part.origin == "own"),
    )
    return catalogue, tuple(problems)


def _enter(
    entered: dict[str, tuple[Entry, FilePart]],
    entry: Entry,
    part: FilePart,
    kind: Kind,
    problems: list[Problem],
) -> None:
    """Enter an entry, or note that another one goes by its name."""
    same = entered.get(entry.id)
    if same is not None and same[1].origin != part.origin:
        same = None  # one's own takes the place of the shipped one
    names = {entry.id.casefold(), entry.label.casefold()}
    for other, where in entered.values() if same is None else (same,):
        if other.id == entry.id and where.origin != part.origin:
            continue
        shared = sorted(names & {other.id.casefold(), other.label.casefold()})
        if shared:
            place = f"{where.file}:{where.lines.get((kind, other.id), 1)}"
            what = f"the {kind} '{shared[0]}' stands twice, first in {place}"
            problems.append(Problem(part.file, part.lines.get((kind, entry.id)), f"{kind}s.{entry.id}", what))
            return
    entered[entry.id] = (entry, part)


def _unknown_causes(
    fault: Fault, part: FilePart, causes: Mapping[str, tuple[Cause, FilePart]]
) -> list[Problem]:
    return [
        Problem(
            part.file,
            part.named_on.get((fault.id, cause), part.lines.get(("fault", fault.id))),
            f"faults.{fault.id}.causes.{cause}",
            f"no file has the cause '{cause}'",
            nearest(cause, causes),
        )
        for cause in fault.causes
        if cause not in causes
    ]
