"""`darkroom strength alcohol`: per cent by volume and by mass, and the water that thins a spirit."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from darkroom.commands.strength_options import ALCOHOL, read_volume, share
from darkroom.errors import WrongUse
from darkroom.solutions import spirit
from darkroom.solutions.grains import GRAMS_PER_ML
from darkroom.solutions.substances import SUBSTANCES, cautions
from darkroom.solutions.water import WATER_20

WAYS = ("--volume-percent", "--mass-percent")


class Spirit(NamedTuple):
    """A spirit of `volume_percent`, and what thins `there` mL of it to `wanted`, if asked."""

    volume_percent: float
    took: tuple[str, ...]
    there: float = 0.0
    wanted: float = 0.0
    thinned: spirit.Thinned | None = None


def read_spirit(
    given: Mapping[str, str], to: str | None, volume: str | None, refused: Mapping[str, str | None]
) -> Spirit:
    """Return what the options say: `given` is {option: text} of strengths, `refused` what goes with no
    spirit.

    Raises QuantityError, WrongUse, CannotMix.
    """
    wrong = [option for option, text in refused.items() if text is not None]
    wrong += [option for option in given if option not in WAYS]
    if wrong:
        raise WrongUse(f"{wrong[0]} does not go with {ALCOHOL}: {' or '.join(WAYS)}, --to and --volume do")
    if len(given) != 1:
        raise WrongUse(f"how strong is it? one of {', '.join(WAYS)} is needed")
    ((option, text),) = given.items()
    if option == WAYS[0]:
        by_volume = share(option, text, "volume per cent")
    else:
        by_volume = spirit.by_volume(share(option, text, "mass per cent") / 100)
    took = ["mL of alcohol in 100 mL at 20 °C" if option == WAYS[0] else "grams of alcohol in 100 g"]
    if to is None:
        if volume is not None:
            raise WrongUse("--volume says what is thinned: --to tells the strength wanted, by volume")
        return Spirit(by_volume, tuple(took))
    if volume is None:
        raise WrongUse("--to: how much is there? --volume is needed")
    there, wanted = read_volume("--volume", volume, took), share("--to", to, "volume per cent")
    return Spirit(by_volume, tuple(took), there, wanted, spirit.thinned(there, by_volume, wanted))


def as_json(found: Spirit) -> dict[str, Any]:
    """Return the JSON members, those of other substances and `volume_percent`."""
    part = spirit.by_mass(found.volume_percent)
    density = spirit.density_by_mass(part)
    molar_mass = SUBSTANCES["ethanol"].molar_mass
    assert molar_mass is not None
    members: dict[str, Any] = {
        "substance": ALCOHOL,
        "mol_per_litre": 1000 * part * density / molar_mass,
        "percent_wv": 100 * part * density,
        "mass_percent": 100 * part,
        "volume_percent": found.volume_percent,
        "density_20": density,
        "sg": density / WATER_20,
        "grains_per_us_ounce": part * density / GRAMS_PER_ML["US"],
        "grains_per_imperial_ounce": part * density / GRAMS_PER_ML["imperial"],
        "took": "; ".join(found.took),
    }
    if found.thinned is not None:
        water, final = found.thinned.water_ml, found.thinned.final_ml
        members["add"] = {"crystals_g": 0.0, "water_ml": water, "stock_ml": 0.0, "final_ml": final}
    return members


def warnings() -> list[str]:
    """Return what must be known before a spirit is poured."""
    return list(cautions("ethanol"))


def lines(found: Spirit) -> Iterator[str]:
    """Yield the strength, then the water to add."""
    members = as_json(found)
    yield f"alcohol: {found.volume_percent:.2f} % by volume (v/v)"
    yield f"{members['mass_percent']:>9.2f}  % by mass (w/w)"
    yield f"{members['density_20']:>9.4f}  g/mL at 20 °C"
    yield f"{members['sg']:>9.4f}  specific gravity 20/20 °C"
    yield f"taken: {members['took']}"
    yield from warnings()
    if found.thinned is None:
        return
    water, final, lost = found.thinned
    yield ""
    yield f"{found.there:.5g} mL of {found.volume_percent:.4g} % v/v, to {found.wanted:.4g} % v/v:"
    yield f"{water:>9.1f}  mL of distilled water"
    yield f"it is then {final:.1f} mL: mixed they are {lost:.1f} mL less than apart"
    yield f"a litre of it is {1000 * found.there / final:.1f} mL and {1000 * water / final:.1f} mL of water"
