"""What to add so that a bottle holds a strength: crystals, water or a stronger stock, in g and mL at 20 °C.
Pure.

Masses are added up, not volumes: V mL of a solution weigh V times their density, and a strength of c % w/v
holds V·c/100 g of the substance in them.
"""

from __future__ import annotations

from math import ceil
from typing import NamedTuple

from darkroom.errors import CannotMix, QuantityError
from darkroom.solutions.strength import Strength
from darkroom.solutions.water import WATER_20

MOST_ML = 1e7
"""Beyond these mL a volume is a slip."""
_NOTHING = 1e-9
"""Parts of a whole below which an amount is none, and a strength the same."""


class Addition(NamedTuple):
    """What to add to what is there, and the volume it then is."""

    final_ml: float
    crystals_g: float = 0.0
    water_ml: float = 0.0
    stock_ml: float = 0.0


def with_crystals(volume: float, now: Strength, wanted: Strength) -> Addition:
    """Return the crystals that bring so many mL from one strength to a greater one; the volume grows a
    little.

    Raises QuantityError, CannotMix where the wanted strength is the weaker one.
    """
    _check(volume, now, wanted)
    if _weaker(wanted, now):
        raise CannotMix(
            f"{_said(wanted)} is weaker than the {_said(now)} that is there: crystals make "
            "it stronger only, add water"
        )
    part = wanted.mass_percent / 100
    crystals = max(0.0, (part * _mass(volume, now) - _dissolved(volume, now)) / (1 - part))
    return Addition(crystals_g=crystals, final_ml=(_mass(volume, now) + crystals) / wanted.density_20)


def with_water(volume: float, now: Strength, wanted: Strength) -> Addition:
    """Return the water that brings so many mL from one strength to a smaller one.

    Raises QuantityError, CannotMix where the wanted strength is the greater one.
    """
    _check(volume, now, wanted)
    if _weaker(now, wanted):
        raise CannotMix(
            f"{_said(wanted)} is stronger than the {_said(now)} that is there: water makes "
            "it weaker only, add crystals or a stronger stock"
        )
    final = 100 * _dissolved(volume, now) / wanted.percent_wv
    water = max(0.0, final * wanted.density_20 - _mass(volume, now)) / WATER_20
    return Addition(water_ml=water, final_ml=final)


def to_volume(volume: float, now: Strength, wanted: Strength, final: float) -> Addition:
    """Return the crystals and the water that make so many mL of one strength `final` mL of another.

    Raises QuantityError, CannotMix where that volume cannot hold what is there.
    """
    _check(volume, now, wanted, final)
    crystals = _dissolved(final, wanted) - _dissolved(volume, now)
    if crystals < -_NOTHING * final:
        raise _too_small(volume, now, wanted, final)
    crystals = max(0.0, crystals)
    water = final * wanted.density_20 - _mass(volume, now) - crystals
    if water < -_NOTHING * final:
        raise _too_small(volume, now, wanted, final)
    return Addition(crystals_g=crystals, water_ml=max(0.0, water) / WATER_20, final_ml=final)


def with_stock(volume: float, now: Strength, wanted: Strength, stock: Strength) -> Addition:
    """Return the mL of a stronger stock that bring so many mL from one strength to a greater one.

    Raises QuantityError, CannotMix where the stock is not stronger than what is wanted.
    """
    _check(volume, now, wanted)
    _check_stock(now, wanted, stock)
    if _weaker(wanted, now):
        raise CannotMix(
            f"{_said(wanted)} is weaker than the {_said(now)} that is there: a stronger "
            "stock makes it stronger only, add water"
        )
    mass = _mass(volume, now)
    added = max(
        0.0, mass * (wanted.mass_percent - now.mass_percent) / (stock.mass_percent - wanted.mass_percent)
    )
    return Addition(stock_ml=added / stock.density_20, final_ml=(mass + added) / wanted.density_20)


def with_stock_to_volume(
    volume: float, now: Strength, wanted: Strength, stock: Strength, final: float
) -> Addition:
    """Return the mL of a stronger stock and of water that make so many mL of one strength `final` mL of
    another.

    Raises QuantityError, CannotMix where that volume cannot hold it or the stock is too weak.
    """
    _check(volume, now, wanted, final)
    _check_stock(now, wanted, stock)
    substance = _dissolved(final, wanted) - _dissolved(volume, now)
    if substance < -_NOTHING * final:
        raise _too_small(volume, now, wanted, final)
    added = 100 * max(0.0, substance) / stock.mass_percent
    water = final * wanted.density_20 - _mass(volume, now) - added
    if water < -_NOTHING * final:
        least = with_stock(volume, now, wanted, stock).final_ml
        raise CannotMix(
            f"{final:.4g} mL do not hold it: {volume:.4g} mL with that stock make {least:.4g} mL of "
            f"{_said(wanted)}: {_way_out(volume, least, final)}"
        )
    return Addition(stock_ml=added / stock.density_20, water_ml=max(0.0, water) / WATER_20, final_ml=final)


def by_parts(volume: float, now: Strength, share: float) -> tuple[Strength, Addition]:
    """Return the strength of so many mL after dilution by parts, and the water for it.

    `share` is the stock's part by volume as the books count it: 0.1 for 1 + 9 and for 1 in 10, nine times its
    volume of water (`process.text.measures.dilution`). Raises QuantityError.
    """
    if not 0 < share <= 1:
        raise QuantityError(f"the stock's share is {share:g}: it must be more than 0 and at most 1")
    _check(volume, now, now)
    water = volume * (1 / share - 1)
    mass = _mass(volume, now) + water * WATER_20
    mass_percent = now.mass_percent * _mass(volume, now) / mass
    thin = Strength(substance=now.substance, mass_percent=mass_percent)
    return thin, Addition(final_ml=mass / thin.density_20, water_ml=water)


def bring_to(
    volume: float,
    now: Strength,
    wanted: Strength,
    *,
    final: float | None = None,
    stock: Strength | None = None,
) -> Addition:
    """Return what brings a bottle to a strength by the simplest way: water where it is too strong, else
    crystals.

    With a `stock` that is taken in place of crystals; with a `final` volume the bottle is filled up to it.
    Raises QuantityError, CannotMix.
    """
    if final is not None:
        if stock is not None:
            return with_stock_to_volume(volume, now, wanted, stock, final)
        return to_volume(volume, now, wanted, final)
    if _weaker(wanted, now):
        return with_water(volume, now, wanted)
    return with_crystals(volume, now, wanted) if stock is None else with_stock(volume, now, wanted, stock)


def _said(strength: Strength) -> str:
    return f"{strength.percent_wv:.4g} % w/v"


def _mass(volume: float, strength: Strength) -> float:
    return volume * strength.density_20


def _dissolved(volume: float, strength: Strength) -> float:
    return volume * strength.percent_wv / 100


def _weaker(one: Strength, other: Strength) -> bool:
    return one.mass_percent < other.mass_percent * (1 - _NOTHING)


def _too_small(volume: float, now: Strength, wanted: Strength, final: float) -> CannotMix:
    least = bring_to(volume, now, wanted).final_ml
    return CannotMix(
        f"{final:.4g} mL do not hold it: {volume:.4g} mL of {_said(now)} make at least {least:.4g} mL "
        f"of {_said(wanted)}: {_way_out(volume, least, final)}"
    )


def _way_out(volume: float, least: float, final: float) -> str:
    """Return what helps where so many mL make `least` mL, more than the `final` ones: less of it, or more."""
    return f"draw off {ceil(volume * (1 - final / least))} mL first, or fill to {ceil(least)} mL"


def _check(volume: float, now: Strength, wanted: Strength, final: float | None = None) -> None:
    for what, value in (("volume", volume), ("final volume", volume if final is None else final)):
        if not 0 < value <= MOST_ML:
            raise QuantityError(f"the {what} is {value:g} mL: it must lie between 0 and {MOST_ML / 1000:g} L")
    if now.substance != wanted.substance:
        raise QuantityError(f"{now.substance} does not become {wanted.substance}")
    if wanted.mass_percent <= 0:
        raise QuantityError("nothing is dissolved in what is wanted: that is water")


def _check_stock(now: Strength, wanted: Strength, stock: Strength) -> None:
    if stock.substance != now.substance:
        raise QuantityError(f"a stock of {stock.substance} adds no {now.substance}")
    if not _weaker(wanted, stock):
        raise CannotMix(
            f"a stock of {_said(stock)} is not stronger than the {_said(wanted)} that is "
            "wanted: take crystals, or a stronger stock"
        )
