"""The units that people write and how large each is; what a unit's words are in the tables' spelling. Pure.

A number is in mL, g, mm or s; a name is pint's for the unit, which `measures` asks for its size.
"""

from __future__ import annotations

from darkroom.process.text.old_units import (
    APOTHECARIES_OUNCE,
    AVOIRDUPOIS_OUNCE,
    GRAIN,
    IMPERIAL_OUNCE,
    US_OUNCE,
)

DROP = 0.05
"""mL of a drop: common practice, no source; it varies with the dropper and the liquid."""

VOLUMES: dict[str, float | str] = {
    "ml": 1.0, "cc": 1.0, "ccm": 1.0, "cm3": 1.0, "cm³": 1.0, "millilitre": 1.0, "milliliter": 1.0,
    "cl": 10.0, "dl": 100.0, "l": 1000.0, "litre": 1000.0, "liter": 1000.0,
    "us floz": US_OUNCE, "imp floz": IMPERIAL_OUNCE,
    "us pint": 16 * US_OUNCE, "imp pint": 20 * IMPERIAL_OUNCE,
    "us quart": "quart", "imp quart": "imperial_quart",
    "us gallon": "gallon", "imp gallon": "imperial_gallon",
    "us fldr": US_OUNCE / 8, "imp fldr": IMPERIAL_OUNCE / 8,
    "us gill": 4 * US_OUNCE, "imp gill": 5 * IMPERIAL_OUNCE, "drop": DROP,
    "us minim": US_OUNCE / 480, "imp minim": IMPERIAL_OUNCE / 480,
}  # fmt: skip
MASSES: dict[str, float | str] = {
    "g": 1.0, "gm": 1.0, "gram": 1.0, "gramme": 1.0, "mg": 0.001, "kg": 1000.0,
    "gr": GRAIN, "grain": GRAIN, "scruple": "scruple",
    "av oz": AVOIRDUPOIS_OUNCE, "ap oz": APOTHECARIES_OUNCE, "troy oz": APOTHECARIES_OUNCE,
    "av dr": "dram", "ap dr": APOTHECARIES_OUNCE / 8, "drachm": APOTHECARIES_OUNCE / 8,
    "ap drachm": APOTHECARIES_OUNCE / 8,
    "lb": "pound", "av lb": "pound", "pound": "pound",
}  # fmt: skip
LENGTHS: dict[str, float | str] = {
    "mm": 1.0, "cm": 10.0, "m": 1000.0, "millimetre": 1.0, "millimeter": 1.0, "centimetre": 10.0,
    "centimeter": 10.0, "metre": 1000.0, "meter": 1000.0,
    "in": 25.4, "inch": 25.4, "inches": 25.4, '"': 25.4, "″": 25.4, "ft": 304.8, "foot": 304.8,
}  # fmt: skip
TIMES = {"s": 1.0, "sec": 1.0, "second": 1.0, "min": 60.0, "minute": 60.0, "h": 3600.0, "hour": 3600.0}
"""Seconds."""
LONG = {"floz": "fluid ounce", "fldr": "fluid drachm", "oz": "ounce", "dr": "drachm"}
"""{a unit's word in the tables: the word for it in a sentence}."""
TOOK = {
    "drop": f"drop of about {DROP:g} mL, its size varies",
    "gr": "grain of 0.0648 g",
    "grain": "grain of 0.0648 g",
    "lb": "avoirdupois pound",
    "pound": "avoirdupois pound",
    "drachm": "apothecaries drachm",
    "ap drachm": "apothecaries drachm",
}
"""{a unit that is always taken in one way: what is said of that}."""

WORDS = {
    "ounce": "oz", "ounces": "oz", "ozs": "oz", "fluid": "fl", "imperial": "imp", "uk": "imp",
    "british": "imp", "avoirdupois": "av", "apothecaries": "ap", "apothecary": "ap", "apoth": "ap",
    "troy": "ap", "grains": "grain", "grs": "gr", "grams": "gram", "grammes": "gramme", "pints": "pint",
    "pt": "pint", "quarts": "quart", "qt": "quart", "gallons": "gallon", "gal": "gallon",
    "minims": "minim", "gills": "gill", "drops": "drop", "gtt": "drop", "drachms": "drachm",
    "dram": "dr", "drams": "dr", "pounds": "pound", "lbs": "lb", "litres": "litre", "liters": "liter",
    "millilitres": "millilitre",
    "milliliters": "milliliter", "scruples": "scruple", "feet": "foot", "seconds": "second",
    "minutes": "minute", "hours": "hour",
}  # fmt: skip
"""{a word that people write: the tables' word for it}; `min` is minutes and no minim."""


def plain_unit(unit: str) -> str:
    """Return the unit in lower case, without dots and plurals, its words in the table's spelling."""
    words = [WORDS.get(w, w) for w in unit.lower().replace(".", " ").replace("'", "").split()]
    joined = " ".join(word for word in words if word)
    for long, short in (("fl oz", "floz"), ("fl drachm", "fldr"), ("fl dr", "fldr")):
        joined = joined.replace(long, short)
    return joined
