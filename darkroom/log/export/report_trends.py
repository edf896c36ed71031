"""What several plates of an export say together: the trends of the log's screens, as figures of a page.

The plates go through the catalogue's own reading, so that a page and a screen cannot disagree. How many
plates a fixer had an export does not know: clearing times stand in the order of its plates. What was done
to a bottle stands in the book, so beside the shares of faults a page has the new bottles alone.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from markupsafe import Markup

from darkroom.faults.catalogue import Catalogue
from darkroom.log.catalogue.catalogue import DECODED
from darkroom.log.catalogue.rows import trend_rows_of
from darkroom.log.catalogue.schema import STAGE_COLUMNS
from darkroom.log.catalogue.trend_plates import SEEN
from darkroom.log.export.svg_figure import drawn
from darkroom.log.plate.record import PlateRecord
from darkroom.log.trends.changes import FirstUses
from darkroom.log.trends.facts import Key, PlateFacts, Rows
from darkroom.log.trends.figures import FEWEST, Picture, picture, subjects
from darkroom.log.trends.scales import scale
from darkroom.log.trends.speed import Speeds
from darkroom.log.trends.trend_text import fixer_name
from darkroom.log.trends.trends import trends
from darkroom.solutions.plate_use import PlateUse

_STAGE, _ENDS, _HOW, _CLEARED = map(STAGE_COLUMNS.index, ("stage", "ends", "how", "cleared"))


class Charts:
    """Gathers plates one by one; a few numbers are kept of each."""

    def __init__(self, read_catalogue: Callable[[], Catalogue] = Catalogue) -> None:
        """Begin; `read_catalogue` gives the faults of the files, and is asked if a plate has a fault."""
        self._read_catalogue = read_catalogue
        self._plates: list[PlateFacts] = []
        self._rooms: dict[Key, float] = {}
        self._speeds = Speeds()
        self._rows = Rows(plates=self._plates, rooms=self._rooms, judged=self._speeds)
        self._clearing: dict[str, list[tuple[float, str]]] = {}
        self._first_uses = FirstUses()

    def add(self, record: PlateRecord) -> None:
        """Take what a plate adds."""
        kept = trend_rows_of(record)
        facts = PlateFacts(*map(kept.plate.get, PlateFacts.__struct_fields__))  # type: ignore[arg-type]
        rows, path = self._rows, facts.path
        self._plates.append(facts)
        if kept.exposure and kept.exposure[2] is not None:
            self._speeds.add(DECODED.decode(kept.exposure[2]))
        if kept.faults:
            rows.faults[path] = [fault.name for fault in kept.faults]
        rooms = [
            celsius
            for source, celsius, origin in kept.readings
            if source == "room" and origin != "assumed" and isinstance(celsius, float)
        ]
        if rooms:
            self._rooms[path] = sum(rooms) / len(rooms)
        for use in kept.uses:
            used = PlateUse(*use)  # type: ignore[arg-type]
            self._first_uses.add(used.role, used.bottle, used.name, facts.moment)
        window = record.state.process.wet_window if record.state else None
        stages = [(path, *values, 0) for values in kept.stages]
        if window and any(stage[_STAGE] == window.from_ and stage[_HOW] not in SEEN for stage in stages):
            rows.unseen.add(path)
        rows.stages.add_plate(facts.plate, facts.process, facts.stars, kept.stages)
        for stage in stages:
            cleared = stage[_CLEARED]
            if stage[_ENDS] == "cleared" and stage[_HOW] in SEEN and isinstance(cleared, float):
                clearings = self._clearing.setdefault(facts.process or "?", [])
                clearings.append((cleared, facts.fixer or ""))

    def pictures(self) -> Iterator[Picture]:
        """Yield what there is to see."""
        self._rows.changes = self._first_uses.changes({})
        known = self._read_catalogue() if self._rows.faults else None
        yield from map(picture, subjects(trends(self._rows, known=known)))
        for name, cleared in self._clearing.items():
            if len(cleared) >= FEWEST:
                yield _clearing(name, cleared)

    def figures(self) -> Iterator[tuple[Picture, Markup]]:
        """Yield (picture, SVG)."""
        for number, shown in enumerate(self.pictures(), 1):
            yield shown, drawn(shown, number)


def _fixers(cleared: list[tuple[float, str]]) -> str:
    """Return which fixers cleared them: "fixer F2", "fixers F2, F3", "fixer not named"."""
    names = [name or "one not named" for name in dict.fromkeys(name for _, name in cleared)]
    if names == ["one not named"]:
        return fixer_name(None)
    return ("fixer " if len(names) == 1 else "fixers ") + ", ".join(names)


def _clearing(name: str, cleared: list[tuple[float, str]]) -> Picture:
    longest = max(seconds for seconds, _ in cleared)
    changed = [n + 0.5 for n in range(1, len(cleared)) if cleared[n][1] != cleared[n - 1][1]]
    return Picture(
        title="clearing time, plate after plate",
        about=name,
        across=scale("plates, oldest first", "plates", [1.0, float(len(cleared))]),
        up=scale("cleared after, min:s", "s", [0.0, longest], True),
        points=tuple((float(n), seconds, 1) for n, (seconds, _) in enumerate(cleared, 1)),
        spans=tuple(((at, 0.0), (at, longest)) for at in changed),
        span_name="another fixer",
        says=(f"{len(cleared):,} plates, {_fixers(cleared)}",),
    )
