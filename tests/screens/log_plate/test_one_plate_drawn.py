"""One plate as rows: its time line measured cell by cell against its journal, its story in words."""

from __future__ import annotations

from pathlib import Path

import pytest

from darkroom.bench import events as ev
from darkroom.errors import DarkroomError
from darkroom.log.plate.axis import Axis
from darkroom.log.plate.record import PlateRecord, read_record
from darkroom.screens.log_plate import plate_text
from darkroom.screens.log_plate.screen import page
from darkroom.screens.log_plate.temperature_traces import DOTS, braille_trace
from darkroom.screens.log_plate.time_line_rows import time_line
from darkroom.screens.widgets import cell_bars
from darkroom.screens.widgets.ascii_page import in_ascii
from darkroom.screens.widgets.cell_bars import Strip
from darkroom.screens.widgets.rows import Row, width
from tests.kit import season
from tests.kit.exports import hostile, worked
from tests.kit.plates import SIZES, forgotten, judged, texts, told

CUT = 900.0
"""A stretch in which nothing happens takes the room of 15 minutes at most (the axis's contract)."""


def eighths(sign: str, kind: str) -> int:
    """Return how many eighths of a cell are red: a sign cut out of a bar stands for a full cell."""
    if sign in cell_bars.LEFT and sign != " ":
        size = cell_bars.LEFT.index(sign)
        return 8 - size if kind == "reversed" else size
    return 8 if kind == "reversed" or sign in (cell_bars.CALLED, cell_bars.TOLD) else 0


def cells(row: Row) -> list[tuple[str, str]]:
    """Return the cells of a row as (sign, kind)."""
    return [(sign, kind) for text, kind in row for sign in text]


class Measured:
    """The drawing of a plate, and where its line lies."""

    def __init__(self, record: PlateRecord, columns: int) -> None:
        self.rows = time_line(record, columns)
        ruler = next(row for row in texts(self.rows) if row.lstrip().startswith("┬"))
        self.first = ruler.index("┬")
        self.cells = sum(sign in "─┬╱" for sign in ruler)

    def row(self, name: str) -> list[tuple[str, str]]:
        """Return the cells of a row on the line."""
        (name_row,) = [row for row in self.rows if texts([row])[0].startswith(name.ljust(self.first))]
        return cells(name_row)[self.first : self.first + self.cells]

    def text_of(self, name: str) -> str:
        """Return what is said beside a row."""
        (name_row,) = [row for row in texts(self.rows) if row.startswith(name.ljust(self.first))]
        return name_row[self.first + self.cells :].strip()


def shown_seconds(record: PlateRecord) -> list[tuple[float, float]]:
    """Return (instant, seconds drawn before it) at all that begins, ends or was to, from the journal."""
    assert record.state is not None
    marks: set[float] = set()
    for done, stage in zip(record.state.done, record.account.stages, strict=True):
        marks |= {done.started, done.ended}
        if done.how != "skipped" and (done.planned or stage.usual):
            marks.add(done.started + (done.planned or (stage.usual or (0.0, 0.0))[1]))
    if record.state.wet_from is not None:
        marks.add(record.state.wet_from + (record.account.wet_about or 0.0))
    places, total, last = [], 0.0, min(marks)
    for mark in sorted(marks):
        total += min(mark - last, CUT)
        last = mark
        places.append((mark, total))
    return places


def place(places: list[tuple[float, float]], instant: float) -> float:
    """Return the seconds drawn before an instant that is a mark of the line."""
    return min(places, key=lambda pair: abs(pair[0] - instant))[1]


@pytest.mark.parametrize("columns", SIZES)
@pytest.mark.parametrize("away", [False, True])
def test_every_bar_is_as_long_as_its_stage(tmp_path: Path, columns: int, away: bool) -> None:
    """To the eighth of a cell at either end where a strike was seen, to the cell where the clock called or
    the time was told; each begins where it began. Measured from the journal's own instants."""
    record = told(tmp_path, forgotten(away))
    drawing = Measured(record, columns)
    places = shown_seconds(record)
    scale = 8 * drawing.cells / places[-1][1]
    assert record.state is not None and len(record.state.done) == 11
    for done in record.state.done:
        row = drawing.row(record.state.process.stage(done.stage).shown)
        filled_eighths = [eighths(*cell) for cell in row]
        if done.how == "skipped":
            assert sum(filled_eighths) == 0 or filled_eighths == [0] * len(filled_eighths)
            continue
        begin, end = (scale * place(places, instant) for instant in (done.started, done.ended))
        slack = 1.1 if any(sign in cell_bars.LEFT[1:] for sign, _ in row) else 8.0
        assert sum(filled_eighths) == pytest.approx(max(1.0, end - begin), abs=2 * slack), done.stage
        first = next(index for index, size in enumerate(filled_eighths) if size)
        left = 8 * first + (8 - filled_eighths[first] if row[first][1] == "reversed" else 0)
        assert left == pytest.approx(begin, abs=8.0), done.stage


def test_how_an_end_is_known_shows_in_the_bar_and_in_words(tmp_path: Path) -> None:
    """A strike is solid, the clock's call shaded, a time told later lighter, what was left out empty."""
    drawing = Measured(told(tmp_path, forgotten()), 120)
    signs = {name: {sign for sign, _ in drawing.row(name)} for name in ("wash", "expose", "stop", "varnish")}
    assert cell_bars.OBSERVED in signs["wash"] and cell_bars.CALLED not in signs["wash"]
    assert cell_bars.CALLED in signs["expose"] and cell_bars.CALLED in signs["stop"]
    assert drawing.text_of("expose") == "0:08 of 0:08, called"
    assert not signs["varnish"] & set(cell_bars.LEFT[1:])
    assert drawing.text_of("varnish") == "left out"
    away = Measured(told(tmp_path, forgotten(away=True)), 120)
    assert cell_bars.TOLD in {sign for sign, _ in away.row("expose")}
    assert away.text_of("expose") == "0:08 of 0:08, told"


def test_planned_and_usual_stand_behind_as_lines(tmp_path: Path) -> None:
    """What ended early leaves the rest of its plan as a line; what ran over is cut at its plan."""
    drawing = Measured(told(tmp_path, forgotten()), 120)
    wash = drawing.row("wash")
    assert (cell_bars.PLAN_END, "reversed") not in wash and drawing.text_of("wash") == "12:36 of 15:00, −2:24"
    assert wash[-1][0] == " " and cell_bars.PLANNED in {sign for sign, _ in wash}
    drain = drawing.row("drain")
    assert (cell_bars.USUAL_END, "reversed") in drain
    assert drawing.text_of("drain") == "9:10, usual 0:15–0:30, late"
    assert {kind for sign, kind in drain if sign == cell_bars.OBSERVED} == {"loud"}
    over = Measured(told(tmp_path, worked()), 120)
    assert (cell_bars.PLAN_END, "reversed") in over.row("wash")
    assert over.text_of("wash") == "15:48 of 15:00, +0:48"


def test_wet_strikes_marks_and_breaks_stand_on_the_line(tmp_path: Path) -> None:
    """The wet time used, a sign a strike, a number a mark, u an undo, the night broken out."""
    record = told(tmp_path, forgotten())
    drawing = Measured(record, 120)
    assert drawing.text_of("wet") == "10:00 of about 8:33"
    assert (cell_bars.PLAN_END, "reversed") in drawing.row("wet")
    struck = [
        line
        for line in record.log.standing
        if isinstance(line, (ev.LeadInStarted, ev.Cleared))
        or (isinstance(line, ev.StageEnded) and line.how == "strike")
    ]
    begun = 2  # coat and warm begin with strikes of their own
    assert drawing.text_of("strikes") == f"{len(struck) + begun} strikes"
    signs = "".join(sign for sign, _ in drawing.row("signs"))
    assert [sign for sign in signs if sign in "1u"] == ["1", "u"]
    assert "╱" in signs and "╱11:57:36╱" in texts(drawing.rows)[0]
    assert ("c", "reversed") in drawing.row("fix")


def test_no_row_is_longer_than_the_screen(tmp_path: Path) -> None:
    """At any width from 30 to 200 every row of the page fits, also one of hostile words."""
    pages = [told(tmp_path, judged(forgotten())), told(tmp_path, hostile()), told(tmp_path, worked()[:9])]
    for columns in (30, 41, 59, 60, *SIZES):
        for record in pages:
            for row in page(record, columns):
                assert sum(width(text) for text, _ in row) <= columns
                assert all(text.isprintable() for text, _ in row), row


def test_read_temperatures_are_solid_and_assumed_ones_broken(tmp_path: Path) -> None:
    """The bath that was read fills its line and steps up; the water that nobody read has gaps."""
    record = told(tmp_path, forgotten())
    drawing = Measured(record, 120)
    assert drawing.text_of("bath") == "18.5 to 19.5 °C"
    assert drawing.text_of("water") == "15 °C assumed"
    water = "".join(sign for sign, _ in drawing.row("water"))
    assert water.count(" ") >= drawing.cells // 2 - 1
    at = texts(drawing.rows).index(next(row for row in texts(drawing.rows) if row.startswith("bath ")))
    below = texts(drawing.rows)[at + 1]
    assert "typed, bath thermometer" in below
    low = below[drawing.first : drawing.first + drawing.cells].rstrip()
    high = texts(drawing.rows)[at][drawing.first : drawing.first + drawing.cells]
    assert " " not in low.strip() and len(low) + len(high.strip()) in (drawing.cells, drawing.cells + 1)


def test_a_trace_is_as_high_as_its_temperatures() -> None:
    """Over the same axis the warmer value stands above; a tenth of a degree makes no cliff."""
    axis = Axis([0.0, 100.0], 0.0, 10.0)
    upper, lower = braille_trace(((0.0, 10.0, "hand"), (50.0, 20.0, "hand")), axis, 10, 2)
    assert upper.strip() and upper[:4] == " " * 4 and lower[:5].strip() and not lower[6:].strip()
    flat = braille_trace(((0.0, 20.0, "hand"), (50.0, 20.1, "hand")), axis, 10, 2)
    levels = {
        4 * number + down
        for number, row in enumerate(flat)
        for sign in row
        if sign != " "
        for down in range(4)
        if (ord(sign) - 0x2800) & (DOTS[0][down] | DOTS[1][down])
    }
    assert max(levels) - min(levels) <= 1


def test_a_bar_is_never_nothing() -> None:
    """A stage of a moment is an eighth of a cell, at either end of the line, on either side of a cell."""
    for begin, end in ((0.0, 0.0), (9.99, 10.0), (10.0, 10.0), (4.5, 4.5), (4.95, 4.96)):
        strip = Strip(10)
        strip.bar(begin, end, cell_bars.OBSERVED, "text")
        assert sum(eighths(*cell) for cell in zip(strip.signs, strip.kinds, strict=True)) == 1
    strip = Strip(10)
    strip.bar(2.25, 7.5, cell_bars.OBSERVED, "text")
    assert sum(eighths(*cell) for cell in zip(strip.signs, strip.kinds, strict=True)) == 42


def test_a_terminal_without_blocks_shows_the_same_in_plain_signs(tmp_path: Path) -> None:
    """Cell for cell the same page in ASCII: bars are ground alone, called, told, planned still told apart."""
    for away in (False, True):
        record = told(tmp_path, judged(forgotten(away)))
        rows, plain_rows = page(record, 120), in_ascii(page(record, 120))
        assert [sum(width(text) for text, _ in row) for row in rows] == [
            sum(width(text) for text, _ in row) for row in plain_rows
        ]
        assert set("".join(texts(plain_rows))) - set("°×") <= set(map(chr, range(32, 127)))
        for row, plain_row in zip(rows, plain_rows, strict=True):
            for cell, shown in zip(cells(row), cells(plain_row), strict=True):
                assert (eighths(*cell) >= 4) == (shown[1] == "reversed"), (cell, shown)
        signs = {shown for row in plain_rows for shown in cells(row)}
        assert {
            ("~" if away else "=", "reversed"),
            ("-", "quiet"),
            (".", "quiet"),
            ("|", "reversed"),
        } <= signs


# --- the story --------------------------------------------------------------------------------------


def test_the_page_tells_everything(tmp_path: Path) -> None:
    """Judgement first, then the table with where each temperature is from, the plate, its process then, its
    readings, what was taken back, every line of its judgement."""
    text = "\n".join(texts(page(told(tmp_path, judged(forgotten())), 120)))
    for phrase in (
        "**** 4 of 5 stars · next plate 1/2 stop less",
        "comets (left edge)",
        "next time  pour faster",
        "drain looks late: 9:10, usually 0:15 to 0:30",
        "fix looks late: cleared 6:20",
        "bath 18.5 °C, typed by hand",
        "developer 20 °C, assumed",
        "by itself at zero",
        "left out",
        "8 s; given 8 s",
        "collodion C3",
        "portrait lens 210 mm",
        "10:00 used of about 8:33, 1:27 past it",
        "ITS PROCESS THEN: Trial",
        "4:30 at 10 °C, 3:30 at 20 °C",
        "bath 19.5 °C, measured by bath thermometer",
        "mark 1",
        "wash ended, dry begun",
        "varnish    sandarac",
    ):
        assert phrase in text, phrase
    assert text.index("4 of 5 stars") < text.index("┬") < text.index("STAGES") < text.index("ITS JOURNAL")


def test_a_corrected_line_stays_in_sight(tmp_path: Path) -> None:
    """The first rating is shown as it was written, with the line that corrects it and why."""
    lines = judged(forgotten())
    fault = next(line for line in lines if isinstance(line, ev.Fault))
    lines.append(ev.Rating(n=lines[-1].n + 1, at=lines[-1].at, up=None, corrects=fault.n, reason="dust"))
    record = told(tmp_path, lines)
    text = "\n".join(texts(list(plate_text.history(record, 200))))
    assert "2 stars, next plate -0.5 stops ← corrected" in text
    assert '4 stars, next plate -0.5 stops (instead of "2 stars, next plate -0.5 stops": by daylight)' in text
    assert "fault: comets, left edge ← withdrawn" in text
    assert 'withdrawn: "fault: comets, left edge": dust' in text
    assert "comets" not in "\n".join(texts(list(plate_text.judged(record, 120))))


def test_a_season_of_plates_draws(tmp_path: Path) -> None:
    """Every plate of a generated season has a page with all its stages on the line."""
    for path in season.write(tmp_path, 25, seed=3, days=9):
        record = read_record(path)
        assert record.state is not None
        text = "\n".join(texts(page(record, 80)))
        for done in record.state.done:
            assert f"\n{record.state.process.stage(done.stage).shown[:10]}" in text


@pytest.mark.parametrize(
    ("stops", "phrase"),
    [
        (0.5, "+1/2"),
        (-0.5, "−1/2"),
        (1.0, "+1"),
        (0.0, "0"),
        (1.3333, "+1 1/3"),
        (-2.25, "−2 1/4"),
        (0.37, "+0.37"),
        (0.6667, "+2/3"),
    ],
)
def test_stops_are_said_as_fractions_that_read_back(stops: float, phrase: str) -> None:
    """Thirds, halves and quarters as photographers write them; what is shown reads back as the same."""
    from darkroom.log.review.corrections import stops as read

    assert plate_text.stops_words(stops) == phrase
    assert read(phrase) == stops
    with pytest.raises(DarkroomError):
        read(phrase + "x")
