"""A picture of several plates as inline SVG: it needs no script and no style sheet, and tells itself to a
screen reader. Pure."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from markupsafe import Markup

from darkroom.log.export.svg_shapes import attribute, circle, element, line, polyline, rect, svg, text, words
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


def drawn(picture: Picture, number: int) -> Markup:
    """Return the SVG; `number` makes its ids unique on the page."""
    left = _NAMED if picture.up.unit == "names" else _MARGIN
    parts = [
        element("title", attribute("id", f"trend{number}"), words(plain(_title(picture)))),
        element("desc", attribute("id", f"trend{number}d"), words(plain(_description(picture)))),
        *_frame(picture, left),
        *_shapes(picture, left),
    ]
    labels = {"aria_labelledby": f"trend{number}", "aria_describedby": f"trend{number}d"}
    return svg("chart", WIDTH, HEIGHT, parts, **labels)


def _title(picture: Picture) -> str:
    return picture.title + (f", {picture.about}" if picture.about else "")


def _description(picture: Picture) -> str:
    axes = f"Across: {picture.across.label}; upwards: {picture.up.label}."
    return " ".join([axes, _legend(picture) + ".", "; ".join(picture.says) + "."])


def _legend(picture: Picture) -> str:
    legends = ["dots: plates" if picture.points else ""]
    legends.append(f"line: {picture.line_name}" if picture.line else "")
    legends.append(f"red bars: {picture.mark_name}" if picture.marks else "")
    legends.append(f"thin lines: {picture.span_name}" if picture.spans else "")
    legends.append("letters: what changed" if picture.signs else "")
    return "; ".join(filter(None, legends))


def _x(axis: Scale, value: float, left: float) -> float:
    return round(left + axis.place(value) * (_RIGHT - left), 2)


def _y(axis: Scale, value: float) -> float:
    return round(_BOTTOM - axis.place(value) * (_BOTTOM - _TOP), 2)


def _frame(picture: Picture, left: float) -> Iterator[str]:
    yield rect("frame", left, _TOP, _RIGHT - left, _BOTTOM - _TOP)
    for value, name in picture.up.ticks(6):
        y, label = _y(picture.up, value), plain(name)
        yield line("grid", left, y, _RIGHT, y)
        yield text("name", left - 6, y + 4, label if len(label) <= LONGEST else label[: LONGEST - 1] + "…")
    for value, label in picture.across.ticks(7):
        x = _x(picture.across, value, left)
        yield line("grid", x, _BOTTOM, x, _BOTTOM + 4)
        yield text("tick", x, _BOTTOM + 16, label)
    yield text("took", 4, 12, plain(picture.up.label))
    yield text("tick", (left + _RIGHT) / 2, _BOTTOM + 30, plain(picture.across.label))
    yield text("tick", (left + _RIGHT) / 2, HEIGHT - 5, _legend(picture))


def _shapes(picture: Picture, left: float) -> Iterator[str]:
    kind = "span" if picture.marks else "sign"
    for (x0, y0), (x1, y1) in picture.spans:
        begin, end = _x(picture.across, x0, left), _x(picture.across, x1, left)
        yield line(kind, begin, _y(picture.up, y0), end, _y(picture.up, y1))
    places = Counter[tuple[float, float]]()
    for x, y, plates in picture.points:
        places[_x(picture.across, x, left), _y(picture.up, y)] += plates
    for (x, y), plates in places.items():
        size = SIZES[min(len(str(plates)) - (plates == 1), len(SIZES) - 1)]
        yield circle("plate", x, y, size)
    for value, sign in picture.signs:
        x = _x(picture.across, value, left)
        yield line("sign", x, _TOP, x, _BOTTOM)
        yield text("took", x - 3, _TOP - 3, sign)
    if picture.line:
        yield polyline("law", ((_x(picture.across, x, left), _y(picture.up, y)) for x, y in picture.line))
    for x, y in picture.marks:
        across, up = _x(picture.across, x, left) - 2, _y(picture.up, y) - 6
        yield rect("mark", across, up, 4, 12)
