"""The few shapes of a drawing, as SVG that needs no style sheet. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

from markupsafe import Markup

from darkroom.process.text.plain_text import legal

INK, GREY, RED = "#1c1a19", "#5b5450", "#8c1c13"
HUES = (RED, "#1d4e6b", "#3b6e22", "#6b4a8c", "#7a5a00")
"""Colours of traces; each trace carries its name too."""
LOOKS: dict[str, dict[str, str]] = {
    "plan": {"fill": "#ffffff", "stroke": GREY},
    "usual": {"fill": "#b9b0a8"},
    "seen": {"fill": INK, "stroke": INK},
    "called": {"fill": "#b9b0a8", "stroke": INK},
    "told": {"fill": "#ffffff", "stroke": INK, "stroke-dasharray": "3 2"},
    "past": {"fill": RED, "stroke": RED},
    "grid": {"stroke": "#e4dfda"},
    "break": {"fill": "#ffffff", "stroke": "#b9b0a8", "stroke-dasharray": "2 2"},
    "frame": {"fill": "none", "stroke": "#b9b0a8"},
    "sign": {"stroke": RED, "stroke-dasharray": "1 3"},
    "name": {"fill": INK, "text-anchor": "end"},
    "tick": {"fill": GREY, "text-anchor": "middle"},
    "took": {"fill": INK},
}
"""How each kind of mark looks, as attributes; no two kinds differ by hue alone."""


def shape(
    tag: str, kind: str, look: dict[str, str], content: str | None = None, **places: float | str
) -> Element:
    """Return an element; an underscore in a name of `places` is a hyphen, numbers are written short."""
    numbers = {
        name.replace("_", "-"): value if isinstance(value, str) else f"{value:g}"
        for name, value in places.items()
    }
    element = Element(tag, {"class": kind, **look, **numbers})
    if content is not None:
        element.text = legal(content)
    return element


def text(kind: str, x: float, y: float, content: str, look: dict[str, str] | None = None) -> Element:
    """Return text at a place."""
    return shape("text", kind, LOOKS[kind] if look is None else look, content, x=x, y=y)


def rect(kind: str, x: float, y: float, width: float, height: float) -> Element:
    """Return a rectangle."""
    return shape("rect", kind, LOOKS[kind], x=x, y=y, width=round(width, 2), height=height)


def upright(kind: str, x: float, top: float, bottom: float) -> Element:
    """Return a line from top to bottom."""
    return shape("line", kind, LOOKS[kind], x1=x, y1=top, x2=x, y2=bottom)


def trace(hue: str, points: str, broken: bool) -> Element:
    """Return a run of lines; a broken one stands for what was assumed."""
    dash = {"stroke-dasharray": "4 4"} if broken else {}
    look = {"fill": "none", "stroke": hue, "stroke-width": "1.6", **dash}
    return shape("polyline", "trace assumed" if broken else "trace", look, points=points)


def svg(kind: str, width: float, height: float, parts: Sequence[Element], **labels: str) -> Markup:
    """Return a drawing, a part a line; `labels` say what it shows (`aria_label` and the like)."""
    root = Element(
        "svg",
        {
            "class": kind,
            "xmlns": "http://www.w3.org/2000/svg",
            "viewBox": f"0 0 {width:g} {height:g}",
            "font-family": "Helvetica, Arial, sans-serif",
            "font-size": "11",
            "role": "img",
            **{name.replace("_", "-"): legal(label) for name, label in labels.items()},
        },
    )
    root.text = "\n"
    for part in parts:
        part.tail = "\n"
        root.append(part)
    return markup(root)


def markup(element: Element) -> Markup:
    """Return an element as text in which everything is escaped already."""
    return Markup(ElementTree.tostring(element, encoding="unicode"))
