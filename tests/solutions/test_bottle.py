"""A bottle as its lines tell it: what counts, in which order, and what it is now."""

from __future__ import annotations

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from darkroom.event_base import Newer
from darkroom.solutions import events as ev
from darkroom.solutions.bottle import DAY, fold, standing
from tests.kit.bottles import entry, made


def withdrawn(n: int, corrects: str, of: str = "a", instant: float | None = None) -> ev.BottleEntry:
    """Return a withdrawal as it stands in the book."""
    return entry(ev.Withdrawn, n=n, of=of, instant=instant, corrects=corrects)


def test_a_bottle_is_what_its_first_line_says() -> None:
    """Name, content, volume and recipe come from the line that says what was made."""
    bottle = fold("b1", [made(volume=1000.0, recipe="silver-bath")])
    assert bottle is not None
    assert (bottle.name, bottle.what, bottle.volume, bottle.recipe) == ("B-1", "bath", 1000.0, "silver-bath")
    assert bottle.state(bottle.made) == "in use"


def test_nothing_made_is_no_bottle() -> None:
    """Lines without one that says what was made are no bottle, nor are those whose first was withdrawn."""
    assert fold("b1", [entry(ev.Opened, n=1)]) is None
    assert fold("b1", [made(), withdrawn(2, "a:1")]) is None


def test_a_bottle_ripens_until_its_time_or_until_it_is_opened() -> None:
    """Within the recipe's days a bottle that nobody opened ripens; opening it ends that."""
    bottle = fold("b1", [made(ripens=7.0)])
    opened = fold("b1", [made(ripens=7.0), entry(ev.Opened, n=2, instant=DAY)])
    assert bottle is not None and opened is not None
    assert bottle.state(bottle.made + 6.9 * DAY) == "ripening"
    assert bottle.state(bottle.made + 7.0 * DAY) == "in use"
    assert opened.state(opened.made + 2 * DAY) == "in use"


def test_set_aside_taken_up_and_discarded() -> None:
    """The last of these lines says whether the bottle is in use."""
    lines = [made(), entry(ev.SetAside, n=2), entry(ev.TakenUp, n=3), entry(ev.Discarded, n=4)]
    states = [fold("b1", lines[:count]) for count in (1, 2, 3, 4)]
    assert [bottle and bottle.state(1e9) for bottle in states] == [
        "in use",
        "set aside",
        "in use",
        "discarded",
    ]


def test_the_order_of_reading_changes_nothing() -> None:
    """Whatever order files are read in, and however often one is read, the bottle is the same."""
    lines = [
        made(volume=1000.0),
        entry(ev.Measured, n=2, what="volume", value=800.0),
        entry(ev.ToppedUp, n=1, of="b", instant=50.0, volume=1000.0),
        entry(ev.Treated, n=2, of="b", instant=60.0, how="filtered"),
    ]
    bottle = fold("b1", lines)
    assert bottle is not None and bottle.volume == 1000.0 and bottle.last["filtered"] == 60.0
    for order in permutations(lines):
        assert fold("b1", [*order, *lines]) == bottle


def test_a_withdrawal_takes_a_line_back_and_can_be_withdrawn() -> None:
    """A withdrawn discard leaves the bottle in use; a withdrawn withdrawal discards it again."""
    lines = [made(), entry(ev.Discarded, n=2), withdrawn(3, "a:2"), withdrawn(1, "a:3", of="b")]
    two, three, four = (fold("b1", lines[:count]) for count in (2, 3, 4))
    assert [bottle and bottle.state(1e9) for bottle in (two, three, four)] == [
        "discarded",
        "in use",
        "discarded",
    ]


def test_a_clock_that_went_back_withdraws_all_the_same() -> None:
    """A withdrawal counts also when its clock says that it was written before the line it names."""
    bottle = fold("b1", [made(), entry(ev.Discarded, n=2, instant=500.0), withdrawn(3, "a:2", instant=5.0)])
    assert bottle is not None and bottle.state(1e9) == "in use"


@given(st.lists(st.tuples(st.integers(1, 8), st.integers(1, 8)), max_size=12))
def test_any_withdrawals_come_to_an_end(pairs: list[tuple[int, int]]) -> None:
    """Withdrawals that name each other in any way, circles too, divide the lines into two parts."""
    lines = [withdrawn(n, f"a:{other}", instant=float(n)) for n, other in dict(pairs).items()]
    kept, taken_back = standing(lines)
    assert sorted(entry.place for entry in [*kept, *taken_back]) == sorted(entry.place for entry in lines)


@pytest.mark.parametrize("count", [2000])
def test_a_long_chain_of_withdrawals_is_followed(count: int) -> None:
    """Withdrawals of withdrawals, thousands deep, end in an answer."""
    lines = [made(), *(withdrawn(n, f"a:{n - 1}") for n in range(2, count + 2))]
    bottle = fold("b1", lines)
    assert (bottle is None) == (count % 2 == 1)


def test_what_does_not_fit_is_said() -> None:
    """A second line that says the bottle was made, and a line of a newer darkroom, are named."""
    newer = Newer(n=3, at="x", up=None, event="frozen", members={})
    odd = ev.BottleEntry(place="a:3", bench="a", instant=3.0, happened="x", event=newer)
    bottle = fold("b1", [made(), made(n=2, name="other"), odd])
    assert bottle is not None and bottle.name == "B-1"
    assert len(bottle.problems) == 2 and "a:2" in bottle.problems[0] and "frozen" in bottle.problems[1]
