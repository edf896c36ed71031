"""The bench as rows of text: a function of the snapshot, the size of the screen and nothing else.

From top to bottom: plate and light, the stage, the time, how far, what to do, temperature and wet
clock, the other plates, the keys. A row is a list of (text, meaning) spans that fill the width;
`darkroom.screens.red` gives each meaning its red.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from darkroom.bench import words
from darkroom.bench.view import BenchView, PlateView, WetView
from darkroom.screens import lettering

Span = tuple[str, str]
Row = list[Span]

LIGHT_WORDS = {"white": "ROOM LIGHT", "red": "SAFELIGHT", "covered": "COVERED"}
LEAST_WORD = 3
"""The stage's name takes a fifth of the rows at most, and at least this many."""
LIGHT_SENTENCE = {
    "white": "room light is safe",
    "red": "safelight only",
    "covered": "plate covered, keep it shut",
}


@dataclass(frozen=True, slots=True)
class Around:
    """What the face shows besides the plates: the last answer, saving, sound, keys."""

    answer: str | None = None
    answer_good: bool = True
    unsaved: tuple[str, ...] = ()
    notice: str | None = None
    keys: tuple[tuple[str, str], ...] = ()
    rehearsal: bool = False
    turn: int = 0
    lesson: str | None = None


@dataclass(frozen=True, slots=True)
class Plan:
    """How many rows each zone has."""

    top: int
    word: int
    digits: int
    do: int
    rail: int
    gaps: tuple[int, int, int]


def plan(columns: int, rows: int, digits_text: str, word: str) -> Plan:
    """Return the heights of the zones for a screen of this size."""
    digits = lettering.digit_rows(columns, rows, digits_text)
    tall = max(LEAST_WORD, min(lettering.word_rows(columns, rows, word), rows // 5))
    top = max(3, rows // 10)
    do = 2 if rows >= 30 else 1
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
    view: BenchView, around: Around, columns: int, rows: int, *, blocks: lettering.Blocks = "half"
) -> list[Row]:
    """Return the rows of the bench, `rows` of them, each `columns` cells wide."""
    if columns < 40 or rows < 12:
        return _tiny(view, columns, rows)
    large = view.large
    digits_text = time_text(large) if large else "0:00"
    word = stage_word(large) if large else "EMPTY"
    zones = plan(columns, rows, digits_text, word)
    calling = large is not None and (large.calling is not None or large.shape in ("over", "held"))
    found: list[Row] = []
    found += _top(view, around, columns, zones.top, blocks)
    found += _gap(columns, zones.gaps[0], calling)
    found += _framed(
        lettering.rows(word, columns - 2, zones.word, blocks=blocks, meaning="loud" if calling else "text"),
        calling,
    )
    found += _gap(columns, zones.gaps[1], calling)
    found += _time(large, digits_text, columns, zones.digits, blocks, calling)
    found += _gap(columns, zones.gaps[2], False)
    found.append(_how_far(large, columns))
    found += _do(view, around, columns, zones.do)
    found.append(_measures(large, columns))
    found += _rail(view, around, columns, zones.rail)
    found.append(_keys(around, columns))
    return found[:rows] + [fill([], columns)] * (rows - len(found))


# --- small pieces ------------------------------------------------------------------------


def fill(spans: Row, columns: int, meaning: str = "text") -> Row:
    """Return the spans cut or padded to exactly `columns` cells."""
    found: Row = []
    left = columns
    for text, kind in spans:
        if left <= 0:
            break
        cut = clip(text, left)
        found.append((cut, kind))
        left -= width(cut)
    if left > 0:
        found.append((" " * left, meaning))
    return found


def width(text: str) -> int:
    """Return how many cells the text takes."""
    if text.isascii():
        return len(text)
    from rich.cells import cell_len

    return cell_len(text)


def clip(text: str, columns: int) -> str:
    """Return the text cut to `columns` cells, with … where something is missing."""
    if width(text) <= columns:
        return text
    if text.isascii():
        return text[: columns - 1] + "…" if columns > 1 else text[:columns]
    from rich.cells import set_cell_size

    return set_cell_size(text, columns - 1) + "…" if columns > 1 else set_cell_size(text, columns)


def spread(left: Row, right: Row, columns: int) -> Row:
    """Return one row with `left` at its left end and `right` at its right end; the left gives way."""
    right_cells = sum(width(text) for text, _ in right)
    room = max(0, columns - right_cells - (1 if right else 0))
    return fill([*fill(left, room), (" " if right else "", "text"), *right], columns)


def _gap(columns: int, rows: int, calling: bool) -> list[Row]:
    return _framed([[(" " * (columns - 2), "text")]] * rows, calling)


def _framed(rows: list[Row], calling: bool) -> list[Row]:
    edge: Span = (" ", "frame" if calling else "text")
    return [[edge, *row, edge] for row in rows]


def stage_word(view: PlateView) -> str:
    """Return the word for the large lettering."""
    if view.shape == "ended":
        return "FINISHED"
    if view.shape == "pause":
        return "CAP ON"
    return view.stage.large.upper()


def time_text(view: PlateView) -> str:
    """Return the time as it is drawn: what is left rounds up, what has gone by rounds down."""
    if view.shape in ("down", "lead_in"):
        return words.left(view.seconds) if view.shape == "down" else str(max(0, _up(view.seconds)))
    if view.shape == "ready" and view.seconds == 0:
        return "0:00"
    return words.clock(view.seconds)


def _up(seconds: float) -> int:
    whole = int(seconds)
    return whole + (1 if seconds - whole > 1e-9 else 0)


# --- the zones ---------------------------------------------------------------------------


def _top(view: BenchView, around: Around, columns: int, rows: int, blocks: lettering.Blocks) -> list[Row]:
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
    texts = _titles(view, around, rows)
    found: list[Row] = []
    for index in range(rows):
        left: Row = [*tall[index], (" ", "text"), *texts[index]] if large else [*texts[index]]
        found.append(spread(left, lamp[index], columns))
    return found


def _lamp(view: BenchView, columns: int, rows: int, blocks: lettering.Blocks) -> list[Row]:
    """The light in words: between bars when only the safelight is safe, hollow when it is covered."""
    word = LIGHT_WORDS[view.light]
    bar = max(2, rows)
    most = max(12, columns - 30)
    natural = lettering.natural_width(word, 2 * rows, 1.0) if blocks == "half" else len(word) * rows * 2
    if view.light == "red":
        cells = min(natural, most - 2 * bar - 2)
        letters = lettering.rows(word, cells, rows, blocks=blocks, meaning="loud")
        return [
            [(" " * bar, "frame"), (" ", "text"), *row, (" ", "text"), (" " * bar, "frame")]
            for row in letters
        ]
    return lettering.rows(
        word,
        min(natural, most),
        rows,
        blocks=blocks,
        outline=view.light == "covered" and rows > 4,
        align="right",
        meaning="text",
    )


def _titles(view: BenchView, around: Around, rows: int) -> list[Row]:
    large = view.large
    lines: list[Row] = []
    if large is not None:
        lines.append([(large.process, "text")])
        lines.append([(large.subject or ("rehearsal" if large.rehearsal else ""), "quiet")])
    note = "red next" if view.red_next else LIGHT_SENTENCE[view.light]
    lines.append([(note, "loud" if view.red_next else "text")])
    if around.rehearsal or (large and large.rehearsal):
        lines.append([("rehearsal: no chemistry", "quiet")])
    if large and large.estimated:
        lines.append([("times estimated after a restart", "loud")])
    lines = lines[:rows] if rows >= 3 else lines[:1]
    return lines + [[]] * (rows - len(lines))


def _time(
    view: PlateView | None, text: str, columns: int, rows: int, blocks: lettering.Blocks, calling: bool
) -> list[Row]:
    """The time, in a shape of its own for each thing it can mean."""
    if view is None:
        return _framed([[(" " * (columns - 2), "text")]] * rows, False)
    shape = view.shape
    past = view.wet is not None and view.wet.past
    options: dict[str, Any] = {"blocks": blocks, "meaning": "loud" if calling or past else "text"}
    if shape in ("ready", "held", "pause", "ended", "rack"):
        options["outline"] = True
    if shape in ("lead_in", "over"):
        options["inverse"] = True
    if shape == "over":
        options["slab"] = columns - 2
    drawn = lettering.rows(text, columns - 2, rows, **options)
    if shape in ("held", "pause"):
        drawn = [_barred(row, columns - 2, index) for index, row in enumerate(drawn)]
    return _framed(drawn, calling)


def _barred(row: Row, columns: int, index: int) -> Row:
    """Bars at both sides: the clock goes on, but nothing will happen by itself."""
    bar = max(2, columns // 16)
    kind = "frame" if index % 2 == 0 else "text"
    inner: Row = []
    skip, keep = bar, columns - 2 * bar
    for text, meaning in row:
        cut = text[skip:] if skip < len(text) else ""
        skip = max(0, skip - len(text))
        cut = cut[:keep]
        keep -= len(cut)
        if cut:
            inner.append((cut, meaning))
    return [(" " * bar, kind), *inner, (" " * bar, kind)]


def _how_far(view: PlateView | None, columns: int) -> Row:
    """One line across the whole width: how far the stage is; past wet it says so."""
    if view is None:
        return fill([], columns)
    if view.wet is not None and view.wet.past:
        return fill([(f" PAST WET {words.clock(-view.wet.left)} ".center(columns), "reversed")], columns)
    fraction = view.fraction
    if fraction is None:
        return fill([("·" * columns, "line")], columns)
    full = round(max(0.0, min(1.0, fraction)) * columns)
    return [(" " * full, "frame"), ("·" * (columns - full), "line")]


def _do(view: BenchView, around: Around, columns: int, rows: int) -> list[Row]:
    """What to do, then what comes next; a refusal stands in its place briefly."""
    large = view.large
    if large is None:
        text = "Escape for the menu: a new plate, or one from the rack."
        return [fill([(text, "text")], columns)] + [fill([], columns)] * (rows - 1)
    first: Row = [(large.do, "loud" if large.calling is not None else "text")]
    then: Row = [(large.then or "", "quiet")]
    if large.needs and large.wet is None:
        then = [(large.needs, "text"), (f"  {large.then or ''}", "quiet")]
    if around.answer is not None and not around.answer_good:
        first = [(f" {around.answer} ", "reversed")]
    if rows == 1:
        if sum(width(text) for text, _ in first) + sum(width(text) for text, _ in then) + 1 > columns:
            then = then[:1] if large.needs and large.wet is None else []
        return [spread(first, then, columns)]
    return [fill(first, columns), fill(then, columns)] + [fill([], columns)] * (rows - 2)


def _beware(view: BenchView, around: Around) -> Row:
    """The cautions of the next step and of the bench, one after the other where they are several."""
    texts = list(view.clashes)
    if view.cyanide:
        texts.append("Cyanide on the bench: no acid near it, never alone, not in a closed dark box.")
    if view.large is not None:
        texts += view.large.cautions
    return [(texts[around.turn % len(texts)], "loud")] if texts else []


def _measures(view: PlateView | None, columns: int) -> Row:
    """Whose temperature, its value, where it is from, the time it gives; the wet clock at the right."""
    if view is None:
        return fill([], columns)
    source = view.source or "room"
    assumed = view.celsius_from == "assumed"
    text = f"{source} {view.celsius:.1f} °C"
    where = " assumed" if assumed else "" if view.celsius_from == "hand" else f" {view.celsius_from}"
    left: Row = [(text, "loud" if view.outside else "text"), (where, "quiet")]
    if view.outside:
        left.append((" outside its range", "loud"))
    if view.gives is not None:
        left.append((f"  gives {words.clock(round(view.gives))}", "text"))
        if view.stage.wash is not None:
            left.append((", an estimate", "quiet"))
    if view.stage.ends == "exposure" and view.exposure:
        left = [(f"exposure {view.exposure}", "text"), (f"  {view.strips}" if view.strips else "", "quiet")]
    return spread(left, _wet(view.wet), columns)


def _wet(wet: WetView | None) -> Row:
    if wet is None:
        return []
    if wet.past:
        return [(f" past wet {words.clock(-wet.left)} ", "reversed")]
    if wet.back_now:
        return [(f" back now: wet {words.left(wet.left)} ", "reversed")]
    return [(f"wet {words.left(wet.left)}", "loud" if wet.left <= 120 else "text")]


def rail_entry(view: PlateView) -> Span:
    """Return one plate of the rail: number, stage, its time or its wet clock."""
    if view.wet is not None:
        time = "past wet" if view.wet.past else f"wet {words.left(view.wet.left)}"
    elif view.shape == "ready":
        time = "ready"
    elif view.shape == "over":
        time = f"over {words.clock(view.seconds)}"
    elif view.shape == "held":
        time = "held"
    else:
        time = time_text(view)
    text = f" {view.number or '+'} {view.stage.shown} {time} "
    urgent = view.calling is not None or (view.wet is not None and (view.wet.past or view.wet.back_now))
    return text, "reversed" if urgent else "text"


def _rail(view: BenchView, around: Around, columns: int, rows: int) -> list[Row]:
    """The other plates, calling ones reversed, and the rack's count; cautions stand in the last row."""
    entries = [rail_entry(other) for other in view.rail]
    if around.lesson is not None:
        return _lesson(around.lesson, entries, columns, rows)
    rack: Row = [(f"rack {view.rack}", "quiet")] if view.rack else []
    beware = _beware(view, around)
    room = rows - 1 if beware and rows > 1 else rows
    lines: list[Row] = [[] for _ in range(room)]
    used, line = 0, 0
    for text, meaning in entries:
        need = width(text) + 2
        if used + need > columns - (10 if line == 0 else 0):
            line, used = line + 1, 0
        if line >= room:
            break
        lines[line] += [(text, meaning), ("  ", "text")]
        used += need
    found = [spread(row, rack if index == 0 else [], columns) for index, row in enumerate(lines)]
    return found + [fill(beware, columns)] * (rows - room)


def _lesson(text: str, entries: list[Span], columns: int, rows: int) -> list[Row]:
    """The instruction of a guided rehearsal, over as many rows as it takes, the plates behind it."""
    from textwrap import wrap

    lines: list[Row] = [[(line, "loud")] for line in wrap(text, columns - 1)]
    if entries and len(lines) < rows:
        lines.append([span for entry in entries for span in (entry, ("  ", "text"))])
    return [fill(row, columns) for row in lines[:rows]] + [fill([], columns)] * (rows - len(lines))


def _keys(around: Around, columns: int) -> Row:
    """The keys that do something now, and whether everything is saved."""
    if around.unsaved:
        right: Row = [(f" not saved: {', '.join(around.unsaved)} ", "reversed")]
    elif around.notice:
        right = [(around.notice, "loud")]
    else:
        right = [("saved", "quiet")]
    room = columns - sum(width(text) for text, _ in right) - 1
    left: Row = []
    for key, label in around.keys:
        room -= width(key) + width(label) + 4
        if room < 0:
            break
        left += [(key, "text"), (f" {label}   ", "quiet")]
    return spread(left, right, columns)


def _tiny(view: BenchView, columns: int, rows: int) -> list[Row]:
    """A screen too small for lettering still tells what matters, a line each."""
    large = view.large
    texts = [LIGHT_SENTENCE[view.light]]
    if large is not None:
        texts += [f"{large.number or '+'} {large.stage.shown} {time_text(large)}", large.do]
        if large.wet is not None:
            texts.append("past wet" if large.wet.past else f"wet {words.left(large.wet.left)}")
    texts += [rail_entry(other)[0].strip() for other in view.rail]
    found = [fill([(text, "text")], columns) for text in texts[:rows]]
    return found + [fill([], columns)] * (rows - len(found))
