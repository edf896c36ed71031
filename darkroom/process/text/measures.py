"""Volumes, masses, lengths, flows and concentrations, metric and of the old books. Pure.

The unit in a text is looked up in a table of our own. The old units of recipes have their factor there; only
the name of a rarer one is handed to pint, which is loaded for these alone: no word of the user's reaches its
parser, and `5 mL` or `40 gr` cost nothing.

Two ounces share a name twice over: US and imperial fluid ounces differ by 4 %, avoirdupois and
apothecaries' ounces by 10 %. A text that leaves it open is taken as the caller says, or refused
with the question; `read` says which was taken.
"""

from __future__ import annotations

import functools
from typing import Any, Literal

import msgspec

from darkroom.errors import QuantityError
from darkroom.errors import nearest as nearest_word
from darkroom.process.text.numbers import quoted, split
from darkroom.process.text.old_units import (
    APOTHECARIES_OUNCE,
    AVOIRDUPOIS_OUNCE,
    GRAIN,
    IMPERIAL_OUNCE,
    US_OUNCE,
)

Kind = Literal["volume", "mass", "length", "flow", "concentration"]
Fluid = Literal["US", "imperial"]
Solid = Literal["avoirdupois", "apothecaries"]

_VOLUMES: dict[str, float | str] = {
    "ml": 1.0, "cc": 1.0, "ccm": 1.0, "cm3": 1.0, "cm³": 1.0, "millilitre": 1.0, "milliliter": 1.0,
    "cl": 10.0, "dl": 100.0, "l": 1000.0, "litre": 1000.0, "liter": 1000.0,
    "us floz": US_OUNCE, "imp floz": IMPERIAL_OUNCE,
    "us pint": 16 * US_OUNCE, "imp pint": 20 * IMPERIAL_OUNCE,
    "us quart": "quart", "imp quart": "imperial_quart",
    "us gallon": "gallon", "imp gallon": "imperial_gallon",
    "us fldr": US_OUNCE / 8, "imp fldr": IMPERIAL_OUNCE / 8,
    "us minim": US_OUNCE / 480, "imp minim": IMPERIAL_OUNCE / 480,
}  # fmt: skip
_MASSES: dict[str, float | str] = {
    "g": 1.0, "gm": 1.0, "gram": 1.0, "gramme": 1.0, "mg": 0.001, "kg": 1000.0,
    "gr": GRAIN, "grain": GRAIN, "scruple": "scruple",
    "av oz": AVOIRDUPOIS_OUNCE, "ap oz": APOTHECARIES_OUNCE, "troy oz": APOTHECARIES_OUNCE,
    "av dr": "dram", "ap dr": APOTHECARIES_OUNCE / 8, "drachm": APOTHECARIES_OUNCE / 8,
    "lb": "pound", "av lb": "pound", "pound": "pound",
}  # fmt: skip
_LENGTHS: dict[str, float | str] = {
    "mm": 1.0, "cm": 10.0, "m": 1000.0, "millimetre": 1.0, "millimeter": 1.0, "centimetre": 10.0,
    "centimeter": 10.0, "metre": 1000.0, "meter": 1000.0,
    "in": 25.4, "inch": 25.4, "inches": 25.4, '"': 25.4, "″": 25.4, "ft": 304.8, "foot": 304.8,
}  # fmt: skip
_TIMES = {"s": 1.0, "sec": 1.0, "second": 1.0, "min": 60.0, "minute": 60.0, "h": 3600.0, "hour": 3600.0}
_PINT_TO = {"volume": "milliliter", "mass": "gram"}
_EXPECTED: dict[Kind, str] = {
    "volume": "a volume such as 100 mL, 1 L or 2 US fl oz",
    "mass": "a mass such as 15 g, 40 gr or 1/2 av oz",
    "length": "a length such as 210 mm, 30 cm or 8 in",
    "flow": "a flow such as 2 L/min",
    "concentration": "a concentration such as 90 g/L, 9 % or 40 gr/US fl oz",
}
_MOST: dict[Kind, float] = {"volume": 1e7, "mass": 1e7, "length": 1e6, "flow": 1e5, "concentration": 1e4}
"""Beyond these a number is a slip: 10 m³, 10 t, 1 km, 100 L/s, 10 kg/L."""


class Reading(msgspec.Struct, frozen=True):
    """A quantity as it was read: mL, g, mm, mL/s or g/L; `took` says which ounce or grain it is."""

    value: float
    took: str | None = None


def read(text: str, kind: Kind, *, fluid: Fluid | None = None, solid: Solid | None = None) -> Reading:
    """Return what a text says, taking an open fluid or solid ounce as `fluid` and `solid` say.

    Raises QuantityError when it cannot be read, is not positive or absurd, or leaves an ounce open
    that the caller leaves open too.
    """
    expected = _EXPECTED[kind]
    number, unit = split(text, expected)
    if not unit:
        raise QuantityError(f"{quoted(text)} has no unit: expected {expected}")
    taking = _Taking(text, fluid, solid)
    factor = taking.factor(unit, kind)
    result = number * factor
    if number < 0:
        raise QuantityError(f"{quoted(text)} is negative: expected {expected}")
    if not 0 < result <= _MOST[kind]:
        raise QuantityError(f"{quoted(text)} is absurd: expected {expected}")
    return Reading(result, "; ".join(taking.took) or None)


def volume(text: str, *, fluid: Fluid | None = None) -> float:
    """Return mL. Raises QuantityError."""
    return read(text, "volume", fluid=fluid).value


def mass(text: str, *, solid: Solid | None = None) -> float:
    """Return grams. Raises QuantityError."""
    return read(text, "mass", solid=solid).value


def length(text: str) -> float:
    """Return millimetres. Raises QuantityError."""
    return read(text, "length").value


def flow(text: str, *, fluid: Fluid | None = None) -> float:
    """Return mL per second. Raises QuantityError."""
    return read(text, "flow", fluid=fluid).value


def concentration(text: str, *, fluid: Fluid | None = None, solid: Solid | None = None) -> float:
    """Return grams per litre; `9 %` is 9 g in 100 mL. Raises QuantityError."""
    return read(text, "concentration", fluid=fluid, solid=solid).value


class _Taking:
    """One text being read: which ounces the caller means, and which were taken so far."""

    def __init__(self, text: str, fluid: Fluid | None, solid: Solid | None) -> None:
        self.text, self.fluid, self.solid = text, fluid, solid
        self.took: list[str] = []

    def factor(self, unit: str, kind: Kind) -> float:
        """Return the mL, g, mm, mL/s or g/L of one of `unit`."""
        if kind == "concentration":
            return self._concentration(unit)
        if kind == "flow":
            top, _, bottom = unit.partition("/")
            seconds = _TIMES.get(bottom.strip().lower())
            if seconds is None:
                raise self._unreadable(kind)
            return self._simple(top, "volume") / seconds
        return self._simple(unit, kind)

    def _concentration(self, unit: str) -> float:
        if unit.lower() in ("%", "per cent", "percent", "% w/v"):
            return 10.0
        top, per, bottom = unit.partition("/") if "/" in unit else unit.partition(" per ")
        bottom = bottom.strip()
        if not per or not bottom:
            raise self._unreadable("concentration")
        many = 1.0
        if bottom[0].isascii() and bottom[0].isdigit():
            many, bottom = split(bottom, _EXPECTED["concentration"])
        if many <= 0:
            raise self._unreadable("concentration")
        return self._simple(top, "mass") * 1000.0 / (many * self._simple(bottom, "volume"))

    def _unreadable(self, kind: Kind) -> QuantityError:
        return QuantityError(f"{quoted(self.text)} cannot be read: expected {_EXPECTED[kind]}")

    def _simple(self, unit: str, kind: Kind) -> float:
        table = {"volume": _VOLUMES, "mass": _MASSES, "length": _LENGTHS}[kind]
        word = _plain(unit)
        if kind == "volume":
            word = self._settle_fluid(word)
        elif kind == "mass":
            word = self._settle_solid(word)
        unit_size = table.get(word)
        if unit_size is None:
            near = nearest_word(word, table)
            hint = f" (did you mean '{near}'?)" if near else ""
            raise QuantityError(
                f"{quoted(self.text)} has a unit that is not known here: expected {_EXPECTED[kind]}{hint}"
            )
        if isinstance(unit_size, float):
            return unit_size
        return float(_pint().Quantity(1.0, unit_size).to(_PINT_TO[kind]).magnitude)

    def _settle_fluid(self, word: str) -> str:
        """Return the word with `us` or `imp` before it where it needs one, and note which."""
        prefix, _, rest = word.rpartition(" ")
        rest = {"oz": "floz", "dr": "fldr", "drachm": "fldr"}.get(rest, rest)
        if f"us {rest}" not in _VOLUMES:
            return word
        if not prefix and self.fluid is None:
            raise QuantityError(
                f"{quoted(self.text)} leaves open which {_LONG.get(rest, rest)}: write 'US' or 'imperial' "
                "before it; a US fluid ounce is 29.57 mL, an imperial one 28.41 mL"
            )
        prefix = prefix or ("us" if self.fluid == "US" else "imp")
        self.took.append(f"{'US' if prefix == 'us' else 'imperial'} {_LONG.get(rest, rest)}")
        return f"{prefix} {rest}"

    def _settle_solid(self, word: str) -> str:
        """Return the word with `av` or `ap` before it where it needs one, and note which."""
        if word in _TOOK:
            self.took.append(_TOOK[word])
            return word
        prefix, _, rest = word.rpartition(" ")
        if rest not in ("oz", "dr"):
            return word
        if not prefix and self.solid is None:
            raise QuantityError(
                f"{quoted(self.text)} leaves open which {_LONG[rest]}: write 'avoirdupois' or 'apothecaries' "
                "before it; an avoirdupois ounce is 28.35 g, an apothecaries' one 31.10 g"
            )
        prefix = prefix or ("av" if self.solid == "avoirdupois" else "ap")
        self.took.append(f"{'avoirdupois' if prefix == 'av' else 'apothecaries'} {_LONG[rest]}")
        return f"{prefix} {rest}"


_LONG = {"floz": "fluid ounce", "fldr": "fluid drachm", "oz": "ounce", "dr": "drachm"}
_TOOK = {
    "gr": "grain of 0.0648 g",
    "grain": "grain of 0.0648 g",
    "lb": "avoirdupois pound",
    "pound": "avoirdupois pound",
    "drachm": "apothecaries drachm",
}


def _plain(unit: str) -> str:
    """Return the unit in lower case, without dots and plurals, its words in the table's spelling."""
    words = [_WORDS.get(w, w) for w in unit.lower().replace(".", " ").replace("'", "").split()]
    joined = " ".join(word for word in words if word)
    for long, short in (("fl oz", "floz"), ("fl drachm", "fldr"), ("fl dr", "fldr")):
        joined = joined.replace(long, short)
    return joined


_WORDS = {
    "ounce": "oz", "ounces": "oz", "ozs": "oz", "fluid": "fl", "imperial": "imp", "uk": "imp",
    "british": "imp", "avoirdupois": "av", "apothecaries": "ap", "apothecary": "ap", "apoth": "ap",
    "troy": "ap", "grains": "grain", "grs": "gr", "grams": "gram", "grammes": "gramme", "pints": "pint",
    "pt": "pint", "quarts": "quart", "qt": "quart", "gallons": "gallon", "gal": "gallon",
    "minims": "minim", "min": "minim", "drachms": "drachm", "dram": "dr", "drams": "dr",
    "pounds": "pound", "lbs": "lb", "litres": "litre", "liters": "liter", "millilitres": "millilitre",
    "milliliters": "milliliter", "scruples": "scruple", "feet": "foot", "seconds": "second",
    "minutes": "minute", "hours": "hour",
}  # fmt: skip


@functools.cache
def _pint() -> Any:
    import pint

    return pint.UnitRegistry()
