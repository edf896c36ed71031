"""A plate's time line in block characters: planned against actual, wet time, strikes, temperatures. Pure."""

from __future__ import annotations

from collections.abc import Iterator

from darkroom.bench.state import Done, PlateState
from darkroom.log.plate.account import StageAccount, wet_text
from darkroom.log.plate.axis import Axis
from darkroom.log.plate.late_strikes import Late, late
from darkroom.log.plate.record import PlateRecord
from darkroom.log.plate.time_line import edges, known, lasted, over, shown_name, signs, strike_instants
from darkroom.process.text.durations import show_duration
from darkroom.process.text.plain_text import plain
from darkroom.screens.log_plate.temperature_traces import trace_rows
from darkroom.screens.widgets import cell_bars
from darkroom.screens.widgets.cell_bars import Strip
from darkroom.screens.widgets.rows import Row, clip, width

NAME = 11
"""A name takes at most so many cells."""
NARROW = 60
"""On fewer cells the words of a bar stand in a row of their own above it."""
TICK = 9.0
"""Two numbers on the line stand at least so many cells apart."""


def time_line(record: PlateRecord, columns: int) -> list[Row]:
    """Return the rows of the drawing; none when no stage was left."""
    state = record.state
    if state is None or not state.done:
        return []
    drawing = _TimeLineDrawing(record, state, columns)
    return [
        *drawing.head(),
        *drawing.stages(),
        *drawing.wet(),
        *drawing.below(),
        *drawing.temperatures(),
        *drawing.legend(),
    ]


class _TimeLineDrawing:
    """The parts of the drawing, on one axis."""

    def __init__(self, record: PlateRecord, state: PlateState, columns: int) -> None:
        self.record, self.state, self.columns = record, state, columns
        self.late: dict[int, list[Late]] = {}
        for strike in late(record.account):
            self.late.setdefault(strike.index, []).append(strike)
        names = [plain(shown_name(state, done)) for done in state.done]
        stages = record.account.stages
        self.bar_texts = [
            bar_text(record, done, stage, bool(self.late.get(index)))
            for index, (done, stage) in enumerate(zip(state.done, stages, strict=True))
        ]
        self.narrow = columns < NARROW
        self.name_cells = min(NAME, max(map(width, [*names, "strikes"])))
        longest = max(map(width, [*self.bar_texts, self._wet_text()]))
        right = 0 if self.narrow else min(longest, 30 if columns < 100 else 40)
        self.text_cells = max(right, 0 if self.narrow else 20)
        room = columns if self.narrow else columns - self.name_cells - self.text_cells - 2
        self.cells = max(8, room)
        self.axis = Axis(edges(record, state), 0.0, float(self.cells))

    # --- rows ------------------------------------------------------------------------------------

    def _row(self, name: str, strip: Row, text: str, kind: str = "text") -> Iterator[Row]:
        if self.narrow:
            if name or text:
                yield [(clip(f"{plain(name)}  {text}".strip(), self.columns), kind)]
            yield strip
            return
        short = clip(plain(name), self.name_cells)
        lead = short + " " * (self.name_cells - width(short) + 1)
        yield [(lead, kind), *strip, (" " + clip(text, self.text_cells), kind)]

    def _broken(self, strip: Strip) -> Strip:
        for before, after in self.axis.breaks:
            place = (self.axis.x(before) + self.axis.x(after)) / 2
            kind = "reversed" if strip.filled(place) else "quiet"
            strip.put(place, cell_bars.BREAK, kind)
        return strip

    def head(self) -> Iterator[Row]:
        """Yield the numbers of the line, and the line."""
        numbers, ruler = Strip(self.cells), Strip(self.cells)
        ruler.line(0, self.cells, "─", "line")
        for before, after in self.axis.breaks:
            place = (self.axis.x(before) + self.axis.x(after)) / 2
            gap_text = f"{cell_bars.BREAK}{show_duration(after - before)}{cell_bars.BREAK}"
            numbers.write(max(0.0, place - len(gap_text) // 2), gap_text, "quiet")
            ruler.put(place, cell_bars.BREAK, "quiet")
        for seconds in self.axis.ticks(TICK):
            place = self.axis.x(self.axis.start + seconds)
            numbers.write(place, show_duration(seconds), "quiet")
            ruler.put(place, "┬", "line")
        yield from self._row("", numbers.row(), "", "quiet")
        yield from self._row("", ruler.row(), "" if self.narrow else "took", "quiet")

    def stages(self) -> Iterator[Row]:
        """Yield a bar for each stage, what was planned behind it."""
        for index, (done, stage) in enumerate(zip(self.state.done, self.record.account.stages, strict=True)):
            kind = "loud" if self.late.get(index) else "text"
            strip = self._bar(done, stage, kind)
            name = shown_name(self.state, done)
            yield from self._row(name, self._broken(strip).row(), self.bar_texts[index], kind)

    def _bar(self, done: Done, stage: StageAccount, kind: str) -> Strip:
        strip, x = Strip(self.cells), self.axis.x
        if done.how == "skipped":
            return strip
        if done.planned is not None and (done.how != "told" or done.seconds > 0):
            until, sign, mark = done.started + done.planned, cell_bars.PLANNED, cell_bars.PLAN_END
            strip.line(x(done.started), x(until), sign, "quiet")
        elif stage.usual is not None and done.planned is None:
            until, sign, mark = done.started + stage.usual[1], cell_bars.USUAL, cell_bars.USUAL_END
            strip.line(x(done.started + stage.usual[0]), x(until), sign, "quiet")
        else:
            until, mark = done.ended, ""
        strip.bar(x(done.started), x(done.ended), cell_bars.FILLS[known(self.record, done)], kind)
        if mark and x(done.ended) - x(until) >= 1:
            strip.over(x(until), mark)
        if done.cleared is not None and x(done.ended) - x(done.started) >= 2:
            strip.over(x(done.started + done.cleared), "c")
        return strip

    def _wet_text(self) -> str:
        """Return what stands beside the row of the wet time, "" without one."""
        used, about = self.record.account.wet_used, self.record.account.wet_about
        if used is None or about is None:
            return wet_text(self.record.account) or ""
        return f"{show_duration(used)} of about {show_duration(about)}"

    def wet(self) -> Iterator[Row]:
        """Yield how long the plate was wet, and about how long it would have stayed so."""
        used, about = self.record.account.wet_used, self.record.account.wet_about
        begin = self.state.wet_from
        if begin is None or about is None:
            return
        strip, x = Strip(self.cells), self.axis.x
        strip.line(x(begin), x(begin + about), cell_bars.PLANNED, "quiet")
        if used is not None:
            strip.bar(x(begin), x(begin + used), cell_bars.OBSERVED, "text")
            if x(begin + used) - x(begin + about) >= 1:
                strip.over(x(begin + about), cell_bars.PLAN_END)
        past = used is not None and used > about
        yield from self._row("wet", self._broken(strip).row(), self._wet_text(), "loud" if past else "text")

    def below(self) -> Iterator[Row]:
        """Yield the strikes, and the marks and undos where there are any."""
        strikes, marks = Strip(self.cells), Strip(self.cells)
        instants = list(strike_instants(self.record))
        for instant in instants:
            strikes.put(self.axis.x(instant), cell_bars.STRIKE)
        count_text = "1 strike" if len(instants) == 1 else f"{len(instants)} strikes"
        yield from self._row("strikes", self._broken(strikes).row(), count_text, "quiet")
        sign_marks = list(signs(self.record))
        for instant, sign in sign_marks:
            marks.put(self.axis.x(instant), sign if len(sign) == 1 else "m")
        if sign_marks:
            yield from self._row("signs", self._broken(marks).row(), "1, 2 … marks, u taken back", "text")

    def temperatures(self) -> Iterator[Row]:
        """Yield the traces of the temperatures."""
        yield []
        for source, rows, texts in trace_rows(self.state, self.axis, self.cells):
            row_texts = [", ".join(texts), ""] if self.narrow else texts
            for number, row in enumerate(rows):
                yield from self._row("" if number else source, row, row_texts[number])

    def legend(self) -> Iterator[Row]:
        """Yield what the shapes mean."""
        keys = (
            (cell_bars.OBSERVED, "struck"),
            (cell_bars.CALLED, "called by the clock"),
            (cell_bars.TOLD, "told later"),
            (cell_bars.PLANNED, "planned"),
            (cell_bars.USUAL, "usual"),
            (cell_bars.PLAN_END, "its planned end"),
            ("c", "cleared"),
            ("⠒⠒", "read"),
            ("⠒ ⠒", "assumed"),
        )
        row: Row = []
        for sign, meaning in keys:
            needed = width(sign) + width(meaning) + 3
            if row and sum(width(text) for text, _ in row) + needed > self.columns:
                yield row
                row = []
            row += [(sign, "text"), (f" {meaning}  ", "quiet")]
        yield row


def bar_text(record: PlateRecord, done: Done, stage: StageAccount, late: bool = False) -> str:
    """Return what is said beside a bar: how long, planned, over or under, and how its end is known."""
    if done.how == "skipped":
        return "left out"
    text = show_duration(lasted(done))
    if done.planned is not None:
        overrun = over(done)
        sign = "" if overrun is None else f", {'+' if overrun > 0 else '−'}{show_duration(abs(overrun))}"
        text += f" of {show_duration(done.planned)}{sign}"
    elif stage.usual is not None:
        text += f", usual {show_duration(stage.usual[0])}–{show_duration(stage.usual[1])}"
    end = known(record, done)
    text += "" if end == "observed" else ", called" if end == "called" else ", told"
    return text + (", late" if late else "")
