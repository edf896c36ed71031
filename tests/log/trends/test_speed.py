"""The speed of judged plates over the age of their collodion and from day to day."""

from __future__ import annotations

import math
from datetime import date, timedelta
from pathlib import Path

import pytest

from darkroom.exposure.judged import JudgedPlate
from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.query import Query
from darkroom.log.export.svg_figure import drawn
from darkroom.log.trends import trend_text
from darkroom.log.trends.facts import Rows
from darkroom.log.trends.figures import picture, subjects
from darkroom.log.trends.reading import trend_rows
from darkroom.log.trends.scales import dates
from darkroom.log.trends.speed import OverSpeed, over_speed, speeds_of
from darkroom.log.trends.text_plot import plot
from darkroom.log.trends.trends import trends
from tests.kit.exports import shelve, worked
from tests.kit.judged import SCENE
from tests.kit.judged_speeds import FIRST, fields, judged
from tests.kit.log_commands import Capture, run_log


def by(found: tuple[OverSpeed, ...], what: str, light: str | None = None) -> OverSpeed:
    """Return the trend over age or days, of a light or of all measured ones."""
    (trend,) = (trend for trend in found if trend.by == what and trend.light == light)
    return trend


def test_a_collodion_that_slows() -> None:
    """Plates that lose half a stop in a hundred days have that slope, and every plate is a point."""
    found = over_speed([judged(n, -0.05 * n) for n in range(12)])
    age, day = by(found, "age"), by(found, "day")
    assert age.slope == pytest.approx(-0.5)
    assert [x for x, _, _ in age.points] == [10.0 * n for n in range(12)]
    assert [y for _, y, _ in age.points] == pytest.approx([-0.05 * n for n in range(12)])
    assert [(step.least, step.plates) for step in age.steps] == [(0.0, 3), (30.0, 3), (60.0, 3), (90.0, 3)]
    assert (day.slope, len(day.steps)) == (None, 12)
    assert date.fromordinal(int(day.points[0][0])) == FIRST
    assert "half a stop slower for each 100 days of age (least squares)" in trend_text.over_speed(age)


def test_lost_light_and_the_stop_make_no_speed() -> None:
    """A plate at another stop, with light lost and in other light has the same speed where it was as fast."""
    same = [judged(n, -1.0) for n in range(4)]
    other = judged(5, -1.0, f_number=8.0, lost=1.0, ev=10.0)
    given = 100 * 8.0**2 * 2.0 / 2.0 ** (10.0 - 1.0)
    found = over_speed([*same, JudgedPlate(**{**fields(other), "given": given})])
    assert [y for _, y, _ in by(found, "age").points] == pytest.approx([-1.0] * 5)


def test_a_named_light_that_nobody_measured() -> None:
    """Plates of a light without an EV stand in stops against their own median, apart from measured ones."""
    window = [
        judged(n, 0.1 * n, ev=None, ev_from=None, light="North Window", kind="window") for n in range(7)
    ]
    found = over_speed([*window, *(judged(n, 0.0) for n in range(5))])
    trend = by(found, "age", "north window")
    assert [y for _, y, _ in trend.points] == pytest.approx([0.1 * (n - 3) for n in range(7)])
    assert len(by(found, "age").points) == 5
    assert trend_text.speed_title(trend) == "speed over the age of the collodion in north window"
    assert "nobody measured this light" in "; ".join(trend_text.over_speed(trend))


def test_what_is_left_out_is_counted() -> None:
    """Plates that said only more or less, and those of unknown age, are no points; they are counted."""
    open_ended = [judged(20 + n, 0.0, half=math.inf) for n in range(2)]
    more = [JudgedPlate(**{**fields(judged(30, 0.0)), "low": 0.25, "high": math.inf})]
    found = over_speed([*(judged(n, 0.0) for n in range(6)), judged(7, 0.0, age=None), *open_ended, *more])
    age = by(found, "age")
    assert (len(age.points), age.open, age.unknown) == (6, 1, 1)
    assert len(by(found, "day").points) == 7


@pytest.mark.parametrize(
    "plates",
    [[], [judged(n, 0.0) for n in range(4)], [judged(n, 0.0, f_number=None) for n in range(9)],
     [judged(n, 0.0, ev=None, ev_from=None) for n in range(9)]],
)  # fmt: skip
def test_too_little_makes_no_trend(plates: list[JudgedPlate]) -> None:
    """Few plates, plates without an f-number and plates of an unknown light show nothing."""
    assert over_speed(plates) == ()


def test_plates_of_one_day_and_one_age() -> None:
    """Ages and days that do not differ make no trend over them."""
    assert over_speed([judged(1, 0.1 * n) for n in range(9)]) == ()


def test_a_day_that_is_none_is_passed_over() -> None:
    """A damaged date leaves its plate out of the days."""
    found = over_speed([*(judged(n, 0.0) for n in range(6)), judged(9, 0.0, day="no day")])
    assert len(by(found, "day").points) == 6


@pytest.mark.parametrize("simple", [False, True])
@pytest.mark.parametrize("size", [(80, 20), (120, 36), (40, 12)])
def test_the_picture(size: tuple[int, int], simple: bool) -> None:
    """In the terminal and as SVG: age in days with its line, days with their dates, stops with their sign."""
    found = over_speed([judged(n, 0.3 - 0.05 * n + (n % 3) / 10) for n in range(12)] * 2)
    age, day = (picture(by(found, what)) for what in ("age", "day"))
    for shown in (age, day):
        rows = plot(shown, *size, simple)
        assert [len(row) for row in rows] == [size[0]] * size[1]
        assert "speed, stops above ISO 1" in rows[0]
        assert "<svg" in drawn(shown, 1)
    assert age.line_name == "least squares"
    assert age.line[0][1] > age.line[-1][1]
    assert "working day, 2026" in plot(day, 120, 36, simple)[-1]
    assert "05-" in "".join(plot(day, 120, 36, simple)[-3:])
    assert "2026" in drawn(day, 2)


def test_dates_of_several_years() -> None:
    """Dates over more than a season are written as year and month, the axis says no year."""
    first, last = date(2024, 3, 1).toordinal(), date(2026, 9, 1).toordinal()
    axis = dates("working day", [float(first), float(last)])
    assert axis.label == "working day"
    assert {text[:2] for _, text in axis.ticks(6)} == {"20"}
    turn = dates("working day", [float(date(2025, 12, 20).toordinal()), float(date(2026, 1, 10).toordinal())])
    assert turn.label == "working day, 2025 to 2026"


def test_speeds_are_among_the_trends() -> None:
    """They come with the others, but not with those of one stage or of the stars against one thing."""
    rows = Rows(judged=[judged(n, 0.0) for n in range(6)])
    everything = trends(rows)
    assert not everything.empty
    assert [subject for subject in subjects(everything) if isinstance(subject, OverSpeed)]
    assert trends(rows, stage="develop").over_speed == ()
    assert trends(rows, thing="wet").over_speed == ()


def season(home: Path) -> None:
    """Put plates of eight days into a log, each judged half a stop under, in measured light."""
    for n in range(8):
        day = date(2026, 3, 1) + timedelta(days=4 * n)
        lines = worked(
            f"{day:%Y%m%d}-090000-aaaaaa", n + 1, scene=SCENE, bottles={"collodion": "C-4 2026-02-01"}
        )
        moved = [
            type(line)(
                **{name: getattr(line, name) for name in line.__struct_fields__}
                | {"at": line.at.replace("2026-03-01T00", f"{day.isoformat()}T14")}
            )
            for line in lines
        ]
        shelve(home, moved, day.isoformat())


def test_from_the_catalogue(home: Path) -> None:
    """The catalogue gives the judged plates that a query asks for, and no others."""
    season(home)
    with Catalogue(home) as catalogue:
        catalogue.check()
        everything = over_speed(trend_rows(catalogue, Query()).judged)
        later = trend_rows(catalogue, Query(since="2026-03-20"))
    assert len(by(everything, "age").points) == 8
    numbers = {plate.plate: plate.number for plate in later.plates}
    told = [told for members in speeds_of(later.judged).told.values() for told in members]
    assert [numbers[speed.plate] for speed in told] == [6, 7, 8]


def test_the_command(home: Path, capsys: Capture) -> None:
    """`log trends` tells the speed over age and days in words, and draws it."""
    season(home)
    status, text, _ = run_log(capsys, "trends")
    assert status == 0
    assert "Trial, speed over the age of the collodion" in text
    assert "2026-03-01       1 plate  median ISO 1.6" in text
    assert "8 days, their medians 0.0 stops apart" in text
    status, drawing, _ = run_log(capsys, "trends", "--plot")
    assert status == 0
    assert "speed over the days, Trial" in drawing
    assert run_log(capsys, "trends", "--json")[0] == 0
