"""The bench as rows of text: a function of the snapshot, the size of the screen and nothing else.

From top to bottom: plate and light, the stage, the time, how far, what to do, temperature and wet
clock, the other plates, the keys. A row is a list of (text, meaning) spans that fill the width;
`darkroom.screens.red.red_app` gives each meaning its red.
"""

from __future__ import annotations

from dataclasses import dataclass
from textwrap import wrap
from typing import Any

from darkroom.bench import endings
from darkroom.bench.view import BenchView, PlateView, WetView
from darkroom.process.text.durations import show_elapsed, show_left
from darkroom.screens.bench.rail import BenchStatus, keys_row, rail_rows, stage_word
from darkroom.screens.lettering import lettering
from darkroom.screens.widgets.plate_summary import LIGHT_SENTENCE, rail_entry, time_text
from darkroom.screens.widgets.rows import Row, Span, fill, spread, width

LIGHT_WORDS = {"white": "ROOM LIGHT", "red": "SAFELIGHT", "covered": "COVERED"}
LEAST_WORD = 3
"""The stage's name takes a fifth of the rows at most, and at least this many."""


@dataclass(frozen=True, slots=True)
class Plan:
    """How many rows each zone has."""

    top: int
    word: int
    digits: int
    do: int
    rail: int
    gaps: tuple[int, int, int]


def plan(columns: int, rows: int, digits_text: str, stage_text: str) -> Plan:
    """Return the heights of the zones for a screen of this size."""
    digits = lettering.digit_rows(columns, rows, digits_text)
    tall = max(LEAST_WORD, min(lettering.word_rows(columns, rows, stage_text), rows // 5))
    top = max(3, rows // 10)
    do = 2 if rows >= 24 else 1
    fixed = 1 + do + 1 + 1
    rail = 2 if rows < 30 else max(2, rows // 10)
    spare = rows - (top + tall + digits + fixed + rail)
    if spare < 0:
        give = min(-spare, rail - 1)
        rail, spare = rail - give, spare + give
    if spare < 0:
        give = min(-spare, top - 1)
        top, spare = top - give, spare + give
    if spare < 0:
        tall, spare = max(1, tall + spare), 0
    spare = max(0, spare)
    return Plan(top, tall, digits, do, rail, ((spare + 2) // 3, (spare + 1) // 3, spare // 3))


def face(
    view: BenchView, status: BenchStatus, columns: int, rows: int, *, blocks: lettering.Blocks = "half"
) -> list[Row]:
    """Return the rows of the bench, `rows` of them, each `columns` cells wide."""
    if columns < 40 or rows < 12:
        return _tiny(view, status, columns, rows)
    large = view.large
    digits_text = time_text(large) if large else "0:00"
    stage_text = stage_word(large) if large else "EMPTY"
    zones = plan(columns, rows, digits_text, stage_text)
    calling = large is not None and (large.calling is not None or large.shape in ("over", "held"))
    bench_rows: list[Row] = []
    bench_rows += _top(view, status, columns, zones.top, blocks)
    bench_rows += _gap(columns, zones.gaps[0], calling)
    bench_rows += _framed(
        lettering.rows(
            stage_text, columns - 2, zones.word, blocks=blocks, meaning="loud" if calling else "text"
        ),
        calling,
    )
    bench_rows += _gap(columns, zones.gaps[1], calling)
    bench_rows += _time(large, digits_text, columns, zones.digits, blocks, calling)
    bench_rows += _gap(columns, zones.gaps[2], False)
    bench_rows.append(_how_far(large, columns))
    bench_rows += _do(view, status, columns, zones.do)
    bench_rows.append(_measures(large, columns))
    bench_rows += rail_rows(view, status, columns, zones.rail)
    bench_rows.append(keys_row(status, columns))
    return bench_rows[:rows] + [fill([], columns)] * (rows - len(bench_rows))


# --- the zones' parts ---------------------------------------------------------------------


def _gap(columns: int, rows: int, calling: bool) -> list[Row]:
    return _framed([[(" " * (columns - 2), "text")]] * rows, calling)


def _framed(rows: list[Row], calling: bool) -> list[Row]:
    edge: Span = (" ", "frame" if calling else "text")
    return [[edge, *row, edge] for row in rows]


# --- the zones ---------------------------------------------------------------------------


def _top(
    view: BenchView, status: BenchStatus, columns: int, rows: int, blocks: lettering.Blocks
) -> list[Row]:
    """Plate and process at the left, the light at the right in letters for 2 m."""
    lamp = _lamp(view, columns, rows, blocks)
    large = view.large
    number = f"{large.number}" if large and large.number else "+"
    tall = (
        lettering.rows(
            number,
            max(6, (len(number) + 1) * rows * 13 // 10),
            rows,
            blocks=blocks,
            align="left",
            meaning="text",
        )
        if large
        else [[]] * rows
    )
    title_rows = _titles(view, status, rows)
    top_rows: list[Row] = []
    for index in range(rows):
        left: Row = [*tall[index], (" ", "text"), *title_rows[index]] if large else [*title_rows[index]]
        top_rows.append(spread(left, lamp[index], columns))
    return top_rows


def _lamp(view: BenchView, columns: int, rows: int, blocks: lettering.Blocks) -> list[Row]:
    """The light in words: between bars when only the safelight is safe, hollow when it is covered."""
    word = LIGHT_WORDS[view.light]
    if rows < 3:
        return [[(f" {word} ", "frame" if view.light == "red" else "text")], *([[]] * (rows - 1))]
    most_cells = max(12, columns - 30)
    bar = max(1, min(max(2, rows), (most_cells - 14) // 2))
    natural = lettering.natural_width(word, 2 * rows, 1.0) if blocks == "half" else len(word) * rows * 2
    if view.light == "red":
        cells = min(natural, most_cells - 2 * bar - 2)
        letters = lettering.rows(word, cells, rows, blocks=blocks, meaning="loud")
        return [
            [(" " * bar, "frame"), (" ", "text"), *row, (" ", "text"), (" " * bar, "frame")]
            for row in letters
        ]
    return lettering.rows(
        word,
        min(natural, most_cells),
        rows,
        blocks=blocks,
        outline=view.light == "covered" and rows > 4,
        align="right",
        meaning="text",
    )


def _titles(view: BenchView, status: BenchStatus, rows: int) -> list[Row]:
    large = view.large
    titles: list[Row] = []
    if large is not None:
        titles.append([(large.process, "text")])
        titles.append([(large.subject or ("rehearsal" if large.rehearsal else ""), "quiet")])
    note = "red next" if view.red_next else LIGHT_SENTENCE[view.light]
    titles.append([(note, "loud" if view.red_next else "text")])
    if status.rehearsal or (large and large.rehearsal):
        titles.append([("rehearsal: no chemistry", "quiet")])
    if large and large.estimated:
        titles.append([("times estimated after a restart", "loud")])
    titles = titles[:rows] if rows >= 3 else titles[:1]
    return titles + [[]] * (rows - len(titles))


def _time(
    view: PlateView | None, text: str, columns: int, rows: int, blocks: lettering.Blocks, calling: bool
) -> list[Row]:
    """The time, in a shape of its own for each thing it can mean."""
    if view is None:
        return _framed([[(" " * (columns - 2), "text")]] * rows, False)
    shape = view.shape
    past_wet = view.wet is not None and view.wet.past
    options: dict[str, Any] = {"blocks": blocks, "meaning": "loud" if calling or past_wet else "text"}
    if shape in ("ready", "held", "pause", "ended", "rack"):
        options["outline"] = True
    if shape in ("lead_in", "over"):
        options["inverse"] = True
    if shape == "over":
        options["slab"] = columns - 2
    time_rows = lettering.rows(text, columns - 2, rows, **options)
    if shape in ("held", "pause"):
        time_rows = [_barred(row, columns - 2, index) for index, row in enumerate(time_rows)]
    return _framed(time_rows, calling)


def _barred(row: Row, columns: int, index: int) -> Row:
    """Bars at both sides: the clock goes on, but nothing will happen by itself."""
    bar = max(2, columns // 16)
    bar_meaning = "frame" if index % 2 == 0 else "text"
    inner: Row = []
    skip, keep = bar, columns - 2 * bar
    for text, meaning in row:
        cut = text[skip:] if skip < len(text) else ""
        skip = max(0, skip - len(text))
        cut = cut[:keep]
        keep -= len(cut)
        if cut:
            inner.append((cut, meaning))
    return [(" " * bar, bar_meaning), *inner, (" " * bar, bar_meaning)]


def _how_far(view: PlateView | None, columns: int) -> Row:
    """One line across the whole width: how far the stage is; past wet it says so."""
    if view is None:
        return fill([], columns)
    if view.wet is not None and view.wet.past:
        return fill([(f" PAST WET {show_elapsed(-view.wet.left)} ".center(columns), "reversed")], columns)
    fraction = view.fraction
    if fraction is None:
        return fill([("·" * columns, "line")], columns)
    full = round(max(0.0, min(1.0, fraction)) * columns)
    return [(" " * full, "frame"), ("·" * (columns - full), "line")]


def _do(view: BenchView, status: BenchStatus, columns: int, rows: int) -> list[Row]:
    """What to do, then what comes next; briefly a refusal stands for the one, an answer for the other."""
    large = view.large
    if large is None:
        row: Row = [("Escape for the menu: a new plate, or one from the rack.", "text")]
        if status.answer is not None and not status.answer_good:
            row = [(f" {status.answer} ", "reversed")]
        return [fill(row, columns)] + [fill([], columns)] * (rows - 1)
    then_row: Row = [(large.then or "", "quiet")]
    first_rows: list[Row] = [
        [(line, "loud" if large.calling is not None else "text")] for line in wrap(large.do, columns)
    ]
    if status.answer is not None and not status.answer_good:
        first_rows = [[(f" {status.answer} ", "reversed")]]
    elif status.answer is not None:
        then_row = [(status.answer, "text")]
        if rows == 1:
            return [fill(then_row, columns)]
    if rows == 1:
        first: Row = first_rows[0] if len(first_rows) == 1 else [(large.do, first_rows[0][0][1])]
        fits = sum(width(text) for text, _ in (*first, *then_row)) < columns
        return [spread(first, then_row if fits else [], columns)]
    do_rows = [fill(row, columns) for row in (*first_rows, then_row)][:rows]
    return do_rows + [fill([], columns)] * (rows - len(do_rows))


def _measures(view: PlateView | None, columns: int) -> Row:
    """Whose temperature, its value, where it is from, the time it gives; at the right what stays wet."""
    if view is None:
        return fill([], columns)
    source = view.source or "room"
    assumed = view.celsius_from == "assumed"
    text = f"{source} {view.celsius:.1f} °C"
    origin_text = " assumed" if assumed else "" if view.celsius_from == "hand" else f" {view.celsius_from}"
    left: Row = [(text, "loud" if view.outside else "text"), (origin_text, "quiet")]
    if view.outside:
        left.append((" outside its range", "loud"))
    if view.gives is not None:
        left.append((f"  gives {show_elapsed(round(view.gives))}", "text"))
        if view.stage.wash is not None:
            left.append((", an estimate", "quiet"))
    if endings.of(view.stage).opens_lens and view.exposure:
        left = [(f"exposure {view.exposure}", "text"), (f"  {view.strips}" if view.strips else "", "quiet")]
    needed: Row = [(view.needs, "text")] if view.needs and view.wet is None else []
    return spread(left, needed or _wet(view.wet), columns)


def _wet(wet: WetView | None) -> Row:
    if wet is None:
        return []
    if wet.past:
        return [(f" past wet {show_elapsed(-wet.left)} ", "reversed")]
    if wet.back_now:
        return [(f" back now: wet {show_left(wet.left)} ", "reversed")]
    return [(f"wet {show_left(wet.left)}", "loud" if wet.left <= 120 else "text")]


def _tiny(view: BenchView, status: BenchStatus, columns: int, rows: int) -> list[Row]:
    """A screen too small for lettering still tells what matters, the most needed first."""
    large = view.large
    tiny_rows: list[Row] = [[("red next" if view.red_next else LIGHT_SENTENCE[view.light], "loud")]]
    do = "Escape for the menu."
    if large is not None:
        do = large.do
        shape = {"over": "over ", "held": "held ", "ready": "ready ", "pause": "cap on "}.get(large.shape, "")
        text = f"{large.number or '+'} {large.stage.shown} {shape}{time_text(large)}"
        tiny_rows.append([(text, "reversed" if large.calling is not None else "text")])
        tiny_rows += [row for row in [_wet(large.wet)] if row]
    if status.unsaved:
        tiny_rows.append([(f"not saved: {', '.join(status.unsaved)}", "reversed")])
    if status.answer is not None and not status.answer_good:
        tiny_rows += [[(line, "reversed")] for line in wrap(status.answer, columns)]
    elif status.answer is not None:
        tiny_rows += [[(line, "text")] for line in wrap(status.answer, columns)]
    else:
        tiny_rows += [[(line, "text")] for line in wrap(do, columns)]
    tiny_rows += [[rail_entry(other)] for other in view.rail]
    return [fill(line, columns) for line in tiny_rows[:rows]] + [fill([], columns)] * (rows - len(tiny_rows))
