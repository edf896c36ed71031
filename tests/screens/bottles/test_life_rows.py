"""A bottle's life as rows of shapes: where things stand, how high, and that it bears anything."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from darkroom.screens.bottles.life_axis import LifeAxis
from darkroom.screens.bottles.life_figures import columns_rows, step_rows
from darkroom.screens.bottles.life_rows import life, span_of, state_spans
from darkroom.screens.widgets.ascii_page import in_ascii
from darkroom.screens.widgets.rows import Row, width
from darkroom.solutions import events as ev
from tests.kit import bottle_lives as kit
from tests.kit.bottles import entry, made

NOW = kit.MADE + 70 * kit.DAY


def texts(rows: list[Row]) -> list[str]:
    """Return rows as plain text."""
    return ["".join(text for text, _ in row) for row in rows]


def row_of(rows: list[str], name: str) -> str:
    """Return the row that begins with a name."""
    return next(row for row in rows if row.startswith(name))


@pytest.mark.parametrize("columns", [80, 120, 200])
def test_each_thing_that_was_done_stands_where_it_was_done(columns: int) -> None:
    """The mark of the filtering on day 50 of 70 stands at 50/70 of the line, and the words say when."""
    rows = texts(life(kit.bottle(), kit.uses(), NOW, kit.ZONE, columns))
    ruler = rows[1]
    first, last = ruler.index("─"), ruler.rindex("─")
    filtered = row_of(rows, "filtered")
    marks = [place for place, sign in enumerate(filtered) if sign == "│"]
    assert "3 times, last 17 Jul 2026" in filtered
    for mark, day in zip(marks, (10, 20, 50), strict=True):
        assert abs((mark - first) / (last + 1 - first) - day / 70) < 2 / (last - first)
    assert "29 May 2026" in row_of(rows, "opened")
    assert "8.1 % w/v on 22 Jul 2026" in row_of(rows, "strength") and " 8.4 " in row_of(rows, "strength")


def test_the_plates_are_counted_by_day() -> None:
    """The words say how many, and the most of one day, whatever a column of the drawing holds."""
    uses = [use for use in kit.uses(30) if use.number <= 30]
    days: dict[str, int] = {}
    for use in uses:
        day = datetime.fromtimestamp(use.instant, kit.ZONE).date().isoformat()
        days[day] = days.get(day, 0) + 1
    for columns in (45, 80, 200):
        row = row_of(texts(life(kit.bottle(), uses, NOW, kit.ZONE, columns)), "plates")
        assert f"30, at most {max(days.values())} a day" in row


def test_wide_days_are_told_apart() -> None:
    """Two days of plates beside each other are two columns where there is room for a gap."""
    uses = [use for use in kit.uses(2) if use.number == 1]
    days = [replace(uses[0], plate=f"p{n}", instant=kit.MADE + (2 + n) * kit.DAY) for n in range(2)]
    lower = texts(life(kit.bottle(entries=kit.lines(())), days, kit.MADE + 8 * kit.DAY, kit.ZONE, 120))[4]
    assert lower.count("█ █") == 1 and "███" in lower


def test_a_plate_that_used_the_bottle_twice_is_one_plate() -> None:
    """Two stages with one bottle count the plate once."""
    uses = kit.uses(10)
    row = row_of(texts(life(kit.bottle(), [*uses, *uses], NOW, kit.ZONE, 80)), "plates")
    assert "10, at most" in row


def test_the_stretches_of_its_life_are_told_apart() -> None:
    """Ripening until it was opened, in use, set aside for ten days, in use."""
    spans = state_spans(kit.bottle(), NOW)
    days = [((a - kit.MADE) / kit.DAY, (b - kit.MADE) / kit.DAY, state) for a, b, state in spans]
    assert days == [(0, 1, "ripening"), (1, 56, "in use"), (56, 66, "set aside"), (66, 70, "in use")]


def test_a_bottle_that_ripens_by_itself_is_in_use_from_then_on() -> None:
    """Without being opened it ripens for as long as its recipe says."""
    spans = state_spans(kit.bottle(entries=kit.lines((), ripens=2.0)), NOW)
    assert [(b - a) / kit.DAY for a, b, _ in spans] == [2, 68]
    assert [state for _, _, state in spans] == ["ripening", "in use"]


def test_a_discarded_bottle_ends_where_it_was_discarded() -> None:
    """The line is not drawn on to now."""
    bottle = kit.bottle(entries=kit.lines([(1, ev.Opened, {}), (30, ev.Discarded, {})]))
    assert span_of(bottle, (), NOW) == (kit.MADE, kit.MADE + 30 * kit.DAY)
    assert state_spans(bottle, NOW)[-1][1:] == (kit.MADE + 30 * kit.DAY, "in use")
    assert "discarded" in row_of(texts(life(bottle, (), NOW, kit.ZONE, 80)), "state")


def test_a_clock_that_went_back_draws_a_life_all_the_same() -> None:
    """A bottle made after now, with a line before it was made: everything stands on the line."""
    bottle = kit.bottle(entries=[made(instant=NOW + 5 * kit.DAY), entry(ev.Opened, n=2, instant=kit.MADE)])
    assert span_of(bottle, (), NOW) == (kit.MADE, NOW + 5 * kit.DAY)
    rows = texts(life(bottle, (), NOW, kit.ZONE, 80))
    assert max(map(width, rows)) <= 80 and "28 May 2026" in row_of(rows, "opened")


def test_nothing_is_drawn_of_a_strength_that_nobody_said() -> None:
    """A bottle without a strength has no row for it; one with a single strength has no steps."""
    without = texts(life(kit.bottle(entries=kit.lines((), strength=None)), (), NOW, kit.ZONE, 80))
    assert not any(row.startswith("strength") for row in without)
    single = texts(life(kit.bottle(entries=kit.lines(())), (), NOW, kit.ZONE, 80))
    assert len(single) == len(without) + 1


@pytest.mark.parametrize("said", [1e15, -3.0, 0.0])
def test_a_strength_that_no_solution_has_is_not_drawn(said: float) -> None:
    """What a hand wrote and the book does not believe is no step of the line either."""
    odd = entry(ev.Measured, n=9, instant=kit.MADE + kit.DAY, what="density", value=1.0, strength=said)
    rows = texts(life(kit.bottle(entries=[*kit.lines((), strength=None), odd]), (), NOW, kit.ZONE, 80))
    assert not any(row.startswith("strength") for row in rows)


def test_no_plate_is_denied_before_the_plates_are_read() -> None:
    """While the plates are being read the drawing says that, and "none known" only afterwards."""
    reading = texts(life(kit.bottle(), (), NOW, kit.ZONE, 80, whole=False))
    assert "being read" in row_of(reading, "plates")
    assert "none known" in row_of(texts(life(kit.bottle(), (), NOW, kit.ZONE, 80)), "plates")


def test_columns_are_as_high_as_their_counts() -> None:
    """The highest fills all rows, half of it half of them; one of a thousand is still seen."""
    upper, lower = (row[0][0] for row in columns_rows([0, 4, 8, 1], 2))
    assert (upper, lower) == ("  █ ", " ██▂")
    assert columns_rows([1000, 1], 1)[0][0][0] == "█▁"
    assert columns_rows([0, 0], 1)[0][0][0] == "  "


def test_steps_go_from_one_value_to_the_next() -> None:
    """High until the place of the second value, low from there on, an edge between."""
    upper, lower = step_rows([(0.0, 9.0), (4.0, 8.0)], 8.0, 8, 2)
    assert upper[:4] == "⠉⠉⠉⠉" and upper[5:] == "   "
    assert lower[:4] == "    " and lower[5:] == "⣀⣀⣀"


def test_many_lines_in_one_cell_are_counted() -> None:
    """Three in a cell are a 3, twelve are a plus."""
    minutes = [(1 + n / 1440, ev.Note, {"text": "x"}) for n in range(3)]
    minutes += [(30 + n / 1440, ev.Note, {"text": "x"}) for n in range(12)]
    row = row_of(texts(life(kit.bottle(entries=kit.lines(minutes)), (), NOW, kit.ZONE, 80)), "notes")
    assert "3" in row[:20] and "+" in row and "15 times" in row


SPANS = [0, 60, 3600, 86400, 3 * 86400, 40 * 86400, 500 * 86400, 30 * 365 * 86400, 5000 * 365 * 86400]


@pytest.mark.parametrize("seconds", SPANS)
@pytest.mark.parametrize("cells", [8, 40, 90, 170])
def test_what_is_written_at_the_axis_never_touches(seconds: float, cells: int) -> None:
    """In order, at least a cell apart, and never many more than there is room for."""
    axis = LifeAxis(kit.MADE, kit.MADE + seconds, cells, kit.ZONE)
    ticks = axis.ticks()
    for (place, words), (following, _) in pairwise(ticks):
        assert following - place >= len(words) + 1
    assert len(ticks) <= cells / 4
    assert all(0 <= place <= cells for place, _ in ticks)


@pytest.mark.parametrize(
    ("days", "expected"), [(1, ["29 May", "12:00"]), (70, ["Jun", "Jul", "Aug"]), (2000, ["2028", "2030"])]
)
def test_hours_days_months_or_years_stand_at_the_axis(days: int, expected: list[str]) -> None:
    """The finest that there is room for."""
    words = [
        text for _, text in LifeAxis(kit.MADE - 7200 * 4, kit.MADE + days * kit.DAY, 40, kit.ZONE).ticks()
    ]
    assert set(expected) <= set(words), words


def test_a_day_begins_at_its_own_midnight() -> None:
    """The first of June of the zone, not of UTC."""
    axis = LifeAxis(kit.MADE, NOW, 70, kit.ZONE)
    midnight = axis.midnight(datetime(2026, 6, 1).toordinal())
    assert datetime.fromtimestamp(midnight, UTC) == datetime(2026, 5, 31, 22, tzinfo=UTC)
    assert axis.day(midnight) == axis.day(midnight - 1) + 1


INSTANTS = st.floats(min_value=-62_000_000_000, max_value=253_000_000_000)
KINDS = st.sampled_from([ev.Opened, ev.SetAside, ev.TakenUp, ev.Discarded])


@given(
    st.lists(st.tuples(INSTANTS, KINDS), max_size=8),
    INSTANTS,
    INSTANTS,
    st.integers(min_value=8, max_value=210),
)
def test_any_life_fits_its_screen(
    happened: list[tuple[float, type]], begin: float, now: float, columns: int
) -> None:
    """At any instants from the year 6 to 9986, in any order: rows no wider than the screen, red or not."""
    entries = [made(instant=begin)] + [
        entry(kind, n=n, instant=instant) for n, (instant, kind) in enumerate(happened, 2)
    ]
    rows = life(kit.bottle(entries=entries), (), now, kit.ZONE, columns)
    assert all(width(row) <= max(columns, 41) for row in texts(rows))
    assert [len(row) for row in texts(in_ascii(rows))] == [len(row) for row in texts(rows)]


def test_a_terminal_without_blocks_has_the_same_shapes() -> None:
    """No sign of the drawing is left that such a terminal may not have."""
    rows = in_ascii(life(kit.bottle(), kit.uses(), NOW, kit.ZONE, 80))
    assert all(sign.isascii() or sign in "─" for row in texts(rows) for sign in row)


def test_a_life_of_a_thousand_years_is_drawn_soon() -> None:
    """What is written at the axis is found by steps of years, not day by day."""
    axis = LifeAxis(kit.MADE - 1000 * 365 * kit.DAY, kit.MADE, 60, kit.ZONE)
    assert [text for _, text in axis.ticks()] and timedelta(seconds=axis.per_cell) > timedelta(days=6000)


@pytest.mark.parametrize(
    ("members", "name", "said"),
    [
        ({"what": "silver_us", "value": 36.5, "strength": 8.0}, "hydrometer", "36.5 gr/US oz, "),
        ({"what": "silver_imperial", "value": 38.5, "strength": 8.0}, "hydrometer", "38.5 gr/imp oz, "),
        ({"what": "density", "value": 1.066, "strength": 8.1}, "hydrometer", "1.066 g/mL, "),
        ({"what": "ph", "value": 4.5}, "pH", "4.5, "),
        ({"what": "volume", "value": 940.0}, "volume", "940 mL, "),
    ],
)
@pytest.mark.parametrize("columns", [80, 120])
def test_a_reading_stands_in_the_unit_in_which_it_was_read(
    members: dict[str, Any], name: str, said: str, columns: int
) -> None:
    """The last of each kind stands whole beside its marks, below the strength in per cent."""
    bottle = kit.bottle(entries=kit.lines([(3, ev.Measured, members), (20, ev.Measured, members)]))
    row = row_of(texts(life(bottle, (), NOW, kit.ZONE, columns)), name)
    assert row.count("│") == 2 and row.rstrip().endswith(said + "17 Jun 2026")
