"""The few shapes of a drawing, as SVG that needs no style sheet. Pure text."""

from __future__ import annotations

from darkroom.log.export.markup import escape

INK, GREY, RED = "#1c1a19", "#5b5450", "#8c1c13"
HUES = (RED, "#1d4e6b", "#3b6e22", "#6b4a8c", "#7a5a00")
"""Colours of traces; each trace carries its name too."""
LOOKS = {
    "plan": f'fill="#ffffff" stroke="{GREY}"',
    "usual": 'fill="#b9b0a8"',
    "seen": f'fill="{INK}" stroke="{INK}"',
    "called": f'fill="#b9b0a8" stroke="{INK}"',
    "told": f'fill="#ffffff" stroke="{INK}" stroke-dasharray="3 2"',
    "past": f'fill="{RED}" stroke="{RED}"',
    "grid": 'stroke="#e4dfda"',
    "break": 'fill="#ffffff" stroke="#b9b0a8" stroke-dasharray="2 2"',
    "frame": 'fill="none" stroke="#b9b0a8"',
    "sign": f'stroke="{RED}" stroke-dasharray="1 3"',
    "name": f'fill="{INK}" text-anchor="end"',
    "tick": f'fill="{GREY}" text-anchor="middle"',
    "took": f'fill="{INK}"',
}
"""How each kind of mark looks, as attributes; no two kinds differ by hue alone."""


def text(kind: str, x: float, y: float, words: str, look: str | None = None) -> str:
    """Return words at a place."""
    attributes = LOOKS[kind] if look is None else look
    return f'<text class="{kind}" {attributes} x="{x:g}" y="{y:g}">{escape(words)}</text>'


def rect(kind: str, x: float, y: float, width: float, height: float) -> str:
    """Return a rectangle."""
    size = f'width="{round(width, 2):g}" height="{height:g}"'
    return f'<rect class="{kind}" {LOOKS[kind]} x="{x:g}" y="{y:g}" {size}/>'


def upright(kind: str, x: float, top: float, bottom: float) -> str:
    """Return a line from top to bottom."""
    return f'<line class="{kind}" {LOOKS[kind]} x1="{x:g}" y1="{top:g}" x2="{x:g}" y2="{bottom:g}"/>'


def trace(hue: str, points: str, broken: bool) -> str:
    """Return a run of lines; a broken one stands for what was assumed."""
    kind, dash = ("trace assumed", ' stroke-dasharray="4 4"') if broken else ("trace", "")
    return f'<polyline class="{kind}" fill="none" stroke="{hue}" stroke-width="1.6"{dash} points="{points}"/>'
