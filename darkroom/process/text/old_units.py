"""The old units that recipes are full of, by their definitions. Pure.

The international pound of 1959 is 453.59237 g and has 7000 grains; the US fluid ounce is 231/128 cubic
inches; the imperial gallon is 4546.09 mL and has 160 fluid ounces (definitions, from memory). They stand here
so that reading a recipe loads no library of units.
"""

from __future__ import annotations

GRAIN = 453.59237 / 7000
"""Grams of a grain."""
AVOIRDUPOIS_OUNCE = 437.5 * GRAIN
"""Grams."""
APOTHECARIES_OUNCE = 480 * GRAIN
"""Grams; 8 drachms."""
US_OUNCE = 231 * 2.54**3 / 128
"""mL of a fluid ounce; 8 fluid drachms, 480 minims; 16 are a pint."""
IMPERIAL_OUNCE = 4546.09 / 160
"""mL of a fluid ounce; 8 fluid drachms, 480 minims; 20 are a pint."""
