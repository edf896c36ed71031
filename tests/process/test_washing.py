"""The dilution law, its inverse, and the words that call it an estimate."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom.process import washing
from darkroom.process.model import Wash

START = st.floats(1, 400)
SHARE = st.floats(1e-6, 0.99)


@given(START, SHARE, st.floats(0.5, 50), st.floats(10, 2000))
def test_the_fewest_changes_reach_the_limit_and_one_less_does_not(
    start: float, share: float, carried: float, change: float
) -> None:
    """The number of changes found brings the water to the limit from above; one change less leaves more."""
    limit = start * share
    changes = washing.changes_needed(start, limit, carried, change)
    assert changes >= 1
    assert washing.residue_after_changes(start, carried, change, changes) <= limit * (1 + 1e-9)
    if changes > 1:
        assert washing.residue_after_changes(start, carried, change, changes - 1) > limit * (1 - 1e-5)


def test_a_hair_above_the_limit_takes_one_more_change() -> None:
    """Where a whole number of changes misses the limit by a hair, one more is asked for."""
    left = washing.residue_after_changes(200, 5, 200, 3)
    assert washing.changes_needed(200, left, 5, 200) == 3
    assert washing.changes_needed(200, left * (1 - 1e-7), 5, 200) == 4


@given(START, SHARE, st.floats(1, 500), st.floats(10, 20000))
def test_the_seconds_of_a_flow_bring_it_to_the_limit(
    start: float, share: float, flow: float, tank: float
) -> None:
    """The seconds found for a flow leave exactly the limit."""
    limit = start * share
    seconds = washing.flow_seconds(start, limit, flow, tank)
    assert washing.residue_after_flow(start, flow, tank, seconds) == pytest.approx(limit, rel=1e-9)


def test_no_change_is_shorter_than_the_lag_and_a_flow_is_longer_by_it() -> None:
    """The film's own lag is the least time of each change, and is added to a flow."""
    batch = Wash(carried=5.0, change=200.0, start=200.0, limit=0.2, lag=120.0)
    assert washing.wash_changes(batch) == 2
    assert washing.wash_seconds(batch) == 240.0
    flow = Wash(flow=100.0, tank=1000.0, start=200.0, limit=0.2, lag=120.0)
    assert washing.wash_changes(flow) is None
    assert washing.wash_seconds(flow) == pytest.approx(math.log(1000) * 10 + 120)
    with pytest.raises(ValueError, match="carried and change"):
        washing.wash_seconds(Wash(start=200.0, limit=0.2, lag=120.0, carried=5.0))


def test_a_wash_is_called_an_estimate() -> None:
    """The words for a wash say how many changes fill its time, and that it is an estimate of gelatine's."""
    batch = Wash(carried=5.0, change=200.0, start=200.0, limit=0.2, lag=120.0)
    text = washing.describe(batch, 900.0)
    assert text.startswith("8 changes in 15 min")
    assert "estimate" in text
    assert "gelatine" in text
    flow = Wash(flow=100.0, tank=1000.0, start=200.0, limit=0.2, lag=120.0)
    assert washing.describe(flow, 200.0).startswith("4 min in running water")
