"""A thermometer may have any name: no sign of it moves the terminal or turns the writing around."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest

from darkroom.bench import events as ev
from darkroom.screens.log_plate.screen import page
from tests.kit.plates import SIZES, forgotten, texts, told


@pytest.mark.parametrize("columns", SIZES)
@pytest.mark.parametrize("name", ["\x1b[31mbath", "ba\nth", "\u202ebath"])
def test_a_thermometers_name_is_words_alone(home: Path, name: str, columns: int) -> None:
    """Escapes, line ends and signs of direction in a name stay out of every row of the plate's page."""
    lines = [
        msgspec.structs.replace(line, from_=name) if isinstance(line, ev.Temperature) else line
        for line in forgotten()
    ]
    rows = texts(page(told(home, lines), columns))
    assert all(row.isprintable() for row in rows)
    assert any("th" in row and "bath" in row for row in rows)
