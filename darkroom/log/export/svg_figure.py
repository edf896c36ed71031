"""A picture of several plates as inline SVG: it needs no script and no style sheet, and tells itself to a
screen reader. Pure."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from darkroom.log.export.markup import escape
from darkroom.log.export.svg_shapes import GREY, INK, LOOKS, RED, rect, text
from darkroom.log.trends.figures import Picture
from darkroom.log.trends.scales import Scale
from darkroom.process.text.plain_text import plain

WIDTH, HEIGHT = 460.0, 272.0
_RIGHT, _TOP, _BOTTOM = 448.0, 26.0, 222.0
_MARGIN, _NAMED = 56.0, 150.0
"""The room left of the frame for figures, and for words."""
LONGEST = 22
"""A word beside the frame has no more signs."""
SIZES = (2.2, 3.2, 4.2, 5.2)
"""Radii of a dot: for 1, 2 to 9, 10 to 99 and more plates at one place."""


def drawn(picture: Picture, number: int) -> str:
    """Return the SVG; `number` makes its ids unique on the page."""
    left = _NAMED if picture.up.unit == "names" else _MARGIN
    parts = [
        f'<svg class="chart" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:g} {HEIGHT:g}" '
        'font-family="Helvetica, Arial, sans-serif" font-size="11" role="img" '
        f'aria-labelledby="trend{number}" aria-describedby="trend{number}d">',
        f'<title id="trend{number}">{escape(plain(_title(picture)))}</title>',
        f'<desc id="trend{number}d">{escape(plain(_told(picture)))}</desc>',
        *_frame(picture, left), *_shapes(picture, left), "</svg>",
    ]  # fmt: skip
    return "\n".join(parts)


def _title(picture: Picture) -> str:
    return picture.title + (f", {picture.about}" if picture.about else "")


def _told(picture: Picture) -> str:
    axes = f"Across: {picture.across.label}; upwards: {picture.up.label}."
    return " ".join([axes, _legend(picture) + ".", "; ".join(picture.says) + "."])


def _legend(picture: Picture) -> str:
    said = ["dots: plates" if picture.points else ""]
    said.append(f"line: {picture.line_name}" if picture.line else "")
    said.append(f"red bars: {picture.mark_name}" if picture.marks else "")
    said.append(f"thin lines: {picture.span_name}" if picture.spans else "")
    return "; ".join(one for one in said if one)


def _x(axis: Scale, value: float, left: float) -> float:
    return round(left + axis.place(value) * (_RIGHT - left), 2)


def _y(axis: Scale, value: float) -> float:
    return round(_BOTTOM - axis.place(value) * (_BOTTOM - _TOP), 2)


def _frame(picture: Picture, left: float) -> Iterator[str]:
    yield rect("frame", left, _TOP, _RIGHT - left, _BOTTOM - _TOP)
    for value, said in picture.up.ticks(6):
        y, words = _y(picture.up, value), plain(said)
        yield _line("grid", left, y, _RIGHT, y)
        yield text("name", left - 6, y + 4, words if len(words) <= LONGEST else words[: LONGEST - 1] + "…")
    for value, words in picture.across.ticks(7):
        x = _x(picture.across, value, left)
        yield _line("grid", x, _BOTTOM, x, _BOTTOM + 4)
        yield text("tick", x, _BOTTOM + 16, words)
    yield text("took", 4, 12, plain(picture.up.label))
    yield text("tick", (left + _RIGHT) / 2, _BOTTOM + 30, plain(picture.across.label))
    yield text("tick", (left + _RIGHT) / 2, HEIGHT - 5, _legend(picture))


def _shapes(picture: Picture, left: float) -> Iterator[str]:
    kind = "span" if picture.marks else "sign"
    for (x0, y0), (x1, y1) in picture.spans:
        begin, end = _x(picture.across, x0, left), _x(picture.across, x1, left)
        yield _line(kind, begin, _y(picture.up, y0), end, _y(picture.up, y1))
    places = Counter[tuple[float, float]]()
    for x, y, plates in picture.points:
        places[_x(picture.across, x, left), _y(picture.up, y)] += plates
    for (x, y), plates in places.items():
        size = SIZES[min(len(str(plates)) - (plates == 1), len(SIZES) - 1)]
        yield f'<circle class="plate" cx="{x:g}" cy="{y:g}" r="{size:g}" fill="{INK}" fill-opacity="0.6"/>'
    if picture.line:
        at = " ".join(f"{_x(picture.across, x, left):g},{_y(picture.up, y):g}" for x, y in picture.line)
        yield f'<polyline class="law" fill="none" stroke="{RED}" stroke-width="1.6" points="{at}"/>'
    for x, y in picture.marks:
        yield f'<rect class="mark" fill="{RED}" x="{_x(picture.across, x, left) - 2:g}" ' \
              f'y="{_y(picture.up, y) - 6:g}" width="4" height="12"/>'  # fmt: skip


def _line(kind: str, x1: float, y1: float, x2: float, y2: float) -> str:
    look = f'stroke="{GREY}"' if kind == "span" else LOOKS[kind]
    return f'<line class="{kind}" {look} x1="{x1:g}" y1="{y1:g}" x2="{x2:g}" y2="{y2:g}"/>'
