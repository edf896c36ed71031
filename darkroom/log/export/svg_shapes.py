"""The few shapes of a drawing, as SVG that needs no style sheet. Pure.

A shape is its markup as text: a report has a hundred of them a plate. Every word of a person goes through
`words` or `attribute`; all else in a shape is a number or a name of this module.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from xml.sax.saxutils import escape

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
    "span": {"stroke": GREY},
    "name": {"fill": INK, "text-anchor": "end"},
    "tick": {"fill": GREY, "text-anchor": "middle"},
    "took": {"fill": INK},
    "plate": {"fill": INK, "fill-opacity": "0.6"},
    "law": {"fill": "none", "stroke": RED, "stroke-width": "1.6"},
    "mark": {"fill": RED},
}
"""How each kind of mark looks, as attributes; no two kinds differ by hue alone."""
_AS_ATTRIBUTE = {'"': "&quot;", "\r": "&#13;", "\n": "&#10;", "\t": "&#09;"}


def words(text: str) -> str:
    """Return words as they stand between tags."""
    return escape(legal(text))


SHORT = 32
"""Words of so many letters are kept as they stand in a drawing: durations and names are on every plate."""
_words_often = lru_cache(4096)(words)


def attribute(name: str, text: str) -> str:
    """Return an attribute with the space before it; an underscore in its name is a hyphen."""
    return f' {name.replace("_", "-")}="{escape(legal(text), _AS_ATTRIBUTE)}"'


def _begun(kind: str, look: dict[str, str]) -> str:
    return attribute("class", kind) + "".join(attribute(name, value) for name, value in look.items())


_BEGUN = {kind: _begun(kind, look) for kind, look in LOOKS.items()}
"""The attributes with which a shape of each kind begins."""


def element(tag: str, attributes: str, content: str) -> str:
    """Return an element; without `content`, which is markup, it closes itself."""
    return f"<{tag}{attributes}>{content}</{tag}>" if content else f"<{tag}{attributes} />"


def text(kind: str, x: float, y: float, content: str, hue: str | None = None) -> str:
    """Return text at a place, as its kind looks or in a hue."""
    begun = _BEGUN[kind] if hue is None else f' class="{kind}" fill="{hue}"'
    if not content:
        return f'<text{begun} x="{x:g}" y="{y:g}" />'
    inside = _words_often(content) if len(content) <= SHORT else words(content)
    return f'<text{begun} x="{x:g}" y="{y:g}">{inside}</text>'


def rect(kind: str, x: float, y: float, width: float, height: float) -> str:
    """Return a rectangle."""
    return f'<rect{_BEGUN[kind]} x="{x:g}" y="{y:g}" width="{round(width, 2):g}" height="{height:g}" />'


def bar(kind: str, x: float, width: float, y: float, height: float) -> str:
    """Return a rectangle as `rect` does, at a height where many stand: what it shares with them is kept."""
    begun, middle, ended = _bar_pieces(kind, y, height)
    return f"{begun}{x:g}{middle}{round(width, 2):g}{ended}"


@lru_cache(1024)
def _bar_pieces(kind: str, y: float, height: float) -> tuple[str, str, str]:
    return f'<rect{_BEGUN[kind]} x="', f'" y="{y:g}" width="', f'" height="{height:g}" />'


def line(kind: str, x1: float, y1: float, x2: float, y2: float) -> str:
    """Return a line."""
    return f'<line{_BEGUN[kind]} x1="{x1:g}" y1="{y1:g}" x2="{x2:g}" y2="{y2:g}" />'


def upright(kind: str, x: float, top: float, bottom: float) -> str:
    """Return a line from top to bottom."""
    return line(kind, x, top, x, bottom)


def circle(kind: str, x: float, y: float, radius: float) -> str:
    """Return a dot."""
    return f'<circle{_BEGUN[kind]} cx="{x:g}" cy="{y:g}" r="{radius:g}" />'


def polyline(kind: str, points: Iterable[tuple[float, float]]) -> str:
    """Return a run of lines through (x, y)."""
    places = " ".join(f"{x:g},{y:g}" for x, y in points)
    return f'<polyline{_BEGUN[kind]} points="{places}" />'


def trace(hue: str, points: str, broken: bool) -> str:
    """Return a run of lines; a broken one stands for what was assumed."""
    kind, dash = ("trace assumed", ' stroke-dasharray="4 4"') if broken else ("trace", "")
    return (
        f'<polyline class="{kind}" fill="none" stroke="{hue}" stroke-width="1.6"{dash} points="{points}" />'
    )


def svg(kind: str, width: float, height: float, parts: Iterable[str], **labels: str) -> Markup:
    """Return a drawing, a part a line; `labels` say what it shows (`aria_label` and the like)."""
    told = "".join(attribute(name, label) for name, label in labels.items())
    begun = (
        f'<svg class="{kind}" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}" '
        f'font-family="Helvetica, Arial, sans-serif" font-size="11" role="img"{told}>'
    )
    return Markup("\n".join((begun, *parts, "</svg>")))
