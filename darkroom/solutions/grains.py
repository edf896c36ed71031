"""Grains to the fluid ounce, exactly: no library is needed for two products of definitions. Pure."""

from __future__ import annotations

from typing import Literal

from darkroom.process.text.old_units import GRAIN, IMPERIAL_OUNCE, US_OUNCE

Ounce = Literal["US", "imperial"]
"""Which fluid ounce: they differ by 4 %."""

GRAMS_PER_ML: dict[Ounce, float] = {"US": GRAIN / US_OUNCE, "imperial": GRAIN / IMPERIAL_OUNCE}
"""g/mL of one grain to the ounce."""
