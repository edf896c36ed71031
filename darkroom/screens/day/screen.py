"""The day's sheet: one line for each thing to see to, ticked by one strike each, with dry hands.

It is never shown while a plate is on the bench. Up and down move; a strike of go ticks the line and moves to
the next open one; the last row goes on, whatever is still open.
"""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Sequence
from typing import Literal

from textual import events
from textual.widget import Widget

from darkroom.bench.working_day import hour
from darkroom.errors import DarkroomError
from darkroom.log.days.events import Begun, Closed, Day, Note, SeenTo
from darkroom.process.model import Process
from darkroom.screens.day.asking import ask_air, ask_note, ask_room
from darkroom.screens.host import HostScreen
from darkroom.screens.widgets.face import Face
from darkroom.screens.widgets.rows import Row, clip, fill, spread, width
from darkroom.session.bottle_care import with_care
from darkroom.session.cautions import FIRST
from darkroom.session.day_sheet import Item
from darkroom.session.key_map import list_zones
from darkroom.session.strikes import Recogniser, Strike, Verdict

Part = Literal["before", "after"]
TITLES: dict[Part, str] = {"before": "Before the first plate", "after": "After the last plate"}
ROOM, AIR, NOTE, GO_ON = "room", "air", "note", "go on"


class DayScreen(HostScreen[bool]):
    """One part of the sheet; gives True when it was gone through, False when the hand went back.

    `processes` are those worked with today, `items` the lines of the sheet, `go_on` what its last row says;
    what the bottles need, now or tomorrow, comes to the lines when the book has been read.
    `read` is called with (source, text) for the room's temperature and humidity, where they are typed here.
    """

    def __init__(
        self,
        part: Part,
        items: Sequence[Item],
        processes: Sequence[Process],
        go_on: str,
        read: Callable[[str, str], None] = lambda source, text: None,
    ) -> None:
        super().__init__()
        self.face = Face()
        self.part, self.own_items, self.processes, self.go_on, self.read = part, items, processes, go_on, read
        self.items: Sequence[Item] = items
        self.lines = self._all_lines()
        self.current = 0
        self.message = ""
        self._touched = False

    def _all_lines(self) -> list[str]:
        asked = (ROOM, AIR) if self.part == "before" else (NOTE,)
        return [*(item.id for item in self.items), *asked, GO_ON]

    def _take_care(self) -> None:
        """Take what the bottles need, as it is known by now; the hand stays on its line once it has moved."""
        if not self.is_attached:
            return
        known, line = self.tool.services.bottles.known, self.lines[self.current]
        is_after = self.part == "after"
        self.items = with_care(
            self.own_items, known.dues_tomorrow if is_after else known.dues, tomorrow=is_after
        )
        self.lines = self._all_lines()
        self.current = self.lines.index(line) if line in self.lines else 0
        if self._touched:
            self.draw()
        else:
            self.current = 0
            self._to_next_open()

    # --- the day ---------------------------------------------------------------------------------

    @property
    def day(self) -> Day:
        """The day as it stands."""
        return self.tool.services.day_book.day(self.tool.services.now_at())

    def _is_open(self, line: str) -> bool:
        return line not in self.day.seen and line not in (NOTE, GO_ON)

    def _see_to(self, line: str, value: str | None = None) -> None:
        services, at, up = self.tool.services, self.tool.services.now_at(), self.tool.session.now()
        services.day_book.add(lambda n: SeenTo(n=n, at=at, up=up, id=line, value=value), at)
        self._to_next_open()

    def _to_next_open(self) -> None:
        following = [*range(self.current, len(self.lines)), *range(self.current)]
        self.current = next(
            (place for place in following if self._is_open(self.lines[place])), len(self.lines) - 1
        )
        self.draw()

    # --- the toolkit's ---------------------------------------------------------------------------

    def compose(self) -> list[Widget]:
        """Return the one widget."""
        return [self.face]

    def on_mount(self) -> None:
        """Begin at the first open line; a key that is still held does nothing here."""
        session = self.tool.session
        zone_of = session.recogniser.zone_of
        self.recogniser = Recogniser(list_zones(zone_of), nudge_zones=frozenset({"up", "down"}))
        self.recogniser.follow(session.recogniser)
        self.tool.services.day_book.read_again(self.tool.services.now_at())
        self._take_care()
        self.tool.services.bottles.ask(self.tool.from_thread, self._take_care)

    def on_resize(self, event: events.Resize) -> None:
        """Draw for the new size."""
        self.draw()

    def on_key(self, event: events.Key) -> None:
        """Take every key: a handful acts once, here as at the bench."""
        event.stop()
        event.prevent_default()
        session = self.tool.session
        arrived = session.real_clock.up_at(event.time)
        session.recogniser.taken_elsewhere(event.key, arrived)
        self._act(self.recogniser.key(event.key, arrived, session.real_clock.up()))
        self.when_gathered(self.recogniser, self._due)

    def _due(self) -> None:
        self._act(self.recogniser.due(self.tool.session.real_clock.up()))
        self.when_gathered(self.recogniser, self._due)

    def _act(self, verdicts: Sequence[Verdict]) -> None:
        for verdict in verdicts:
            self._touched = True
            self.message = "" if isinstance(verdict, Strike) else verdict.why
            zone = verdict.zone if isinstance(verdict, Strike) else ""
            if zone == "back":
                self.dismiss(False)
                return
            if zone in ("go", "sure"):
                self._struck(self.lines[self.current])
                return
            last = len(self.lines) - 1
            moved = {"up": self.current - 1, "down": self.current + 1, "first": 0, "last": last}
            self.current = moved.get(zone, self.current) % len(self.lines)
            self.draw()

    # --- strikes ---------------------------------------------------------------------------------

    def _struck(self, line: str) -> None:
        if line == GO_ON:
            self._gone_through()
        elif line == ROOM:
            ask_room(self.tool, self.read, lambda value: self._see_to(ROOM, value))
        elif line == AIR:
            ask_air(self.tool, self.read, lambda value: self._see_to(AIR, value))
        elif line == NOTE:
            ask_note(self.tool, self._note)
        elif self._is_open(line):
            self._see_to(line)
        else:
            self._to_next_open()

    def _gone_through(self) -> None:
        services, at, up = self.tool.services, self.tool.services.now_at(), self.tool.session.now()
        shown = tuple(item.id for item in self.items)
        if self.part == "before":
            bench = services.bench_id
            services.day_book.add(lambda n: Begun(n=n, at=at, up=up, bench=bench, shown=shown), at)
        else:
            services.day_book.add(lambda n: Closed(n=n, at=at, up=up, shown=shown), at)
        self.dismiss(True)

    def _note(self, text: str) -> None:
        services, at, up = self.tool.services, self.tool.services.now_at(), self.tool.session.now()
        try:
            services.day_book.add(lambda n: Note(n=n, at=at, up=up, text=text), at)
        except DarkroomError as error:
            self.message = str(error)
        self.draw()

    # --- drawing ---------------------------------------------------------------------------------

    def draw(self) -> None:
        """Paint the sheet."""
        if not self.is_attached:
            return
        columns, rows = self.size.width, self.size.height
        if not columns or not rows:
            return
        day = self.day
        page = self._heading(day, columns, rows)
        reason = self._reason(columns)
        room = rows - len(page) - len(reason) - 1
        page += self._lines(day, columns, room)
        page += [fill([], columns)] * (rows - len(reason) - 1 - len(page))
        page += reason
        page.append(self._foot(columns))
        self.face.put(page[:rows], self.tool.style_of, self.tool.brightness_key)

    def _heading(self, day: Day, columns: int, rows: int) -> list[Row]:
        done = sum(item.id in day.seen for item in self.items)
        count = f"{done} of {len(self.items)} seen to"
        page = [spread([(TITLES[self.part].upper(), "loud")], [(count, "text")], columns)]
        page += [fill([(text, "quiet")], columns) for text in textwrap.wrap(FIRST, columns)]
        return page + [fill([], columns)] * (rows >= 30)

    def _lines(self, day: Day, columns: int, room: int) -> list[Row]:
        """Return the lines around the hand; where some are not shown, a row of their own says so."""
        spaced = room >= 2 * len(self.lines)
        shown = len(self.lines) if room >= len(self.lines) else max(1, room - 1)
        first = max(0, min(self.current - shown // 2, len(self.lines) - shown))
        drawn: list[Row] = []
        for place in range(first, first + shown):
            drawn.append(self._line(day, place, columns))
            if spaced:
                drawn.append(fill([], columns))
        if shown < len(self.lines):
            above, below = first, len(self.lines) - first - shown
            more = ", ".join(f"{n} {where}" for n, where in ((above, "above"), (below, "below")) if n)
            drawn.append(fill([(f" and {more}", "quiet")], columns))
        return drawn[:room]

    def _line(self, day: Day, place: int, columns: int) -> Row:
        line = self.lines[place]
        at = day.seen.get(line)
        state = (
            ""
            if line in (NOTE, GO_ON)
            else "open"
            if at is None
            else day.values.get(line, f"seen to {hour(at)}")
        )
        if line == NOTE and day.notes:
            state = clip(day.notes[-1], columns // 2)
        text = f" {self._text(line)}"
        if place == self.current:
            return [
                (part, "reversed") for part, _ in spread([(text, "")], [(f"{state} ", "")], min(columns, 100))
            ] + [(" " * max(0, columns - 100), "text")]
        kind = "text" if at is None else "quiet"
        return fill(spread([(text, kind)], [(f"{state} ", kind)], min(columns, 100)), columns)

    def _text(self, line: str) -> str:
        asked = {
            ROOM: "Room temperature",
            AIR: "How dry is the air?",
            NOTE: "Note",
            GO_ON: self.go_on,
        }
        return asked.get(line) or next(item.text for item in self.items if item.id == line)

    def _reason(self, columns: int) -> list[Row]:
        """Return why the line under the hand is on the sheet, as many rows as the longest reason needs."""
        line = self.lines[self.current]
        still_open = sum(map(self._is_open, self.lines))
        reasons = {
            **{item.id: item.reason for item in self.items},
            ROOM: "Times and the wet time go by it where nothing else is read.",
            AIR: "Dry air dries the plate sooner: the wet time is reckoned from it.",
            NOTE: "A few words about this day.",
            GO_ON: f"{still_open} still open: that forbids nothing." if still_open else "All is seen to.",
        }
        wrapped = {name: textwrap.wrap(text, max(20, columns - 2)) for name, text in reasons.items()}
        texts = [self.message] if self.message else wrapped[line]
        drawn = [fill([(f" {text}", "loud")], columns) for text in texts]
        return drawn + [fill([], columns)] * (max(map(len, wrapped.values())) - len(drawn))

    def _foot(self, columns: int) -> Row:
        names = self.tool.key_names
        does = "goes on" if self.lines[self.current] == GO_ON else "seen to"
        keys = [
            (names.get("go") or "enter", does),
            ("up down", "move"),
            (names.get("menu") or "escape", "back"),
        ]
        foot: Row = []
        for key, description in keys:
            foot += [(key, "text"), (f" {description}   ", "quiet")]
        notice = self.tool.notice or ""
        room = max(0, columns - sum(width(text) for text, _ in foot))
        return spread(foot, [(clip(notice, room), "loud")] if notice and room > 8 else [], columns)
