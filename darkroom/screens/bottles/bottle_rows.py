"""One bottle's page as rows: what it is, what is due, its life, every line of it. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import tzinfo

from darkroom.event_base import Newer
from darkroom.process.text.plain_text import plain
from darkroom.screens.bottles.life_rows import life
from darkroom.screens.bottles.short_words import day_text, moment_text
from darkroom.screens.log_plate.plate_text import heading
from darkroom.screens.widgets.rows import Row, clip, width
from darkroom.screens.widgets.wrapped_text import facts, wrapped
from darkroom.solutions.bottle import Bottle
from darkroom.solutions.bottle_account import Account
from darkroom.solutions.bottle_strength import strength_text
from darkroom.solutions.bottle_words import (
    DAY,
    TREATED,
    age_text,
    line_words,
    plates_text,
    volume_text,
)
from darkroom.solutions.care import Due
from darkroom.solutions.events import BottleEntry, BottleEvent
from darkroom.solutions.joining import NotKnown
from darkroom.solutions.uses import WHOLE_PLATE, Tally, Use

COUNTED_SINCE = ("opened", "filtered", "sunned", "topped_up", "boiled_down")
"""What the plates are counted from, besides the making."""
WIDEST = 110
"""The lines of the book are no wider, in cells, so that the eye finds the place at their end."""
MOMENT = 18
"""The cells of what stands before a line: its day and minute."""
MOST_UNKNOWN = 5
"""So many plates whose bottle is not known are named; more of them are counted."""


def page(
    bottle: Bottle,
    told: Account,
    uses: Sequence[Use],
    dues: Sequence[Due],
    unknown: Sequence[NotKnown],
    names: Mapping[str, str],
    now: float,
    zone: tzinfo,
    columns: int,
    bench: str = "",
    *,
    whole: bool = True,
) -> list[Row]:
    """Return all rows of the page, of any number; none is longer than `columns` cells, from 30 on.

    `told` is its account; `uses`, `dues` and `unknown` are those of this bottle, `names` those of all bottles
    by their ids; days are those of `zone`. A line of this `bench` has its number alone as its place. It
    is not `whole` while the plates are still to be read.
    """
    return [
        *_facts(bottle, told, now, zone, columns, whole),
        *facts([("due", "; ".join(one.says for one in dues if one.now))], columns, "loud"),
        *heading("Its life"),
        *life(bottle, uses, now, zone, columns, whole=whole),
        *_dues(dues, now, zone, columns),
        *_unknown(unknown, columns),
        *_problems(bottle, columns),
        *_lines(bottle, names, columns, bench),
    ]


def _facts(
    bottle: Bottle, told: Account, now: float, zone: tzinfo, columns: int, whole: bool
) -> Iterator[Row]:
    content = [
        bottle.what,
        bottle.recipe and f"recipe {bottle.recipe}",
        bottle.batch and f"batch {bottle.batch}",
    ]
    made = f"{day_text(bottle.made, zone)}, {age_text(now - bottle.made)}"
    made += " ago" if now >= bottle.made else " ahead of this clock"
    band = told.band
    pairs: list[tuple[str, str | None]] = [
        ("content", ", ".join(text for text in content if text)),
        ("state", _state(bottle, now, zone)),
        ("made", made),
        ("age", None if band is None else f"{band.word}: {band.says} ({band.source})"),
        ("holds", None if bottle.volume is None else volume_text(bottle.volume)),
        *_strength(bottle, told),
        ("plates", _amount(told.plates) if told.plates.plates else "none yet" if whole else "being read …"),
        *(_since(told, zone) if told.plates.plates else ()),
    ]
    if told.silver:
        text = f"plates carried out about {told.silver:.2g} g of silver nitrate (an estimate)"
        pairs.append(("silver", text))
    yield from facts(pairs, columns)


def _strength(bottle: Bottle, told: Account) -> Iterator[tuple[str, str]]:
    if told.strength is not None:
        yield "strength", strength_text(told.strength)
        yield " ", told.strength.basis
    elif bottle.what == "bath":
        yield "strength", "not known: measure it"


def _since(told: Account, zone: tzinfo) -> Iterator[tuple[str, str]]:
    for did, (instant, count) in told.since.items():
        if did in COUNTED_SINCE:
            words = TREATED.get(did, did).replace("_", " ")
            yield "since", f"{words} {day_text(instant, zone)}: {_amount(count, whole=False)}"


def _state(bottle: Bottle, now: float, zone: tzinfo) -> str:
    state = bottle.state(now)
    if state == "ripening":
        ripe = bottle.made + (bottle.ripens or 0.0) * DAY
        return f"ripening until {day_text(ripe, zone)}, or until it is opened"
    return state


def _amount(count: Tally, *, whole: bool = True) -> str:
    """Return plates and their area: "38 plates, 8 of unknown size, 9,120 cm² (26 whole plates)"."""
    text = plates_text(count)
    if not count.area:
        return text
    text += f", {count.area:,.0f} cm²"
    return f"{text} ({count.area / WHOLE_PLATE:,.0f} whole plates)" if whole else text


def _dues(dues: Sequence[Due], now: float, zone: tzinfo, columns: int) -> Iterator[Row]:
    """Yield the cares that are due and those that will be, with what is counted."""
    shown = [one for one in dues if one.now or one.basis]
    if not shown:
        return
    yield from heading("What is due")
    for one in shown:
        yield from facts([(_when(one, now, zone), one.says)], columns, "loud" if one.now else "text")
        further = [one.basis]
        if one.now:
            further += [f"first: {one.test}" if one.test else "", *one.cautions]
        for text in further:
            if text:
                yield from facts([(" ", text)], columns, "text" if one.now else "quiet")


def _when(one: Due, now: float, zone: tzinfo) -> str:
    """Return when a care is due, in ten cells: "now", "in 20 h", "in 39 days", "Mar 2027"."""
    if one.now:
        return "now"
    if one.postponed is not None:
        return "put off"
    if one.due is None:
        return "later"
    ahead = max(0.0, one.due - now)
    if ahead < 2 * DAY:
        return f"in {int(ahead // 3600)} h"
    return f"in {int(ahead // DAY)} days" if ahead < 100 * DAY else day_text(one.due, zone).partition(" ")[2]


def _unknown(unknown: Sequence[NotKnown], columns: int) -> Iterator[Row]:
    """Yield the plates that name a bottle so called, and which one is not known."""
    if not unknown:
        return
    yield from heading("Plates of which it is not known")
    for one in unknown[-MOST_UNKNOWN:]:
        yield from facts([(f"plate {one.number}", f"{one.role} {one.name}: {one.why}")], columns)
    if len(unknown) > MOST_UNKNOWN:
        yield from facts([(" ", f"and {len(unknown) - MOST_UNKNOWN:,} more")], columns)


def _problems(bottle: Bottle, columns: int) -> Iterator[Row]:
    if bottle.problems:
        yield from heading("What does not fit together")
        for problem in bottle.problems:
            yield from ([(text, "loud")] for text in wrapped(problem, columns))


def _lines(bottle: Bottle, names: Mapping[str, str], columns: int, bench: str) -> Iterator[Row]:
    """Yield every line of the book, the newest first; those that do not count are marked."""
    yield from heading("Its lines, the newest first")
    withdrawn = {id(entry) for entry in bottle.withdrawn}
    entries = sorted(
        (*bottle.entries, *bottle.withdrawn),
        key=lambda entry: (entry.instant, entry.bench, entry.event.n),
        reverse=True,
    )
    lines = {entry.place: entry.event for entry in entries}
    for entry in entries:
        place = str(entry.event.n) if entry.bench == bench else plain(entry.place)
        yield from line_rows(entry, place, lines, names, columns, counts=id(entry) not in withdrawn)


def line_rows(
    entry: BottleEntry,
    place: str,
    lines: Mapping[str, BottleEvent | Newer],
    names: Mapping[str, str],
    columns: int,
    *,
    counts: bool,
) -> Iterator[Row]:
    """Yield a line of the book: when, what happened, and at the right end the place of its line.

    `lines` are all lines of the bottle by their places.
    """
    text = plain(line_words(entry.event, lines, names))
    if not counts:
        text = f"does not count: {text}"
    kind = "text" if counts else "quiet"
    moment = clip(plain(moment_text(entry.happened)), MOMENT - 1)
    lead = moment + " " * (MOMENT - width(moment))
    room = max(8, min(columns, WIDEST) - MOMENT)
    beside = room - width(place) - 2
    shown = wrapped(text, beside if beside >= 24 else room)
    for number, words in enumerate(shown):
        row: Row = [(" " * MOMENT if number else lead, "quiet"), (words, kind)]
        if not number and beside >= 24:
            row.append((" " * (beside - width(words) + 2) + place, "quiet"))
        yield row
