"""Letters on the axis of a plot: they say where something changed."""

from __future__ import annotations

import pytest

from darkroom.log.trends.figures import Picture
from darkroom.log.trends.scales import Scale
from darkroom.log.trends.text_plot import plot


@pytest.mark.parametrize(("columns", "rows"), [(80, 24), (32, 9), (200, 57)])
def test_letters_stand_on_the_axis_at_their_places(columns: int, rows: int) -> None:
    """One at each value; where one stands already the next goes right of it, at the end to the left."""
    shown = Picture(
        title="trial",
        about="",
        across=Scale(label="day", unit="days", least=0.0, most=10.0),
        up=Scale(label="share", unit="share", least=0.0, most=1.0),
        points=(),
        marks=((5.0, 0.0),),
        mark_name="their share",
        signs=((0.0, "a"), (5.0, "b"), (5.0, "c"), (10.0, "d"), (10.0, "e")),
    )
    drawn = plot(shown, columns, rows)
    top = next(row for row in drawn if "┌" in row)
    left, right = top.index("┌") + 1, top.index("┐")
    (axis,) = [row for row in drawn if "└" in row]
    assert (axis[left], axis[right - 1], axis[right - 2]) == ("a", "d", "e")
    middle = axis.index("b")
    assert axis[middle + 1] == "c" and abs(middle - (left + right - 1) / 2) <= 1
    assert drawn[drawn.index(axis) - 1][middle] == "█"
    assert [len(row) for row in drawn] == [columns] * rows
