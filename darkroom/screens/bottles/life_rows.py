"""A bottle's life as rows of shapes and words: states, plates, strength, what was done. Pure."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import tzinfo

import msgspec

from darkroom.process.text.plain_text import plain
from darkroom.screens.bottles.life_axis import DAY, LifeAxis
from darkroom.screens.bottles.life_figures import columns_rows, step_rows
from darkroom.screens.bottles.short_words import day_text, strengths
from darkroom.screens.widgets import cell_bars
from darkroom.screens.widgets.cell_bars import Strip
from darkroom.screens.widgets.rows import Row, clip, width
from darkroom.solutions import bottle_words
from darkroom.solutions import events as ev
from darkroom.solutions.bottle import Bottle
from darkroom.solutions.events import BottleEntry
from darkroom.solutions.uses import Use

NAME = 12
"""A name takes at most so many cells."""
NARROW = 60
"""On fewer cells the words of a row stand in a row of their own above it."""
MARK = "│"
STATE_SIGNS = {"ripening": cell_bars.USUAL, "in use": cell_bars.PLANNED, "set aside": cell_bars.TOLD}
"""{state: the sign that its stretch is drawn with}; nothing is drawn once it is discarded."""


def life(
    bottle: Bottle, uses: Sequence[Use], now: float, zone: tzinfo, columns: int, *, whole: bool = True
) -> list[Row]:
    """Return the rows of the drawing, none longer than `columns` cells.

    `uses` are the plates that used the bottle, `zone` is the zone whose days are meant. It is not `whole`
    while the plates are still to be read.
    """
    return list(_Drawing(bottle, uses, now, zone, columns, whole).rows())


def span_of(bottle: Bottle, uses: Sequence[Use], now: float) -> tuple[float, float]:
    """Return the instants between which the life is drawn: from its first line to its end or to now."""
    instants = [entry.instant for entry in bottle.entries] + [use.instant for use in uses]
    ended = bottle.out_of_use == "discarded"
    return min([bottle.made, *instants]), max([bottle.made, *instants] + ([] if ended else [now]))


def state_spans(bottle: Bottle, end: float) -> list[tuple[float, float, str]]:
    """Return (from, to, state) of the stretches of a life up to `end`, but the discarded."""
    ripe = bottle.made + (bottle.ripens or 0.0) * DAY
    so_far = msgspec.structs.replace(bottle, opened=None, out_of_use=None)
    changes: list[tuple[float, Bottle]] = [(bottle.made, so_far)]
    for entry in bottle.entries:
        match entry.event:
            case ev.Opened() if so_far.opened is None:
                so_far = msgspec.structs.replace(so_far, opened=entry.instant)
            case ev.SetAside():
                so_far = msgspec.structs.replace(so_far, out_of_use="set aside")
            case ev.TakenUp():
                so_far = msgspec.structs.replace(so_far, out_of_use=None)
            case ev.Discarded():
                so_far = msgspec.structs.replace(so_far, out_of_use="discarded")
            case _:
                continue
        changes.append((entry.instant, so_far))
    spans: list[tuple[float, float, str]] = []
    for (begin, there), (until, _) in zip(changes, [*changes[1:], (end, so_far)], strict=True):
        for first, last in ((begin, min(ripe, until)), (max(begin, ripe), until)):
            if last <= first:
                continue
            state = there.state(first)
            if spans and spans[-1][2] == state and spans[-1][1] >= first:
                spans[-1] = (spans[-1][0], last, state)
            else:
                spans.append((first, last, state))
    return [(first, last, state) for first, last, state in spans if state != "discarded"]


class _Drawing:
    """The parts of the drawing, on one axis."""

    def __init__(
        self, bottle: Bottle, uses: Sequence[Use], now: float, zone: tzinfo, columns: int, whole: bool
    ) -> None:
        self.whole = whole
        self.bottle, self.now, self.zone, self.columns = bottle, now, zone, columns
        first: dict[str, Use] = {}
        for use in uses:
            if use.plate not in first or use.instant < first[use.plate].instant:
                first[use.plate] = use
        self.uses = sorted(first.values(), key=lambda use: use.instant)
        self.narrow = columns < NARROW
        self.marks = self._marks()
        names = ["plates", "strength", *self.marks]
        self.name_cells = min(NAME, max(map(width, names)))
        self.text_cells = 0 if self.narrow else 28 if columns < 100 else 36
        room = columns if self.narrow else columns - self.name_cells - self.text_cells - 2
        self.cells = max(8, room)
        self.axis = LifeAxis(*span_of(bottle, uses, now), self.cells, zone)

    def rows(self) -> Iterator[Row]:
        """Yield all rows."""
        yield from self._head()
        yield from self._state()
        yield from self._plates()
        yield from self._strength()
        for name, entries in self.marks.items():
            yield from self._marked(name, entries)

    def _row(self, name: str, strip: Row, text: str, kind: str = "text") -> Iterator[Row]:
        if self.narrow:
            if name or text:
                yield [(clip(f"{plain(name)}  {text}".strip(), self.columns), kind)]
            yield strip
            return
        short = clip(plain(name), self.name_cells)
        lead = short + " " * (self.name_cells - width(short) + 1)
        yield [(lead, kind), *strip, (" " + clip(text, self.text_cells), kind)]

    def _day(self, instant: float) -> str:
        return day_text(instant, self.zone)

    def _head(self) -> Iterator[Row]:
        numbers, ruler = Strip(self.cells), Strip(self.cells)
        ruler.line(0, self.cells, "─", "line")
        for place, words in self.axis.ticks():
            numbers.write(place, words, "quiet")
            ruler.put(place, "┬", "line")
        yield from self._row("", numbers.row(), "", "quiet")
        yield from self._row("", ruler.row(), f"from {self._day(self.axis.start)}", "quiet")

    def _state(self) -> Iterator[Row]:
        strip = Strip(self.cells)
        for begin, end, state in state_spans(self.bottle, self.axis.end):
            strip.line(self.axis.x(begin), self.axis.x(end), STATE_SIGNS[state], "text")
        yield from self._row("state", strip.row(), self.bottle.state(self.now))

    def _plates(self) -> Iterator[Row]:
        """Yield the plates as columns: one a day, or one a cell where a cell holds more than a day."""
        if not self.uses:
            yield from self._row(
                "plates", Strip(self.cells).row(), "none known" if self.whole else "being read …", "quiet"
            )
            return
        days = Counter(self.axis.day(use.instant) for use in self.uses)
        heights = [0] * self.cells
        strip = Strip(self.cells)
        if self.axis.per_cell <= DAY:
            for day, count in days.items():
                first = strip.cell(self.axis.x(self.axis.midnight(day)))
                following = strip.cell(self.axis.x(self.axis.midnight(day + 1)))
                last = following - 1 - (following - first >= 3)  # a gap tells wide days apart
                for cell in range(first, max(first, last) + 1):
                    heights[cell] = max(heights[cell], count)
        else:
            for use in self.uses:
                heights[strip.cell(self.axis.x(use.instant))] += 1
        most = max(days.values())
        texts = [f"{len(self.uses):,}, at most {most:,} a day"]
        if self.axis.per_cell > DAY:
            texts.append(f"a column: {bottle_words.age_text(self.axis.per_cell)}")
        for number, row in enumerate(columns_rows(heights, 2)):
            text = ", ".join(texts) if self.narrow else texts[number] if number < len(texts) else ""
            yield from self._row("" if number else "plates", row, "" if self.narrow and number else text)

    def _strength(self) -> Iterator[Row]:
        """Yield the strengths as they were said: a figure at each, where there is room, and steps between."""
        points = strengths(self.bottle)
        if not points:
            return
        figures = Strip(self.cells)
        for instant, percent in [points[-1], *points[:-1]]:  # the last one has its place before the others
            text = bottle_words.percent_text(percent).removesuffix(" %")
            place = min(self.axis.x(instant), float(self.cells - len(text)))
            figures.write(place, text, "text")
        last = f"{bottle_words.percent_text(points[-1][1])} w/v on {self._day(points[-1][0])}"
        yield from self._row("strength", figures.row(), last)
        if len({percent for _, percent in points}) > 1:
            places = [(self.axis.x(instant), percent) for instant, percent in points]
            until = self.axis.x(max(end for _, end, _ in [*state_spans(self.bottle, self.axis.end),
                                                          (0.0, points[-1][0], "")]))  # fmt: skip
            values = [percent for _, percent in points]
            texts = [f"{min(values):.3g} to {bottle_words.percent_text(max(values))}", ""]
            for row, text in zip(step_rows(places, until, self.cells, 2), texts, strict=True):
                yield from self._row("", [(row, "text")], "" if self.narrow else text, "quiet")

    def _marks(self) -> dict[str, list[BottleEntry]]:
        """Return {what was done: its lines}, in the order in which it was done first."""
        marks: dict[str, list[BottleEntry]] = {}
        for entry in self.bottle.entries:
            name = mark_name(entry)
            if name:
                marks.setdefault(name, []).append(entry)
        return marks

    def _marked(self, name: str, entries: list[BottleEntry]) -> Iterator[Row]:
        strip = Strip(self.cells)
        counts = Counter(strip.cell(self.axis.x(entry.instant)) for entry in entries)
        for cell, count in counts.items():
            strip.put(cell, MARK if count == 1 else str(count) if count <= 9 else "+")
        times = "" if len(entries) == 1 else f"{len(entries):,} times, last "
        text = f"{times}{self._day(entries[-1].instant)}"
        last = entries[-1].event
        if isinstance(last, ev.Measured):  # the marks show how often
            text = f"{bottle_words.reading_text(last)}, {self._day(entries[-1].instant)}"
        yield from self._row(name, strip.row(), text)


def mark_name(entry: BottleEntry) -> str:
    """Return the name of the row that a line is marked in, "" for one that has none."""
    match entry.event:
        case ev.Treated(how=how):
            return bottle_words.TREATED.get(how, how)
        case ev.Opened():
            return "opened"
        case ev.ToppedUp():
            return "topped up"
        case ev.Measured(what=what):
            return {"ph": "pH"}.get(what, what) if what in ("ph", "volume", "assay") else "hydrometer"
        case ev.DrawnOff():
            return "drawn off"
        case ev.Postponed():
            return "put off"
        case ev.Note():
            return "notes"
        case _:
            return ""
