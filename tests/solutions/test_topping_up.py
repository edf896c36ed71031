"""What a topping up comes to."""

from __future__ import annotations

from darkroom.solutions.bottle import fold
from darkroom.solutions.topping_up import plan
from tests.kit.bottles import made


def test_a_stock_of_which_nothing_is_needed_is_not_where_it_came_from() -> None:
    """A bath that is too strong takes water alone: the line names no stock, though one was offered."""
    bath = fold("b1", [made(strength=11.0, volume=1000.0)])
    stock = fold("s1", [made(bottle="s1", name="S-1", what="stock", strength=20.0, volume=500.0)])
    assert bath is not None and stock is not None
    for wanted, named in ((9.0, None), (12.0, "s1")):
        told = plan(
            bath, (), None, 100.0, wanted=wanted, reading=None, volume=None, fill=None, stock=None,
            source=stock, crystals=None, water=None,
        )  # fmt: skip
        assert told.members["from_"] == named
