"""What a report says of faults: a section for each among its plates, and the words of no catalogue.

Counted are the judged plates of the report. Why the newest of them failed is asked of the log once a fault,
whatever the report's size.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path

import msgspec

from darkroom.faults.answer import FaultTally, Why
from darkroom.faults.catalogue import Catalogue, Fault
from darkroom.faults.tallies import MOST, telling_rows
from darkroom.faults.words import Line, lines
from darkroom.log.plate import bottle_text
from darkroom.log.plate.faults import JudgedFault
from darkroom.log.plate.ratings import rates
from darkroom.log.plate.record import Judged, PlateRecord
from darkroom.log.plate.wall_time import moment
from darkroom.process.uses import role_text

WhysOf = Callable[[Sequence[Path]], Mapping[Path, Why]]
"""From the first files of plates to why each failed; one that cannot be told is left out. Raises nothing."""


class FaultBook(msgspec.Struct, frozen=True):
    """What a report needs of faults: reads the catalogue, and tells why plates failed."""

    read_catalogue: Callable[[], Catalogue]
    whys_of: WhysOf


class PlateLink(msgspec.Struct, frozen=True, kw_only=True):
    """A plate of the report: its id, its title, its first file, the day it was begun."""

    plate: str
    title: str
    path: Path
    day: str


class FaultSection(msgspec.Struct, frozen=True, kw_only=True):
    """A fault among the plates of the report.

    `plates` have it, oldest first, of `judged` plates; `lacking` are those that were looked at for it and
    have it not. `places` and `causes` are (text, plates). `why` are the words about `why_plate`; without
    words, `why_told_under` is the label of the fault under which that plate's stand.
    """

    label: str
    looks: str
    judged: int
    lacking: int
    plates: tuple[PlateLink, ...]
    places: tuple[tuple[str, int], ...]
    causes: tuple[tuple[str, int], ...]
    tallies: tuple[FaultTally, ...]
    why: tuple[Line, ...] = ()
    why_told_under: str = ""

    @property
    def first(self) -> PlateLink:
        """The first plate with it."""
        return self.plates[0]

    @property
    def last(self) -> PlateLink:
        """The last plate with it."""
        return self.plates[-1]


class OwnWords(msgspec.Struct, frozen=True, kw_only=True):
    """A fault in words that are in no catalogue, and the plates with it, oldest first."""

    name: str
    plates: tuple[PlateLink, ...]


class _Seen:
    """What is gathered of one fault."""

    def __init__(self) -> None:
        self.plates: list[PlateLink] = []
        self.places: Counter[str] = Counter()
        self.causes: Counter[str] = Counter()
        self.having: Counter[tuple[str, str, str]] = Counter()


class FaultSections:
    """Gathers plates one by one; of plates without a fault nothing but counts is kept."""

    def __init__(self, book: FaultBook) -> None:
        self._book = book
        self._catalogue: Catalogue | None = None
        self._seen: dict[str, _Seen] = {}
        self._own_words: dict[str, tuple[str, list[PlateLink]]] = {}
        self._judged = 0
        self._used: Counter[tuple[str, str, str]] = Counter()
        self._looked_for: Counter[str] = Counter()
        self._known: dict[str, Fault | None] = {}

    @property
    def catalogue(self) -> Catalogue:
        """The catalogue of faults, read when a plate needs it."""
        if self._catalogue is None:
            self._catalogue = self._book.read_catalogue()
        return self._catalogue

    def add(self, record: PlateRecord) -> None:
        """Take what a plate adds: nothing unless it was judged."""
        judged = record.judged
        if not is_judged(judged):
            return
        self._judged += 1
        used = tuple(_used(record))
        self._used.update(used)
        has: set[str] = set()
        for marked in judged.faults:
            fault = self._fault(marked.name)
            if fault is None:
                self._take_own_words(marked, record)
            else:
                self._take(fault, marked, record, used if fault.id not in has else None)
                has.add(fault.id)
        self._take_looked_for(judged.nothing_else, has)

    def _fault(self, name: str) -> Fault | None:
        """Return the fault that a name means; each name is looked up once."""
        if name not in self._known:
            self._known[name] = self.catalogue.fault(name)
        return self._known[name]

    def _take(
        self,
        fault: Fault,
        marked: JudgedFault,
        record: PlateRecord,
        used: tuple[tuple[str, str, str], ...] | None,
    ) -> None:
        """Take a fault of a plate; `used` is None where the plate has it in another place as well."""
        seen = self._seen.setdefault(fault.id, _Seen())
        if used is not None:
            seen.plates.append(_link(record))
            seen.having.update(used)
        if marked.where:
            seen.places[marked.where] += 1
        if marked.cause:
            cause = self.catalogue.cause(marked.cause)
            seen.causes[marked.cause if cause is None else cause.label] += 1

    def _take_own_words(self, marked: JudgedFault, record: PlateRecord) -> None:
        name = " ".join(marked.name.split())
        _, plates = self._own_words.setdefault(name.casefold(), (name, []))
        link = _link(record)
        if not plates or plates[-1] != link:
            plates.append(link)

    def _take_looked_for(self, looked_for: tuple[str, ...] | bool | None, has: set[str]) -> None:
        if looked_for:
            names = self.catalogue.looked_for(looked_for)
            self._looked_for.update(name for name in names if name not in has)

    def sections(self) -> Iterator[FaultSection]:
        """Yield a section for each fault, the most frequent first; asks why its newest plate failed."""
        told: dict[str, str] = {}
        newest_paths = dict.fromkeys(seen.plates[-1].path for seen in self._seen.values())
        whys = self._book.whys_of(tuple(newest_paths)) if newest_paths else {}
        for name, seen in sorted(self._seen.items(), key=lambda item: (-len(item[1].plates), item[0])):
            fault = self.catalogue.faults[name]
            newest = seen.plates[-1]
            words: tuple[Line, ...] = ()
            if newest.plate not in told and newest.path in whys:
                words = tuple(lines(whys[newest.path], self.catalogue))
            yield FaultSection(
                label=fault.label,
                looks=fault.looks,
                judged=self._judged,
                lacking=self._looked_for[name],
                plates=tuple(seen.plates),
                places=tuple(seen.places.most_common()),
                causes=tuple(seen.causes.most_common()),
                tallies=self._tallies(name, seen),
                why=words,
                why_told_under="" if words else told.get(newest.plate, ""),
            )
            if words:
                told[newest.plate] = fault.label

    def own_words(self) -> tuple[OwnWords, ...]:
        """Return the faults that are in no catalogue, the most frequent first."""
        found = [OwnWords(name=name, plates=tuple(plates)) for name, plates in self._own_words.values()]
        return tuple(sorted(found, key=lambda words: (-len(words.plates), words.name)))

    def _tallies(self, fault: str, seen: _Seen) -> tuple[FaultTally, ...]:
        """Return the names that tell something of this fault, the most telling first."""
        names = {(kind, identity): name for kind, identity, name in self._used}
        counts = {key: (0, 0) for key in names}
        for (kind, identity, name), used in self._used.items():
            having = seen.having[kind, identity, name]
            before = counts[kind, identity]
            counts[kind, identity] = before[0] + having, before[1] + used - having
        rows = [(told, row) for _, told, row in telling_rows(fault, counts, names)]
        rows.sort(key=lambda row: (-round(row[0], 6), row[1].kind, row[1].name))
        return tuple(row for _, row in rows[:MOST])


def is_judged(judged: Judged) -> bool:
    """Return whether a plate was judged at all: stars, exposure, a fault, or that there is nothing else."""
    return bool(judged.faults) or rates(judged)


def _used(record: PlateRecord) -> Iterator[tuple[str, str, str]]:
    """Yield (kind, identity, name) of what a plate had: its bottles, holder, camera and process."""
    start = record.log.start
    for role, bottle in bottle_text.taken(record.state, start).items():
        name = bottle.name or bottle.id or ""
        yield role_text(role), bottle.id or name, name
    if start is not None:
        for kind, value in (("holder", start.holder), ("camera", start.camera), ("process", record.process)):
            if value:
                yield kind, value, value


def _link(record: PlateRecord) -> PlateLink:
    start = record.log.start
    day = moment(start.at)[:10] if start else ""
    return PlateLink(plate=record.log.plate, title=record.title, path=record.log.path, day=day)
