"""What was learned is said in one sentence, kept with the plate, and laid out as a test plate."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from darkroom.exposure.judged import LeftOut
from darkroom.exposure.learned import Learned, WeighingPlate
from darkroom.session.exposure_proposal import (
    NO_NUMBER,
    after_judging,
    brief,
    proposed_exposure,
    proposed_strips,
    pulls_text,
    sentence,
)
from darkroom.session.plate_form import exposure_plan
from tests.kit.learned import learned


@pytest.mark.parametrize(
    ("told", "text"),
    [
        (learned(12), "8 s, between 5 and 13, from 12 plates: mostly 31 and 40"),
        (learned(1), "8 s, between 5 and 13, from 1 plate"),
        (learned(2), "8 s, between 5 and 13, from 2 plates"),
        (learned(0), "8 s, between 5 and 13, assumed: no judged plate tells it yet"),
        (learned(3, 40.0, 70.0, 130.0),
         "70 s, between 40 s and 2:10, from 3 plates: mostly 31 and 40"),
        (learned(3, None, None, None), NO_NUMBER),
    ],
)  # fmt: skip
def test_the_sentence(told: Learned, text: str) -> None:
    """Time, interval, how many plates and which weigh most; without a plate, that it is assumed."""
    assert sentence(told) == text


def test_a_judged_plate_that_does_not_count_says_why() -> None:
    """A plate was judged and none tells the speed: the newest one says why it is left out."""
    left_out = tuple(
        LeftOut(plate=f"p{n}", number=n, reason=why) for n, why in ((3, "past wet"), (2, "abandoned"))
    )
    told = replace(learned(0), left_out=left_out)
    assert sentence(told) == "8 s, between 5 and 13, assumed: plate 3 is left out, past wet"
    assert "left out" not in sentence(replace(learned(2), left_out=left_out))


def test_two_plates_of_one_number_are_told_by_their_days() -> None:
    """A sentence that names plate 3 twice says which."""
    weigh = tuple(
        WeighingPlate(plate=f"{day}-090000-aaaaaa", number=3, weight=0.3) for day in ("20260221", "20260220")
    )
    assert sentence(replace(learned(12), weigh=weigh)).endswith("mostly 3 of 2026-02-20 and 3 of 2026-02-21")


def test_a_row_of_a_menu_has_the_time_and_its_ends() -> None:
    """Where there is little room the time stands with the ends of its interval."""
    assert brief(learned(12)) == "8 s, 5 to 13"
    assert brief(learned(0)) == "8 s, 5 to 13, assumed"
    assert brief(learned(3, 40.0, 70.0, 130.0)) == "70 s, 40 s to 2:10"
    assert brief(learned(3, None, None, None)) is None


def test_after_judging_it_says_what_is_proposed_and_why_the_plate_does_not_count() -> None:
    """What the menu offers is said, and of a plate that is left out why; of another plate nothing."""
    assert after_judging(learned(12), "p9") == "next plate: 8 s, 5 to 13"
    left_out = replace(learned(0), left_out=(LeftOut(plate="p9", number=9, reason="past wet"),))
    assert after_judging(left_out, "p9") == ("not learned from: past wet; next plate: 8 s, assumed")
    assert after_judging(left_out, "p8") == "next plate: 8 s, 5 to 13, assumed"
    no_time = replace(left_out, seconds=None, seconds_low=None, seconds_high=None)
    assert after_judging(no_time, "p9") == "not learned from: past wet"
    assert after_judging(no_time, "p8") is None


def test_the_plate_keeps_what_was_proposed() -> None:
    """The first line of a plate has the time, the interval, the plates behind it and where it is from."""
    kept = proposed_exposure(learned(12))
    assert kept is not None
    assert (kept.seconds, kept.low, kept.high, kept.plates, kept.from_) == (8.0, 5.0, 13.0, 12, "plates")
    assumed = proposed_exposure(learned(0))
    assert assumed is not None and assumed.from_ == "assumed"
    assert proposed_exposure(learned(3, None, None, None)) is None


def test_a_test_plate_is_what_the_form_reads() -> None:
    """Five strips: the middle one gets the middle of the interval, the ends its ends."""
    strips = proposed_strips(learned(0, 2.0, 8.0, 32.0))
    assert strips is not None
    text = pulls_text(strips)
    assert text == "2,2,4,8,16"
    plan = exposure_plan(text)
    assert plan is not None and (plan.steps, plan.between) == ((2.0, 2.0, 4.0, 8.0, 16.0), "run_on")
    assert proposed_strips(learned(0, None, None, None)) is None
    assert proposed_strips(learned(0, 0.001, 0.01, 0.1)) is None
