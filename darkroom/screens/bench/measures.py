"""Whose temperature, its value, where it is from, the time it gives; at the right the second time."""

from __future__ import annotations

from darkroom.bench import endings
from darkroom.bench.view import BenchView, PlateView
from darkroom.process.text.durations import show_elapsed
from darkroom.screens.bench.rail import BenchStatus, sentence_pages
from darkroom.screens.widgets.plate_summary import second_time
from darkroom.screens.widgets.rows import Row, spread, width


def measures_row(view: BenchView, status: BenchStatus, columns: int, *, with_cautions: bool) -> Row:
    """Return the row; cautions to tell have it for themselves, in turn, but for the second time."""
    large = view.large
    beware = cautions(view) if with_cautions else []
    if beware:
        second = second_time(large) if large is not None else []
        room = columns - sum(width(text) for text, _ in second) - (2 if second else 0)
        pages = [line for text in beware for (line,) in sentence_pages(text, max(8, room))]
        return spread([(pages[status.caution_page % len(pages)], "loud")], second, columns)
    right = _right(large) if large is not None else []
    return spread(_left(large) if large is not None else [], right, columns)


def _right(view: PlateView) -> Row:
    """The second time, or before there is one the wet time against what the rest will need."""
    if view.needs and view.wet is None:
        return [(view.needs, "text")]
    return second_time(view)


def _left(view: PlateView) -> Row:
    if endings.of(view.stage).opens_lens and view.exposure:
        return [(f"exposure {view.exposure}", "text"), (f"  {view.strips}" if view.strips else "", "quiet")]
    origin = view.celsius_from
    text = f"{view.source or 'room'} {view.celsius:.1f} °C"
    left: Row = [(text, "loud" if view.outside else "text")]
    if origin != "hand":
        left.append((f" {origin}", "quiet"))
    if view.outside:
        left.append((" outside its range", "loud"))
    if view.gives is not None:
        left.append((f"  gives {show_elapsed(round(view.gives))}", "text"))
        if view.stage.wash is not None:
            left.append((", an estimate", "quiet"))
    return left


def cautions(view: BenchView) -> list[str]:
    """Return what to beware of: what clashes on the bench, cyanide, the next step of the large plate."""
    texts = list(view.clashes)
    if view.cyanide:
        texts.append("Cyanide on the bench: no acid near it. Never alone, not in a closed dark box.")
    if view.large is not None:
        texts += view.large.cautions
    return texts
