"""From the files of faults to one catalogue: own entries add to the shipped ones or replace them. Pure."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from typing import Generic, Literal, TypeVar

import msgspec

from darkroom.errors import Problem, harmless, nearest
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
    causes: _Entered[Cause] = _Entered("cause", problems)
    for part in in_order:
        for cause in part.causes:
            causes.enter(cause, part)
    faults: _Entered[Fault] = _Entered("fault", problems)
    for part in in_order:
        for fault in part.faults:
            unknown = _unknown_causes(fault, part, causes.entries)
            problems += unknown if complete else ()
            if not unknown:
                faults.enter(fault, part)
    catalogue = Catalogue(
        faults=faults.entries, causes=causes.entries, own=frozenset(causes.own() | faults.own())
    )
    return catalogue, tuple(problems)


class _Entered(Generic[Entry]):
    """The faults, or the causes, that are in the catalogue so far; each name is one entry's."""

    def __init__(self, kind: Kind, problems: list[Problem]) -> None:
        self.kind, self.problems = kind, problems
        self.entries: dict[str, Entry] = {}
        self._parts: dict[str, FilePart] = {}
        self._names: dict[str, str] = {}

    def enter(self, entry: Entry, part: FilePart) -> None:
        """Enter an entry, or note that another one goes by its name already."""
        names = {entry.id.casefold(), entry.label.casefold()}
        replaced = self.entries.get(entry.id)
        if replaced is not None and self._parts[entry.id].origin == part.origin:
            return self._twice(entry.id.casefold(), entry.id, entry, part)
        for name in sorted(names):
            holder = self._names.get(name, entry.id)
            if holder != entry.id:
                return self._twice(name, holder, entry, part)
        if replaced is not None:
            for name in {replaced.id.casefold(), replaced.label.casefold()}:
                del self._names[name]
        self._names |= dict.fromkeys(names, entry.id)
        self.entries[entry.id], self._parts[entry.id] = entry, part
        return None

    def own(self) -> set[str]:
        """Return the ids of the photographer's own entries."""
        return {entry_id for entry_id, part in self._parts.items() if part.origin == "own"}

    def _twice(self, name: str, holder: str, entry: Entry, part: FilePart) -> None:
        first = self._parts[holder]
        place = f"{first.file}:{first.lines.get((self.kind, holder), 1)}"
        what = f"the {self.kind} '{name}' stands twice, first in {place}"
        line, key = part.lines.get((self.kind, entry.id)), f"{self.kind}s.{entry.id}"
        self.problems.append(Problem(part.file, line, key, what))


def _unknown_causes(fault: Fault, part: FilePart, causes: Mapping[str, Cause]) -> list[Problem]:
    fault_line = part.lines.get(("fault", fault.id))
    lines = {(fault.id, cause): part.named_on.get((fault.id, cause), fault_line) for cause in fault.causes}
    return unknown_causes(part.file, lines, causes)


def unknown_causes(
    file: str, named_on: Mapping[tuple[str, str], int | None], causes: Collection[str]
) -> list[Problem]:
    """Return a problem for each cause that a file's faults name and that is not among the ids `causes`.

    `named_on` are {(fault's id, cause's id): line}.
    """
    return [
        Problem(
            file,
            line,
            f"faults.{harmless(fault)}.causes.{harmless(cause)}",
            f"no file has the cause '{harmless(cause[:40])}'",
            nearest(cause, causes),
        )
        for (fault, cause), line in named_on.items()
        if cause not in causes
    ]
