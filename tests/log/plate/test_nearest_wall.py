"""The wall time of an instant is told by the line nearest to it."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from darkroom.log.plate.account import nearest_wall

INSTANTS = st.integers(0, 40).map(lambda quarter: quarter / 4)


@given(st.lists(INSTANTS, max_size=12), INSTANTS)
def test_the_nearest_line_is_that_of_a_search_through_all(instants: list[float], wanted: float) -> None:
    """Of several as near the first of the journal counts, whatever order the moves left them in."""
    lines = [(instant, place, f"line {place}") for place, instant in enumerate(instants)]
    expected = min(lines, key=lambda line: abs(line[0] - wanted), default=None)
    assert nearest_wall(wanted, sorted(lines)) == expected
