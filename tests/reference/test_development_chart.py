"""Time and temperature against what makers and handbooks of photography have printed."""

from __future__ import annotations

import math

import pytest

from darkroom.process import timing
from darkroom.process.model import Reference

# ILFORD PHOTO, Film development time/temperature compensation chart, April 2002: the rows with an entry in
# every column, minutes:seconds, rounded to 15 s. From a second-hand copy: the chart itself was
# not seen.
DEGREES = (18, 19, 20, 21, 22, 24, 25, 27)
ROWS = (
    "8:00 7:15 6:30 6:00 5:15 4:30 4:00 3:30",
    "9:45 8:45 8:00 7:15 6:30 5:30 5:00 4:15",
    "14:45 13:15 12:00 10:45 9:45 8:15 7:30 6:30",
    "19:45 17:45 16:00 14:30 13:00 11:00 10:00 8:30",
    "29:45 26:45 24:00 21:45 19:30 16:45 15:00 13:00",
)
CELLS = [
    (
        float(celsius),
        *(60 * int(part.split(":")[0]) + int(part.split(":")[1]) for part in (cell, row.split()[2])),
    )
    for row in ROWS
    for celsius, cell in zip(DEGREES, row.split(), strict=True)
]
COEFFICIENT = 2.529
"""The one coefficient: least squares over the forty cells, one slope, a level for each row."""


def _near(printed: float, ours: float) -> bool:
    """Whether a time lies within 5 % or 15 s of the printed one, whichever is more."""
    return abs(ours - printed) <= max(0.05 * printed, 15.0)


def test_one_coefficient_gives_every_cell_of_a_makers_chart() -> None:
    """Anchored at its 20 °C time, every printed cell is met within 5 % or 15 s by one coefficient."""
    assert len(CELLS) == 40
    for celsius, printed, at_twenty in CELLS:
        law = Reference(at=20.0, is_=float(at_twenty), coefficient=COEFFICIENT)
        assert _near(printed, timing.seconds_at(law, celsius)), (celsius, printed)


def test_the_coefficient_is_the_charts_own() -> None:
    """The coefficient used here is the least-squares slope of the chart's logarithms."""
    above = below = 0.0
    for row in range(len(ROWS)):
        cells = CELLS[row * 8 : row * 8 + 8]
        middle = sum(celsius for celsius, _, _ in cells) / 8
        above += sum((celsius - middle) * math.log(printed) for celsius, printed, _ in cells)
        below += sum((celsius - middle) ** 2 for celsius, _, _ in cells)
    assert math.exp(-10 * above / below) == pytest.approx(COEFFICIENT, abs=0.001)


def test_a_table_of_three_points_gives_the_cells_between() -> None:
    """Our table law through the printed 18, 22 and 27 °C times meets the printed times between them."""
    for row in range(len(ROWS)):
        cells = {celsius: printed for celsius, printed, _ in CELLS[row * 8 : row * 8 + 8]}
        law = tuple((celsius, float(cells[celsius])) for celsius in (18.0, 22.0, 27.0))
        for celsius, printed in cells.items():
            assert _near(printed, timing.seconds_at(law, celsius)), (celsius, printed)


def test_a_straight_line_in_time_fails_the_chart() -> None:
    """A straight line through the printed 18 and 20 °C times misses the warm cells by far: it is no law."""
    misses = 0
    for row in range(len(ROWS)):
        cells = {celsius: printed for celsius, printed, _ in CELLS[row * 8 : row * 8 + 8]}
        slope = (cells[20.0] - cells[18.0]) / 2
        misses += sum(not _near(printed, cells[20.0] + slope * (t - 20)) for t, printed in cells.items())
    assert misses >= 15
    twenty_seven = 1440 + (1440 - 1785) / 2 * 7
    assert abs(twenty_seven - 780) / 780 > 0.5


def test_the_worked_temperature_coefficient_of_1910() -> None:
    """70 s at 8 °C and 25 s at 20 °C make a coefficient of 2.358: E. J. Wall, Jahrbuch 24 (1910), p. 44."""
    coefficient = 10 ** (10 * (math.log10(70) - math.log10(25)) / 12)
    assert coefficient == pytest.approx(2.358, abs=0.0005)
    law = Reference(at=20.0, is_=25.0, coefficient=coefficient)
    assert timing.seconds_at(law, 8.0) == pytest.approx(70.0)
    assert timing.seconds_at(law, 10.0) / timing.seconds_at(law, 20.0) == pytest.approx(2.358, abs=0.0005)
    table = ((8.0, 70.0), (20.0, 25.0))
    assert timing.seconds_at(table, 14.0) == pytest.approx(timing.seconds_at(law, 14.0))


@pytest.mark.parametrize(("difference", "coefficient"), [(8, 2.38), (10, 2.0), (12, 1.78), (15, 1.59)])
def test_winter_development_takes_twice_the_summer_time(difference: float, coefficient: float) -> None:
    """Twice the time in winter, as the Dictionary of Photography (c. 1902) says, by the room's difference."""
    law = Reference(at=20.0, is_=60.0, coefficient=coefficient)
    assert timing.seconds_at(law, 20.0 - difference) == pytest.approx(120.0, rel=0.005)
