"""The table of daylight for collodion: made again with pvlib, and held against old measurements."""

from __future__ import annotations

from datetime import UTC, date, timedelta
from math import log2

import pytest

from darkroom.exposure import actinic, sun
from darkroom.exposure.actinic_table import ROWS
from tests.kit import make_actinic_table

pytestmark = pytest.mark.filterwarnings("ignore::RuntimeWarning")  # the model divides by what is dark


# F. Kasten and A. T. Young, Revised optical air mass tables (1989), by zenith angle: computed with pvlib
# 0.16.1; 0°, 80° and 89.9° also stand in that library's own tests.
@pytest.mark.parametrize(
    ("zenith", "mass"),
    [
        (0, 0.9997), (10, 1.0151), (20, 1.0637), (30, 1.154), (40, 1.3042), (45, 1.4126), (50, 1.5534),
        (60, 1.9943), (65, 2.356), (70, 2.9031), (75, 3.8129), (80, 5.586), (85, 10.3058), (87, 15.1477),
        (89.9, 36.467),
    ],
)  # fmt: skip
def test_the_air_masses_behind_the_table(zenith: float, mass: float) -> None:
    """The air that the table's light comes through is that of Kasten and Young."""
    assert make_actinic_table.air_mass(90 - zenith) == pytest.approx(mass, abs=6e-4)


@pytest.mark.parametrize("altitude", [5, 20, 60])
def test_three_rows_of_the_table_made_again(altitude: float) -> None:
    """Rows of the table come out of the clear-sky model again."""
    (told,) = (row[1:] for row in ROWS if row[0] == altitude)
    assert make_actinic_table.row(altitude) == pytest.approx(told, abs=1e-3)


@pytest.mark.parametrize("altitude", [2.2, 3.4, 7.0, 17.0, 27.5, 37.5, 52.5, 71.0, 88.0])
def test_between_its_rows_the_curve_follows_the_model(altitude: float) -> None:
    """Between two rows the curve is within a hundredth of a stop of the model itself."""
    made = make_actinic_table.row(altitude)
    drawn = (
        actinic.stops(altitude, "flat"),
        actinic.stops(altitude, "flat", shade=True),
        actinic.stops(altitude, "facing"),
        actinic.stops(altitude, "away"),
    )
    assert drawn == pytest.approx(made, abs=0.01)


# H. Roscoe and T. Thorpe, On the relation between the sun's altitude and the chemical intensity of total
# daylight in a cloudless sky (Phil. Trans. 160, 1870): silver chloride paper lying flat, near Lisbon in 1867.
# The totals are from memory; only the paper's first page could be read.
LISBON_1867 = (
    (9.85, 0.038), (19.68, 0.085), (31.23, 0.152), (42.22, 0.215), (53.15, 0.262), (61.13, 0.327), (64.23,
    0.359),
)  # fmt: skip


@pytest.mark.parametrize(("altitude", "total"), LISBON_1867)
def test_daylight_measured_near_lisbon(altitude: float, total: float) -> None:
    """Daylight's chemical intensity as measured in 1867 is met within 15 %, relative to that at 61°."""
    here, top = actinic.stops(altitude, "flat"), actinic.stops(61.13, "flat")
    assert here is not None
    assert top is not None
    assert 2 ** (top - here) == pytest.approx(total / 0.327, rel=0.15)


def test_daylight_is_nearly_in_proportion_to_the_altitude() -> None:
    """From 10° to 60° the total light is close to a straight line, as the same paper states."""
    light = [2 ** -(actinic.stops(altitude, "flat") or 0) for altitude in range(10, 61, 5)]
    straight = [light[0] + (light[-1] - light[0]) * step / 10 for step in range(11)]
    assert light == pytest.approx(straight, abs=0.07)


# J. A. Scott's table of relative exposures, about 1880, for 52 to 53° north, 1 in June at noon; from memory,
# the original could not be reached. Rows by the hour before or after noon, columns June, May and July, …
# December.
SCOTT = {
    0: (1, 1, 1.25, 1.5, 2, 3.5, 4),
    1: (1, 1, 1.25, 1.5, 2.5, 4, 5),
    2: (1, 1, 1.25, 1.75, 3, 5, 6),
    3: (1, 1.25, 1.5, 2, 4, 12, 16),
    4: (1.5, 1.5, 2, 3, 10),
    5: (2, 2.5, 3, 6),
    6: (2.5, 3, 6),
    7: (5, 6),
    8: (12,),
}
MONTHS = ((6,), (5, 7), (4, 8), (3, 9), (2, 10), (1, 11), (12,))
SCOTT_LATITUDE = 52.5


def scene_stops(month: int, hours: float) -> float | None:
    """Return the stops of the whole scene on the 15th of a month, so many hours from the sun's noon."""
    noon = sun.day(SCOTT_LATITUDE, 0.0, date(2025, month, 15), UTC).highest
    altitudes = [
        sun.position(SCOTT_LATITUDE, 0.0, noon + timedelta(hours=shift)).altitude for shift in (hours, -hours)
    ]
    return actinic.stops(sum(altitudes) / 2)


def scott_cells() -> list[tuple[int, int, float, float]]:
    """Return (hours, column, Scott's stops, ours) against June noon, where our table has the altitude."""
    june = scene_stops(6, 0)
    assert june is not None
    cells = []
    for hours, row in SCOTT.items():
        for column, factor in enumerate(row):
            ours = [scene_stops(month, hours) for month in MONTHS[column]]
            known = [stops - june for stops in ours if stops is not None]
            if known:
                cells.append((hours, column, log2(factor), sum(known) / len(known)))
    return cells


def test_scotts_table_has_the_same_shape() -> None:
    """Within six hours of noon Scott's exposures are met within 0.2 stop (rms), nowhere by more than half a
    stop.

    Later than that, with the sun near the horizon, he counts an open sky: there ours are up to 1.4 stops
    longer.
    """
    apart = [ours - told for hours, _, told, ours in scott_cells() if hours <= 6]
    assert len(apart) == 40
    assert (sum(each**2 for each in apart) / len(apart)) ** 0.5 < 0.2
    assert max(map(abs, apart)) < 0.5
    late = [ours - told for hours, _, told, ours in scott_cells() if hours > 6]
    assert len(late) == 3
    assert all(0 < each < 1.4 for each in late)


def test_scotts_noons_are_met_closely() -> None:
    """At noon of every month Scott's exposures are met within a fifth of a stop."""
    noons = [(told, ours) for hours, _, told, ours in scott_cells() if hours == 0]
    assert len(noons) == 7
    for told, ours in noons:
        assert ours == pytest.approx(told, abs=0.2)


def test_months_and_hours_are_in_scotts_order() -> None:
    """Of two hours of a month, and of two months at an hour, the one Scott gives more has less light."""
    cells = {(hours, column): (told, ours) for hours, column, told, ours in scott_cells()}
    for (hours, column), (told, ours) in cells.items():
        for other in ((hours + 1, column), (hours, column + 1)):
            if other in cells and cells[other][0] > told:
                assert cells[other][1] > ours


def test_an_exposure_table_by_month_and_hour() -> None:
    """Noons of flat ground at 52° north, and their factors over June's, are those of an earlier calculation.

    That one took the spectrum down to 350 nm and another program for the sun.
    """
    for month, noon, factor in (
        (1, 16.7, 4.45),
        (3, 35.6, 1.70),
        (6, 61.3, 1.00),
        (9, 41.3, 1.44),
        (12, 14.8, 5.2),
    ):
        found = sun.day(52.0, 0.0, date(2025, month, 15), UTC)
        assert found.altitude == pytest.approx(noon, abs=0.5)
        here, june = actinic.stops(noon, "flat"), actinic.stops(61.3, "flat")
        assert here is not None
        assert june is not None
        assert 2 ** (here - june) == pytest.approx(factor, rel=0.03)
