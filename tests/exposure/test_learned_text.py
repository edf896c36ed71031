"""Which plates stand behind what was learned, in words."""

from __future__ import annotations

import math

import pytest

from darkroom.exposure.judged import LeftOut
from darkroom.exposure.learned import Disagreement, Learned, UnfittingPlate, WeighingPlate
from darkroom.exposure.learned_text import left_out_told, plates_told


def learned(**told: object) -> Learned:
    """Return what was learned, with what is told of plates."""
    return Learned(low=-1.0, middle=0.0, high=1.0, seconds_low=4.0, seconds=8.0, seconds_high=16.0, plates=9,
                   **told)  # type: ignore[arg-type]  # fmt: skip


def unfitting(low: float, high: float, expected: float) -> str:
    """Return what is told of a plate that does not fit."""
    odd = UnfittingPlate(plate="p", number=8, said_low=low, said_high=high, expected=expected, chance=0.9)
    ((label, text),) = plates_told(learned(unfitting=(odd,)), ())
    assert label == "does not fit"
    return text


def test_the_plates_that_weigh_most() -> None:
    """Each stands with its weight in per cent."""
    weigh = (
        WeighingPlate(plate="a", number=31, weight=0.314),
        WeighingPlate(plate="b", number=40, weight=0.2),
    )
    assert plates_told(learned(weigh=weigh), ()) == [("weigh most", "plate 31 (31 %) and plate 40 (20 %)")]


def test_a_plate_that_does_not_fit() -> None:
    """What it was judged stands beside what the others say; a word has no figure."""
    assert unfitting(2.75, 3.25, 0.02) == "plate 8: judged +3.0 stops, by the others right"
    assert unfitting(0.25, math.inf, -1.0) == "plate 8: judged more, by the others −1.0 stop"
    assert unfitting(-math.inf, -0.25, 1.5) == "plate 8: judged less, by the others +1.5 stops"


def test_plates_that_disagree() -> None:
    """The two are named with how far they lie apart."""
    pair = Disagreement(plates=("a", "b"), numbers=(31, 33), stops=3.04)
    assert plates_told(learned(disagree=(pair,)), ()) == [("disagree", "plates 31 and 33, by 3.0 stops")]


def test_plates_left_out() -> None:
    """They stand together by their reason, the commonest first; further ones than five are counted."""
    past_wet = [LeftOut(plate=str(number), number=number, reason="past wet") for number in range(1, 8)]
    abandoned = LeftOut(plate="9", number=9, reason="abandoned")
    assert plates_told(learned(), [abandoned, *past_wet]) == [
        ("left out", "plates 1, 2, 3, 4, 5 and 2 more: past wet"),
        ("left out", "plate 9: abandoned"),
    ]


def test_a_number_that_is_told_twice_has_its_day() -> None:
    """Two plates 3 are told apart by their days, two of one day by their hours; other numbers stand alone."""
    first, second, third, other = (
        WeighingPlate(plate=plate, number=number, weight=0.3)
        for plate, number in (
            ("20260220-140509-aaaaaa", 3),
            ("20260221-090000-aaaaaa", 3),
            ("20260221-101500-bbbbbb", 3),
            ("20260221-091000-aaaaaa", 4),
        )
    )
    two_days = plates_told(learned(weigh=(first, second)), ())
    assert two_days == [("weigh most", "plate 3 of 2026-02-20 (30 %) and plate 3 of 2026-02-21 (30 %)")]
    one_day = plates_told(learned(weigh=(second, third)), ())[0][1]
    assert one_day == "plate 3 of 2026-02-21 09:00 (30 %) and plate 3 of 2026-02-21 10:15 (30 %)"
    odd = LeftOut(plate=first.plate, number=3, reason="past wet")
    assert plates_told(learned(weigh=(other, second)), (odd,)) == [
        ("weigh most", "plate 4 (30 %) and plate 3 of 2026-02-21 (30 %)"),
        ("left out", "plate 3 of 2026-02-20: past wet"),
    ]


@pytest.mark.parametrize(
    ("reasons", "text"),
    [
        (("past wet",), "1 judged plate, left out: past wet"),
        (("past wet", "past wet"), "2 judged plates, all left out: past wet"),
        (("abandoned", "past wet", "past wet"), "3 judged plates, all left out: mostly past wet"),
    ],
)
def test_judged_plates_of_which_none_counts(reasons: tuple[str, ...], text: str) -> None:
    """How many there are, and why they say nothing."""
    plates = [LeftOut(plate=str(n), number=n, reason=reason) for n, reason in enumerate(reasons)]
    assert left_out_told(plates) == text
