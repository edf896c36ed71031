"""Densities of solutions at 20 °C as published: mass per cent of the anhydrous substance, g/mL. Data alone.
Pure."""

from __future__ import annotations

Rows = tuple[tuple[float, float], ...]

CRC = "CRC Handbook of Chemistry and Physics, 102nd edition, 'Concentrative properties of aqueous solutions'"

SILVER_NITRATE: Rows = (
    (0, 0.9982), (1, 1.0070), (3, 1.0239), (5, 1.0417), (7, 1.0597), (9, 1.0785), (12, 1.1079), (16, 1.1496),
    (20, 1.1942), (24, 1.2420), (28, 1.2933), (32, 1.3487), (36, 1.4087), (40, 1.4743),
)  # fmt: skip
"""Silver nitrate. Source: CRC."""

SODIUM_THIOSULPHATE: Rows = (
    (0, 0.9982), (1, 1.0065), (3, 1.0231), (5, 1.0399), (7, 1.0568), (9, 1.0740), (12, 1.1003), (16, 1.1365),
    (20, 1.1740), (24, 1.2128), (28, 1.2532), (32, 1.2950), (36, 1.3382), (40, 1.3827),
)  # fmt: skip
"""Sodium thiosulphate without its water of crystals. Source: CRC."""

LALIBERTE_COOPER = (
    "M. Laliberté and W. E. Cooper, 'Model for calculating the density of aqueous electrolyte solutions', "
    "J. Chem. Eng. Data 49 (2004) 1141-1151, with the coefficients of 2009"
)

FERROUS_SULPHATE: Rows = (
    (0, 0.9982), (1, 1.0079), (3, 1.0278), (5, 1.0483), (8, 1.0803), (12, 1.1249), (18, 1.1959), (23, 1.2570),
)  # fmt: skip
"""Ferrous sulphate without its water of crystals. Source: LALIBERTE_COOPER at 20 °C, fitted up to 23.3 %.

A supplier's own figures for one solution, 1.161, 1.19 and 1.203, lie around its 1.198: ± 1 % of the density.
"""

THIOSULPHATE_COEFFICIENTS = (
    -1.38269885022596, 889.546797352274, 0.698935895205399, 0.00420349527799401, 1191.73071571581,
)  # fmt: skip
"""c0 to c4 of sodium thiosulphate in LALIBERTE_COOPER, fitted between 25 and 80 °C, up to 60 mass per cent.

At 20 °C it lies 0.0007 to 0.0010 g/mL below the CRC's table: it gives the change with temperature, never the
level.
"""
