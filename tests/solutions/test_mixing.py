"""What to add to a bottle: masses are added up, and what cannot be is said."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from darkroom.errors import CannotMix, DarkroomError, QuantityError
from darkroom.solutions import mixing
from darkroom.solutions.density import SOLUTES
from darkroom.solutions.mixing import Addition
from darkroom.solutions.strength import Strength, of_mass_percent, of_percent_wv
from darkroom.solutions.water import WATER_20


def bath(percent: float) -> Strength:
    """Return a silver bath of so many % w/v."""
    return of_percent_wv("silver-nitrate", percent)


# By hand from the CRC's densities: 8 % w/v 1.0645, 9 % 1.0727, 11 % 1.0891, 20 % 1.1627 g/mL.
@pytest.mark.parametrize(
    ("found", "expected"),
    [
        (mixing.with_crystals(1000, bath(8), bath(9)), (10.16, 0, 0, 1001.8)),
        (mixing.with_crystals(1000, bath(6.5), bath(8.76)), (22.96, 0, 0, 1004.2)),
        (mixing.to_volume(940, bath(8), bath(9), 1000), (14.80, 57.4, 0, 1000)),
        (mixing.with_stock(1000, bath(8), bath(9), bath(20)), (0, 0, 90.9, None)),
        (mixing.with_water(1000, bath(11), bath(9)), (0, 222.35, 0, 1222.2)),
    ],
)
def test_a_bath_is_brought_to_a_strength(
    found: Addition, expected: tuple[float, float, float, float]
) -> None:
    """Crystals alone, to a volume, with a stock, with water: grams and mL as reckoned by hand."""
    crystals, water, stock, final = expected
    assert crystals == pytest.approx(found.crystals_g, abs=0.012)
    assert water == pytest.approx(found.water_ml, abs=0.1)
    assert stock == pytest.approx(found.stock_ml, abs=0.06)
    if final is not None:
        assert final == pytest.approx(found.final_ml, abs=0.06)


PARTS = st.floats(0.01, 0.95)


@given(
    name=st.sampled_from(sorted(SOLUTES)), volume=st.floats(1, 1e5), now=PARTS, wanted=PARTS, stock=PARTS,
    grown=st.floats(0.2, 5), how=st.sampled_from(["plain", "stock", "final", "both"]),
)  # fmt: skip
def test_no_mass_and_no_substance_is_lost(
    name: str, volume: float, now: float, wanted: float, stock: float, grown: float, how: str
) -> None:
    """Whatever is added, mass and substance before and after are the same, and nothing is taken out."""
    most = SOLUTES[name].most
    here, there, strong = (of_mass_percent(name, part * most) for part in (now, wanted, stock))
    assume(abs(now - wanted) > 1e-3)
    try:
        found = mixing.bring_to(
            volume, here, there,
            final=volume * grown if how in ("final", "both") else None,
            stock=strong if how in ("stock", "both") else None,
        )  # fmt: skip
    except CannotMix as error:
        assert str(error).isprintable()
        return
    assert min(found.crystals_g, found.water_ml, found.stock_ml) >= 0
    mass = volume * here.density_20 + found.crystals_g + found.water_ml * WATER_20
    mass += found.stock_ml * strong.density_20
    assert found.final_ml * there.density_20 == pytest.approx(mass, rel=1e-9)
    substance = volume * here.percent_wv + 100 * found.crystals_g + found.stock_ml * strong.percent_wv
    assert found.final_ml * there.percent_wv == pytest.approx(substance, rel=1e-9)


def test_the_same_strength_needs_nothing() -> None:
    """A bath that has its strength gets nothing, by any way."""
    for found in (
        mixing.bring_to(1000, bath(9), bath(9)),
        mixing.bring_to(1000, bath(9), bath(9), final=1000),
        mixing.bring_to(1000, bath(9), bath(9), stock=bath(20)),
    ):
        assert (found.crystals_g, found.water_ml, found.stock_ml) == pytest.approx((0, 0, 0), abs=1e-6)
        assert found.final_ml == pytest.approx(1000)


@pytest.mark.parametrize(
    ("how", "phrase"),
    [
        (lambda: mixing.with_crystals(1000, bath(9), bath(8)), "8 % w/v is weaker than the 9 % w/v"),
        (lambda: mixing.with_water(1000, bath(8), bath(9)), "9 % w/v is stronger than the 8 %"),
        (lambda: mixing.with_stock(1000, bath(9), bath(8), bath(20)), "weaker than the 9 %"),
        (lambda: mixing.with_stock(1000, bath(8), bath(9), bath(9)), "is not stronger than the 9 %"),
        (lambda: mixing.to_volume(1000, bath(8), bath(9), 1000), "1000 mL do not hold it.*least 1002 mL"),
        (lambda: mixing.to_volume(1000, bath(11), bath(9), 1200), "do not hold it.*at least 1222 mL"),
        # 1200/1222 of the litre make 1200 mL, so 18.2 mL are too much: by proportion.
        (lambda: mixing.to_volume(1000, bath(11), bath(9), 1200), "draw off 19 mL first, or fill to 1223 mL"),
        (lambda: mixing.with_stock_to_volume(1000, bath(8), bath(9), bath(20), 1050), "make 1091 mL"),
    ],
)  # fmt: skip
def test_what_cannot_be_mixed_says_why(how: object, phrase: str) -> None:
    """A weaker target, a weak stock and a volume that is too small are each named, with what is possible."""
    with pytest.raises(CannotMix, match=phrase):
        how()  # type: ignore[operator]


@pytest.mark.parametrize("volume", [0, -5, math.nan, math.inf, 1e9])
def test_a_volume_that_cannot_be(volume: float) -> None:
    """No bottle holds nothing, less, or a lake."""
    with pytest.raises(QuantityError, match="volume is"):
        mixing.bring_to(volume, bath(8), bath(9))
    with pytest.raises(QuantityError, match="volume is"):
        mixing.bring_to(1000, bath(8), bath(9), final=volume)


def test_one_substance_does_not_become_another() -> None:
    """Silver and hypo are not reckoned together."""
    with pytest.raises(DarkroomError, match="does not become"):
        mixing.bring_to(1000, bath(8), of_percent_wv("hypo", 9))
    with pytest.raises(DarkroomError, match="adds no silver-nitrate"):
        mixing.bring_to(1000, bath(8), bath(9), stock=of_percent_wv("hypo", 20))


# By hand, the CRC's densities: 200 g in 1162.7 and 3992.8 g are 3.879 mass %, times 1.0317 are 4.002 % w/v.
def test_dilution_by_parts() -> None:
    """1 + 4 takes four times its volume of water; what comes of it is reckoned by mass."""
    thin, found = mixing.by_parts(1000, bath(20), 1 / 5)
    assert found.water_ml == pytest.approx(4000)
    assert thin.mass_percent == pytest.approx(3.879, abs=0.002)
    assert thin.percent_wv == pytest.approx(4.002, abs=0.002)
    assert found.final_ml * thin.percent_wv == pytest.approx(1000 * 20, rel=1e-9)
    same, nothing = mixing.by_parts(1000, bath(20), 1)
    assert (same.percent_wv, nothing.water_ml) == pytest.approx((20, 0))
    for share, volume in ((0, 1000), (1.5, 1000), (0.5, 0), (math.nan, 10), (0.5, math.inf)):
        with pytest.raises(QuantityError):
            mixing.by_parts(volume, bath(20), share)
