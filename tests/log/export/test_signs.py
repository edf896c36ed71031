"""The signs below a drawn time line: none stands on another."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest

from darkroom.bench import events as ev
from darkroom.log.export.svg_time_line import SIGN_LETTER, SIGN_ROW, SIGN_ROWS, drawing
from tests.kit.plates import forgotten, told

SVG = "{http://www.w3.org/2000/svg}"


def _with_marks(count: int, apart: float) -> list[ev.AnyEvent]:
    """Return a plate's lines with so many marks during its drain, so many seconds apart."""
    lines: list[ev.AnyEvent] = list(forgotten())
    n = max(line.n for line in lines)
    at = next(line.at for line in lines if line.up == 240.0)
    return [
        *lines,
        *(ev.Mark(n=n + number, at=at, up=300.0 + apart * number) for number in range(1, count + 1)),
    ]


@pytest.mark.parametrize(("count", "apart"), [(3, 0.5), (14, 2.0), (40, 1.0)])
def test_signs_that_fall_together_stand_below_each_other(home: Path, count: int, apart: float) -> None:
    """In as many rows as it takes; beyond those a sign is its line alone, and the drawing grows with them."""
    picture = ElementTree.fromstring(drawing(told(home, _with_marks(count, apart))))
    lines = [line for line in picture.iter(f"{SVG}line") if line.get("class") == "sign"]
    bottom = float(lines[0].get("y2", ""))
    signs = [
        (float(text.get("y", "")), float(text.get("x", "")), text.text or "")
        for text in picture.iter(f"{SVG}text")
        if text.get("class") == "tick" and float(text.get("y", "")) > bottom + 20
    ]
    assert len(lines) == count + 2
    rows = sorted({y for y, _, _ in signs})
    assert rows == [bottom + 25 + SIGN_ROW * row for row in range(len(rows))] and len(rows) <= SIGN_ROWS
    for y in rows:
        placed = sorted((x, text) for row, x, text in signs if row == y)
        for (x, text), (next_x, next_text) in pairwise(placed):
            assert x + SIGN_LETTER * len(text) / 2 < next_x - SIGN_LETTER * len(next_text) / 2
    height = float((picture.get("viewBox") or "").split()[-1])
    frame = next(rect for rect in picture.iter(f"{SVG}rect") if rect.get("class") == "frame")
    assert rows[-1] < float(frame.get("y", "")) < height
