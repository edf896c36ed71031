"""How strong a bottle's content is, and on what that rests."""

from __future__ import annotations

from typing import Any

import pytest

from darkroom.solutions import events as ev
from darkroom.solutions.bottle import Bottle, fold
from darkroom.solutions.bottle_account import account
from darkroom.solutions.bottle_strength import LOW_BY, BottleStrength, reads_low, strength_of
from darkroom.solutions.events import BottleEntry
from darkroom.solutions.silver import strength_after
from darkroom.solutions.uses import WHOLE_PLATE, Use
from tests.kit.bottles import entry, made


def bottle(*further: BottleEntry, **members: Any) -> Bottle:
    """Return a bath of 9 % made at 1 s."""
    folded = fold("b1", [made(**{"strength": 9.0, "volume": 1000.0, **members}), *further])
    assert folded is not None
    return folded


def plates(count: int, start: float = 10.0, area: float | None = 516.1) -> tuple[Use, ...]:
    """Return so many uses from an instant on, a second apart."""
    return tuple(
        Use(plate=f"p{start}-{number}", number=number, bottle="b1", role="bath", stage="sensitise",
            instant=start + number, area=area)
        for number in range(count)
    )  # fmt: skip


def measured(n: int, what: str, strength: float | None, instant: float) -> BottleEntry:
    """Return a reading."""
    return entry(ev.Measured, n=n, instant=instant, what=what, value=strength or 3.5, strength=strength)


def strength(one: Bottle, uses: tuple[Use, ...] = ()) -> BottleStrength:
    """Return the strength, which is known."""
    told = strength_of(one, uses)
    assert told is not None
    assert told.low <= told.percent_wv <= told.high
    return told


def test_as_it_was_made() -> None:
    """Without plates and readings it is what was said at its making, within what weighing is good for."""
    told = strength(bottle())
    assert (told.percent_wv, told.low, told.high) == pytest.approx((9.0, 8.91, 9.09))
    assert told.basis == "made 1 Jan 1970 to 9 % w/v" and not told.at_least


def test_nothing_said_is_nothing_known() -> None:
    """A bottle of which no line says a strength has none; a pH says none."""
    assert strength_of(bottle(measured(2, "ph", None, 5.0), strength=None), ()) is None


def test_a_hydrometer_in_a_fresh_bath_is_believed_and_in_a_used_one_is_at_least() -> None:
    """Plates before the reading carried alcohol in: it reads low, and the upper bound says by how much."""
    read = bottle(measured(2, "density", 8.0, 100.0))
    fresh, used = strength(read, plates(1, start=200.0)), strength(read, plates(1))
    assert not fresh.at_least and used.at_least
    assert "at least 8 % w/v" in used.basis and used.high == 8.0 + LOW_BY
    assert used.low == pytest.approx(7.86, abs=0.03)  # 0.001 g/mL at 8 %: the table's slope is 0.0082 (CRC)


def test_an_assay_is_right_in_a_used_bath_too() -> None:
    """Weighed silver chloride is deceived by no alcohol."""
    told = strength(bottle(measured(2, "assay", 8.0, 100.0)), plates(30))
    assert told.basis == "assay of 1 Jan 1970: 8 % w/v"
    assert (told.low, told.high) == pytest.approx((7.92, 8.08)) and not told.at_least


def test_a_bath_boiled_down_after_its_last_plate_reads_right() -> None:
    """Boiling drives the alcohol out; a plate after it brings some back."""
    boiled = entry(ev.Treated, n=2, instant=50.0, how="boiled_down")
    read = bottle(boiled, measured(3, "density", 8.0, 100.0))
    assert not strength(read, plates(5)).at_least
    assert strength(read, plates(5) + plates(1, start=60.0)).at_least
    assert reads_low(read, 40.0, plates(5))


def test_of_several_boilings_the_last_before_a_reading_counts() -> None:
    """A second boiling later does not make the reading after the first one low; a plate between them does."""
    boiled = [entry(ev.Treated, n=n, instant=at, how="boiled_down") for n, at in ((2, 50.0), (3, 200.0))]
    twice = bottle(*boiled)
    assert not reads_low(twice, 100.0, plates(5))
    assert reads_low(twice, 100.0, plates(5) + plates(1, start=60.0))
    assert not reads_low(twice, 250.0, plates(5) + plates(1, start=60.0))


def test_boiling_down_leaves_the_strength_open_until_it_is_measured() -> None:
    """Nobody knows how much went off: the strength is not known; nor after water nobody reckoned."""
    boiled = entry(ev.Treated, n=2, instant=50.0, how="boiled_down")
    assert strength_of(bottle(boiled), ()) is None
    assert strength_of(bottle(entry(ev.ToppedUp, n=2, instant=50.0, water=100.0)), ()) is None
    assert strength(bottle(boiled, measured(3, "sg", 10.0, 60.0))).percent_wv == 10.0


def test_a_topping_up_is_as_sure_as_the_reading_it_was_reckoned_from() -> None:
    """From a used bath's hydrometer it stays "at least"; from an assay it does not."""
    up = entry(ev.ToppedUp, n=3, instant=110.0, grams=10.0, strength=9.0, volume=1000.0)
    low = strength(bottle(measured(2, "density", 8.0, 100.0), up), plates(4))
    right = strength(bottle(measured(2, "assay", 8.0, 100.0), up), plates(4))
    assert low.at_least and low.high == 10.0 and "used bath" in low.basis
    assert not right.at_least and right.basis == "topped up 1 Jan 1970 to 9 % w/v"


def test_plates_carry_silver_out_as_an_estimate() -> None:
    """After the last strength said, plates weaken a bath; the bounds take twice that and half."""
    uses = plates(40)
    told = strength(bottle(), uses)
    area = 40 * 516.1
    assert told.percent_wv == pytest.approx(strength_after(9.0, 1000.0, area))
    assert told.low < strength_after(8.91, 1000.0, area)
    assert "40 plates since carried out about 13 g" in told.basis and "assumed" in told.basis


def test_plates_of_unknown_size_are_taken_as_the_others() -> None:
    """Unknown sizes are the mean of the known ones, whole plates without any, and it is said."""
    mixed = strength(bottle(), plates(10) + plates(10, start=100.0, area=None))
    assert mixed.percent_wv == pytest.approx(strength_after(9.0, 1000.0, 20 * 516.1))
    assert "10 of unknown size" in mixed.basis and "taken as 516 cm² each" in mixed.basis
    unknown = strength(bottle(), plates(10, area=None))
    assert unknown.percent_wv == pytest.approx(strength_after(9.0, 1000.0, 10 * WHOLE_PLATE))


def test_the_account_of_a_bath_says_the_silver_that_its_strength_rests_on() -> None:
    """All plates since the bath was made, of unknown size too: one figure, not two."""
    bath, uses = bottle(volume=1000.0), (*plates(20), *plates(10, start=500.0, area=None))
    told = account(bath, {}, uses, 1000.0)
    assert told.silver is not None and told.strength is not None
    assert told.silver == pytest.approx(30 * 516.1 / 100 * (0.0337 + 0.30 * 9.0 / 100), rel=0.01)
    assert f"carried out about {told.silver:.2g} g of silver nitrate" in told.strength.basis


def test_without_a_volume_nothing_is_reckoned_and_that_is_said() -> None:
    """How much plates weaken a bath depends on how much it is."""
    told = strength(bottle(volume=None), plates(40))
    assert told.percent_wv == 9.0 and "volume of the bath is not known" in told.basis


def test_two_assays_with_plates_between_them_put_their_own_figure_in() -> None:
    """What the salts bind is fitted between two assays alone, and then stands closer."""
    assays = (measured(2, "assay", 9.0, 5.0), measured(3, "assay", 8.0, 100.0))
    uses = plates(60) + plates(20, start=200.0)
    told = strength(bottle(*assays), uses)
    assert "fitted between two assays" in told.basis
    assumed = strength(bottle(measured(3, "assay", 8.0, 100.0)), uses)
    assert told.high - told.low < assumed.high - assumed.low
    between = entry(ev.ToppedUp, n=4, instant=50.0, grams=5.0, strength=9.0)
    assert "assumed" in strength(bottle(assays[0], between, assays[1]), uses).basis
    hydrometer = (measured(2, "density", 9.0, 5.0), measured(3, "density", 8.0, 100.0))
    assert "assumed" in strength(bottle(*hydrometer), uses).basis


def test_a_developer_is_as_strong_as_it_was_made() -> None:
    """Nothing is reckoned of what plates take out of anything but a bath."""
    told = strength(bottle(what="developer", strength=4.0), plates(40))
    assert told.percent_wv == 4.0 and not told.at_least
