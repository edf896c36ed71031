"""What each way of judging says of the exposure, as bounds in stops."""

from __future__ import annotations

import math
from math import inf

import pytest

from darkroom.exposure.judgements import from_best_strip, from_stops, from_strip_and_more, from_word


@pytest.mark.parametrize(
    ("stops", "half"),
    [
        *((stops, 1 / 4) for stops in (0, 1, -2, 0.5, -1.5)),
        *((stops, 1 / 6) for stops in (1 / 3, 0.33, -0.7, 1.3)),
        *((stops, 1 / 8) for stops in (0.25, -1.75)),
        (0.9, 1 / 16),
    ],
)
def test_a_number_of_stops_means_half_its_own_step_to_either_side(stops: float, half: float) -> None:
    """Halves and whole stops mean a quarter to either side, thirds a sixth, quarters an eighth."""
    assert from_stops(stops) == pytest.approx((stops - half, stops + half))


def test_words_meet_without_a_gap_and_are_open_outward() -> None:
    """`less`, `right` and `more` cover every number of stops, each number once."""
    assert from_word("right") == (-0.25, 0.25)
    assert from_word("more") == (0.25, math.inf)
    assert from_word("less") == (-math.inf, -0.25)


def test_the_best_of_five_strips_is_known_to_half_a_step() -> None:
    """Between strips a stop apart the best one means half a stop to either side, open at the test's ends."""
    totals = (2.0, 4.0, 8.0, 16.0, 32.0)
    assert from_best_strip(totals, 3) == (-0.5, 0.5)
    assert from_best_strip(totals, 1) == (-math.inf, 0.5)
    assert from_best_strip(totals, 5) == (-0.5, math.inf)


def test_uneven_and_falling_strips_go_by_their_own_neighbours() -> None:
    """The bounds are half-way, in stops, to the next shorter and the next longer strip, in any order."""
    assert from_best_strip((8.0, 16.0, 2.0), 1) == (-1.0, 0.5)
    assert from_best_strip((16.0, 8.0, 2.0), 3) == (-math.inf, 1.0)


def test_one_strip_alone_says_nothing_of_either_side() -> None:
    """The best of a single strip leaves both bounds open."""
    assert from_best_strip((5.0,), 1) == (-math.inf, math.inf)


@pytest.mark.parametrize(
    ("totals", "best", "telling"),
    [
        ((2.0, 4.0), 0, "no strip 0 of 2"),
        ((2.0, 4.0), 3, "no strip 3 of 2"),
        ((), 1, "no strip 1 of 0"),
        ((0.0, 4.0), 2, "more than 0 s"),
        ((2.0, math.inf), 1, "more than 0 s"),
        ((2.0, math.nan), 1, "more than 0 s"),
        ((4.0, 4.0), 1, "got the same"),
    ],
)
def test_strips_that_cannot_be_are_refused(totals: tuple[float, ...], best: int, telling: str) -> None:
    """A strip that is not there, one without light and two equal ones are each said as what they are."""
    with pytest.raises(ValueError, match=telling):
        from_best_strip(totals, best)


def test_stops_without_a_number_and_unknown_words_are_refused() -> None:
    """Neither NaN nor a word besides the three is a judgement."""
    with pytest.raises(ValueError, match="finite"):
        from_stops(math.nan)
    with pytest.raises(ValueError, match="'much': more, right or less"):
        from_word("much")


@pytest.mark.parametrize(
    ("best", "stops", "word", "bounds"),
    [
        (2, None, None, (-0.5, 0.5)),
        (2, 0.5, None, (0.25, 0.75)),
        (2, 0.5, "less", (0.25, 0.75)),
        (2, None, "more", (0.25, 0.5)),
        (2, None, "right", (-0.25, 0.25)),
        (3, None, "more", (0.25, inf)),
        (1, None, "less", (-inf, -0.25)),
    ],
)
def test_more_said_of_the_best_strip_counts_from_it(
    best: int, stops: float | None, word: str | None, bounds: tuple[float, float]
) -> None:
    """Of strips a stop apart: stops alone count, a word tells the side of the strip and both hold."""
    assert from_strip_and_more((2.0, 4.0, 8.0), best, stops, word) == bounds


def test_strips_too_close_for_a_word_leave_it_the_word() -> None:
    """Strips a sixth of a stop apart bound less than a word begins with: then the word alone holds."""
    totals = (2.0, 2.0 * 2 ** (1 / 6), 2.0 * 2 ** (2 / 6))
    assert from_strip_and_more(totals, 2, None, "more") == (0.25, inf)
