"""A strength and a mixture as JSON and as text."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from click import wrap_text

from darkroom.commands.strength_options import Known, Mixture
from darkroom.solutions.strength import USED_BATH, Strength, exactness
from darkroom.solutions.substances import cautions

WIDTH = 80


def as_json(known: Known, mixed: Mixture | None) -> dict[str, Any]:
    """Return the JSON members. The keys are a contract with people's scripts.

    Grains are to the ounce of solution.
    """
    found = known.strength
    members: dict[str, Any] = {
        "substance": found.substance,
        "mol_per_litre": found.mol_per_litre,
        "percent_wv": found.percent_wv,
        "mass_percent": found.mass_percent,
        "density_20": found.density_20,
        "sg": found.sg,
        "grains_per_us_ounce": found.grains("US"),
        "grains_per_imperial_ounce": found.grains("imperial"),
        "took": "; ".join((*known.took, *(mixed.took if mixed is not None else ()))),
    }
    if mixed is not None:
        members["add"] = {
            "crystals_g": mixed.addition.crystals_g,
            "water_ml": mixed.addition.water_ml,
            "stock_ml": mixed.addition.stock_ml,
            "final_ml": mixed.addition.final_ml,
        }
    return members


def warnings(known: Known, mixed: Mixture | None) -> list[str]:
    """Return what must be known before the figures are used."""
    says = []
    adds = mixed is not None and mixed.addition.crystals_g + mixed.addition.stock_ml > 0
    uncertain = known.read or (adds and not known.assayed)
    if known.strength.substance == "silver-nitrate" and uncertain:
        says.append(USED_BATH)
    says += [_sentence(said) for said in exactness(known.strength, read=known.read)]
    if adds:
        says += cautions(known.strength.substance)
    return says


def lines(known: Known, mixed: Mixture | None) -> Iterator[str]:
    """Yield the strength, what was taken and how exact it is, then what to add."""
    yield from _strength(known.strength)
    taken = (*known.took, *(mixed.took if mixed is not None else ()))
    yield from _wrapped(f"taken: {'; '.join(taken)}")
    for said in warnings(known, mixed):
        yield from _wrapped(said)
    if mixed is not None:
        yield from _mixture(known.strength, mixed)


def _strength(found: Strength) -> Iterator[str]:
    label = found.solute.substance.label
    yield f"{label}: {found.percent_wv:.2f} % w/v"
    rows = (
        (f"{found.grams_per_litre:.1f}", "g in a litre"),
        (f"{found.mol_per_litre:.3f}", "mol in a litre"),
        (f"{found.mass_percent:.2f}", "% by mass (w/w)"),
        (f"{found.density_20:.4f}", "g/mL at 20 °C"),
        (f"{found.sg:.4f}", "specific gravity 20/20 °C"),
        (f"{found.baume:.1f}", "degrees Baumé (145)"),
        (f"{found.grains('US'):.1f}", _grains("US", found)),
        (f"{found.grains('imperial'):.1f}", _grains("imperial", found)),
    )
    for figure, unit in rows:
        yield f"{figure:>9}  {unit}"


def _grains(ounce: Any, found: Strength) -> str:
    return f"grains to the {ounce} ounce of solution, {found.grains(ounce, of_water=True):.1f} of water"


def _mixture(now: Strength, mixed: Mixture) -> Iterator[str]:
    """Yield what to add; solids first, as they are weighed first."""
    addition = mixed.addition
    yield ""
    yield f"{mixed.volume:.5g} mL of {now.percent_wv:.2f} % w/v, to {mixed.wanted.percent_wv:.4g} % w/v:"
    rows = []
    if addition.crystals_g >= 0.005:
        rows.append((f"{addition.crystals_g:.2f}", f"g of {now.solute.substance.label}"))
    if addition.stock_ml >= 0.05 and mixed.stock is not None:
        rows.append((f"{addition.stock_ml:.1f}", f"mL of the stock of {mixed.stock.percent_wv:.4g} % w/v"))
    if addition.water_ml >= 0.05:
        rows.append((f"{addition.water_ml:.1f}", "mL of distilled water"))
    for figure, unit in rows:
        yield f"{figure:>9}  {unit}"
    if not rows:
        yield "nothing to add"
    yield f"it is then {addition.final_ml:.1f} mL"


def _wrapped(text: str) -> Iterator[str]:
    yield from wrap_text(text, width=WIDTH).splitlines()


def _sentence(said: str) -> str:
    return f"{said[0].upper()}{said[1:]}."
