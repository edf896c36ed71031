"""Plots of plain text: every shape where it belongs, exact sizes, no colour code."""

from __future__ import annotations

import random
import re

import pytest
from rich.cells import cell_len

from darkroom.log.trends.facts import FixFacts
from darkroom.log.trends.figures import Picture, picture, subjects
from darkroom.log.trends.scales import Scale, scale
from darkroom.log.trends.text_plot import MARK, fits, plot
from darkroom.log.trends.trends import Trends, trends
from tests.kit.trends import plate, rows, stage

SIZES = [(80, 24), (80, 19), (120, 36), (200, 57), (32, 9), (47, 13)]
LAW = 1.9


def seconds(celsius: float) -> float:
    """Return the seconds of a law: 15 s at 20 °C, 1.9 times as long 10 °C colder."""
    return 15 * LAW ** ((20 - celsius) / 10)


def season(number: int = 60) -> Trends:
    """Return trends of plates that follow known laws just so."""
    rng = random.Random(2)
    plates, stages, fixed, faults = [], [], [], {}
    for n in range(number):
        celsius = round(8 + 18 * n / number, 2)
        stars = 1 + (n * 5) // number
        name = f"{n:05}"
        plates.append(plate(name, stars=stars, wet_used=30.0 + n * 6, wet_about=600.0, lens=rng.choice("ab"),
                            fixer="F1"))  # fmt: skip
        stages.append(
            stage(name, seconds(celsius), stars, celsius=celsius, law=seconds(celsius), ends="on_time")
        )
        fixed.append(FixFacts(name, name, "fix", "F1", 30.0 + 60 * n / number))
        if n > number / 2:
            faults[name] = ["drying marks"]
    return trends(rows(plates, stages, fixed=fixed, faults=faults))


def canvas(drawn: list[str]) -> tuple[list[str], int]:
    """Return the cells inside the frame, from above, and the column of the left one."""
    top = next(n for n, row in enumerate(drawn) if "┌" in row)
    bottom = next(n for n, row in enumerate(drawn) if "└" in row)
    first_column, last_column = drawn[top].index("┌") + 1, drawn[top].index("┐")
    return [row[first_column:last_column] for row in drawn[top + 1 : bottom]], first_column


def points(*shown_points: tuple[float, float, int], **more: object) -> Picture:
    """Return a picture of points alone."""
    return Picture(**{  # type: ignore[arg-type]
        "title": "trial", "about": "", "across": scale("bath, °C", "°C", [x for x, _, _ in shown_points]),
        "up": scale("time, min:s", "s", [y for _, y, _ in shown_points]), "points": shown_points, **more,
    })  # fmt: skip


def test_known_laws_come_back() -> None:
    """Plates that follow laws just so give them back: 1.9 for 10 °C, 1 s more each plate, later is drier."""
    all_trends = season()
    (times,) = all_trends.over_temperature
    assert (times.coefficient, times.law, times.ratio) == pytest.approx((LAW, LAW, 1.0))
    (fixer,) = all_trends.over_plates
    assert fixer.slope == pytest.approx(1.0)  # 30 s, and 60 s more over 60 plates
    assert fixer.first == 31 and fixer.doubled == 33  # the 33rd plate took 62 s
    for wet in all_trends.over_wet_time:
        assert wet.coefficient is not None and wet.coefficient > wet.chance
        shares = [step.dried / step.plates for step in wet.steps]
        assert shares == sorted(shares) and (shares[0], shares[-1]) == (0.0, 1.0)
    assert all(trend.coefficient > 0.9 for trend in all_trends.stars.found if trend.thing == "wet time used")


@pytest.mark.parametrize("size", SIZES)
def test_every_picture_has_just_the_size_that_was_asked_for(size: tuple[int, int]) -> None:
    """As many rows, as many cells in each, and nothing but signs that are printed."""
    columns, high = size
    for subject in subjects(season()):
        drawn = plot(picture(subject), columns, high)
        assert [len(row) for row in drawn] == [columns] * high
        assert all(row.isprintable() for row in drawn) and "\x1b" not in "".join(drawn)


def test_each_kind_of_trend_has_a_picture() -> None:
    """Time over temperature, drying by share and by minutes, clearing, stars over numbers and words."""
    titles = [picture(subject).title for subject in subjects(season())]
    assert titles[:4] == [
        "develop over the temperature of the developer",
        "faults of drying over the share of the wet window used",
        "faults of drying over the wet time used",
        "clearing time over the plates that fixer F1 had",
    ]
    assert "stars against wet time used" in titles
    plot_rows = plot(picture(subjects(words_season())[-1]), 80, 20)
    assert any(row.startswith("Brass lens (20)") for row in plot_rows)


def words_season() -> Trends:
    """Return trends of plates of which only the lens tells anything."""
    ratings = [("Brass lens", 5), ("Brass lens", 4)] * 10 + [("Old lens", 2), ("Old lens", 1)] * 10
    return trends(rows([plate(f"{n}", stars=stars, lens=lens) for n, (lens, stars) in enumerate(ratings)]))


def test_the_extreme_points_stand_where_they_belong() -> None:
    """The coldest and slowest plate stands high at the left, the warmest and quickest low at the right."""
    shown = points((10.0, 60.0, 1), (20.0, 35.0, 1), (30.0, 10.0, 1))
    cells, _ = canvas(plot(shown, 80, 20))
    places = [
        (column, row)
        for row, cell_row in enumerate(cells)
        for column, sign in enumerate(cell_row)
        if sign == "o"
    ]
    assert len(places) == 3
    wide, high = len(cells[0]), len(cells)
    for (column, row), (x, y, _) in zip(sorted(places), shown.points, strict=True):
        assert abs(column - shown.across.place(x) * (wide - 1)) <= 0.5 + 1e-6
        assert abs(row - (high - 1) * (1 - shown.up.place(y))) <= 0.5 + 1e-6
    assert places[0][1] < 2 and places[-1][1] > high - 3
    assert min(column for column, _ in places) < 4 and max(column for column, _ in places) > wide - 5


def test_the_figures_at_the_axes_stand_by_their_values() -> None:
    """A tick is at its value: where 15 °C is written a plate of 15 °C stands, and so for 0:30."""
    drawn = plot(points((10.0, 60.0, 1), (15.0, 30.0, 1), (20.0, 10.0, 1)), 80, 21)
    cells, first_column = canvas(drawn)
    row = next(n for n, drawn_row in enumerate(drawn) if drawn_row.lstrip().startswith("0:30"))
    inside = next(n for n, drawn_row in enumerate(drawn) if "┌" in drawn_row) + 1
    column = cells[row - inside].index("o") + first_column
    ticks = drawn[next(n for n, drawn_row in enumerate(drawn) if "└" in drawn_row)]
    assert ticks[column] == "┬"
    figures = drawn[next(n for n, drawn_row in enumerate(drawn) if "└" in drawn_row) + 1]
    assert figures[column - 1 : column + 2].strip() in ("15", "1", "5")
    assert "bath, °C" in drawn[-1] and drawn[0].startswith("time, min:s")


@pytest.mark.parametrize("rows", range(12, 40))
def test_each_row_of_stars_stands_by_its_figure(rows: int) -> None:
    """At any height plates stand where a figure is written, and nowhere else."""
    (shown,) = [
        candidate
        for candidate in map(picture, subjects(season()))
        if candidate.title == "stars against wet time used"
    ]
    drawn = plot(shown, 80, rows)
    figures = [row for row in drawn if "┤" in row]
    assert [row.partition("┤")[0].strip() for row in figures] == ["5", "4", "3", "2", "1"]
    for row in figures:
        assert set(row) & {*"·o@", MARK}
    assert not any(set(row) & {*"·o@", MARK} for row in drawn[2:] if row.lstrip().startswith("│"))


def test_many_plates_at_one_place_have_another_sign() -> None:
    """One, some and many plates are told apart by their sign, and the legend says from how many on."""
    shown = points((10.0, 60.0, 1), (20.0, 35.0, 9), (30.0, 10.0, 100))
    drawn = plot(shown, 80, 20)
    cells = "".join(canvas(drawn)[0])
    assert [cells.count(sign) for sign in "·o@"] == [1, 1, 1]
    legend = re.search(r"· 1 o (\d+)\+ @ (\d+)\+ plates", drawn[0])
    assert legend is not None and 1 < int(legend[1]) <= 9 < int(legend[2]) <= 100


def test_the_process_s_curve_goes_through_plates_that_follow_it() -> None:
    """Where every plate takes what the process says, each column's curve is within a cell of a plate."""
    (subject,) = [candidate for candidate in subjects(season()) if picture(candidate).line]
    shown = picture(subject)
    cells, _ = canvas(plot(shown, 80, 24))
    wide, high = len(cells[0]), len(cells)
    drawn = [(column, row) for row, cell_row in enumerate(cells) for column, sign in enumerate(cell_row)
             if 0x2580 <= ord(sign) <= 0x259F]  # fmt: skip
    assert len(drawn) > 10 and "the process" in plot(shown, 80, 24)[0]
    for column, row in drawn:
        celsius = shown.across.least + column / (wide - 1) * (shown.across.most - shown.across.least)
        meant = high - 1 - shown.up.place(seconds(celsius)) * (high - 1)
        assert abs(row - meant) <= 1.2


def test_a_curve_between_two_temperatures_is_no_straight_line() -> None:
    """Between two plates far apart the curve is the process's: the logarithm of the time is linear."""
    stages = [
        stage(f"{n}", seconds(c), celsius=c, law=seconds(c), ends="on_time")
        for n, c in enumerate((8.0, 8.0, 28.0))
    ]
    shown = picture(subjects(trends(rows(stages=stages)))[0])
    for celsius, law in shown.line:
        assert law == pytest.approx(seconds(celsius), rel=1e-9)
    assert len(shown.line) > 50


def test_drying_shows_its_share_and_how_sure_it_is() -> None:
    """A bar a step, between the ends of the line that says where the true share likely lies."""
    shown = picture(subjects(season())[1])
    assert [mark[1] for mark in shown.marks] == sorted(mark[1] for mark in shown.marks)
    for (x, share), ((x0, low), (x1, high)) in zip(shown.marks, shown.spans, strict=True):
        assert x == x0 == x1 and low <= share <= high
    cells, _ = canvas(plot(shown, 80, 24))
    for column in {cell_row.index(MARK) for cell_row in cells if MARK in cell_row}:
        upright = "".join(cell_row[column] for cell_row in cells).strip()
        assert set(upright) <= {MARK, "│"} and MARK in upright


def test_times_far_apart_stand_on_a_logarithmic_axis() -> None:
    """One stage forgotten for hours leaves the others apart from each other."""
    shown = points((10.0, 20.0, 1), (20.0, 40.0, 1), (30.0, 14400.0, 1))
    assert shown.up.logarithmic
    cells, _ = canvas(plot(shown, 80, 20))
    at = [row for row, cell_row in enumerate(cells) if "o" in cell_row]
    assert len(at) == 3
    assert [label for _, label in shown.up.ticks(9)][-1] == "4:00:00"


@pytest.mark.parametrize("unit", ["s", "°C", "%", "share", "plates", "stars"])
@pytest.mark.parametrize(("least", "most"), [(0.0, 1.0), (5.0, 5.0), (0.0, 0.0), (3.0, 4000.0), (1e-3, 1e7)])
def test_axes_have_figures_whatever_the_values(unit: str, least: float, most: float) -> None:
    """All values lie on the axis, and a few round figures within it, ascending, none twice."""
    axis = scale("trial", unit, [least, most])  # type: ignore[arg-type]
    assert 0 <= axis.place(least) <= axis.place(most) <= 1
    for room in (2, 5, 9):
        ticks = axis.ticks(room)
        assert len(ticks) <= room
        assert [value for value, _ in ticks] == sorted({value for value, _ in ticks})
        assert all(axis.least <= value <= axis.most for value, _ in ticks)


def test_words_that_are_too_long_leave_room_for_the_plot() -> None:
    """A lens with a name of two hundred signs is cut; the plot keeps most of the row."""
    names = ("x" * 200, "short")
    drawn = plot(
        Picture(title="t", about="", across=Scale(label="stars", unit="stars", least=-0.3, most=5.3),
              up=Scale(label="lens", unit="names", least=-0.5, most=1.5, names=names),
              points=((1.0, 0.0, 5), (3.0, 1.0, 5))), 80, 20)  # fmt: skip
    assert [len(row) for row in drawn] == [80] * 20
    assert len(canvas(drawn)[0][0]) > 48


def test_words_of_any_script_keep_the_frame_where_it_is() -> None:
    """Wide signs, signs that add to others, signs that turn the line: each row is as long as the others."""
    names = ("真鍮のレンズ (12)", "lens\u202e\x1b[31m\x07 (3)", "e\u0301te\u0301 (4)", "plain (5)")
    shown = Picture(
        title="t", about="", across=Scale(label="stars", unit="stars", least=-0.3, most=5.3),
        up=Scale(label="レンズ", unit="names", least=-0.5, most=3.5, names=names),
        points=tuple((3.0, float(n), 5) for n in range(4)),
    )  # fmt: skip
    drawn = plot(shown, 80, 20)
    assert [cell_len(row) for row in drawn] == [80] * 20
    assert "\x1b" not in "".join(drawn) and "\u202e" not in "".join(drawn)
    framed = [row for row in drawn if row.rstrip().endswith("│")]
    assert len(framed) == 15 and len({cell_len(row.rstrip()) for row in framed}) == 1
    for name in ("真鍮のレンズ (12)", "plain (5)"):
        (row,) = [row for row in drawn if name in row]
        assert row[row.index("┤") :].count("o") + row.count("·") + row.count("@") >= 1


def test_plots_do_not_remember_each_other() -> None:
    """The library keeps a figure; a plot drawn after another is the one drawn alone."""
    pictures = [picture(picture_) for picture_ in subjects(season())]
    alone = [plot(picture_, 80, 20) for picture_ in pictures]
    assert [plot(picture_, 80, 20) for picture_ in reversed(pictures)][::-1] == alone


def test_a_simple_plot_is_ascii_and_stands_just_so() -> None:
    """Without signs for drawing each mark stands where it stood, and the curve is of stars."""
    for subject in subjects(season()):
        shown = picture(subject)
        rich, simple = plot(shown, 80, 24), plot(shown, 80, 24, simple=True)
        assert all(row.replace("°", "").isascii() and len(row) == 80 for row in simple)
        for row, simple_row in zip(rich, simple, strict=True) if shown.marks else ():
            assert [n for n, sign in enumerate(row) if sign == "█"] == [
                n for n, s in enumerate(simple_row) if s == "#"
            ]
        if shown.line:
            assert "* the process" in simple[0].replace("**", "*")


@pytest.mark.parametrize("size", [(31, 20), (80, 8), (5, 3), (1, 1), (80, 0)])
def test_a_window_too_small_says_so(size: tuple[int, int]) -> None:
    """No plot is squeezed into less than it needs; the size is kept all the same."""
    drawn = plot(points((1.0, 2.0, 1), (2.0, 3.0, 1)), *size)
    assert not fits(*size) and [len(row) for row in drawn] == [size[0]] * size[1]


def test_a_hundred_thousand_points_are_a_plot_like_any_other() -> None:
    """The number of plates changes signs, not the size."""
    rng = random.Random(1)
    shown = points(*((rng.uniform(8, 26), rng.uniform(10, 40), 1) for _ in range(100_000)))
    drawn = plot(shown, 80, 20)
    assert [len(row) for row in drawn] == [80] * 20 and "@" in "".join(canvas(drawn)[0])
