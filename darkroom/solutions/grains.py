"""Grains to the fluid ounce, exactly: no library is needed for two products of definitions. Pure.

The international pound of 1959 is 453.59237 g and has 7000 grains; the US fluid ounce is 231/128 cubic
inches; the imperial gallon is 4546.09 mL and has 160 fluid ounces (definitions, from memory).
"""

from __future__ import annotations

from typing import Literal

Ounce = Literal["US", "imperial"]
"""Which fluid ounce: they differ by 4 %."""

GRAIN = 453.59237 / 7000
"""Grams of a grain."""
OUNCE_ML: dict[Ounce, float] = {"US": 231 * 2.54**3 / 128, "imperial": 4546.09 / 160}
"""mL of a fluid ounce."""
GRAMS_PER_ML: dict[Ounce, float] = {ounce: GRAIN / size for ounce, size in OUNCE_ML.items()}
"""g/mL of one grain to the ounce."""
