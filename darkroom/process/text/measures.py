"""Volumes, masses, lengths, flows, concentrations and shares, metric and of the old books. Pure.

The unit in a text is looked up in a table of our own (`unit_sizes`). The old units of recipes have their
factor there; only the name of a rarer one is handed to pint, which is loaded for these alone: no word of the
user's reaches its parser, and `5 mL` or `40 gr` cost nothing.

Two ounces share a name twice over: US and imperial fluid ounces differ by 4 %, avoirdupois and
apothecaries' ounces by 10 %. A text that leaves it open is taken as the caller says, or refused
with the question; `read` says which was taken. Per cent by mass and by volume, and parts as `1 + 9`, are
kinds of their own (`shares`): without the density none of them is a concentration.
"""

from __future__ import annotations

import functools
import re
from typing import Any, Literal, NamedTuple, cast

from darkroom.errors import QuantityError
from darkroom.errors import nearest as nearest_word
from darkroom.late_patterns import late_pattern
from darkroom.process.text import shares
from darkroom.process.text.numbers import quoted, split
from darkroom.process.text.unit_sizes import LENGTHS, LONG, MASSES, TIMES, TOOK, VOLUMES, plain_unit

Sized = Literal["volume", "mass", "length", "flow", "concentration"]
Kind = Literal[Sized, shares.Share]
Fluid = Literal["US", "imperial"]
Solid = Literal["avoirdupois", "apothecaries"]

_PINT_TO = {"volume": "milliliter", "mass": "gram"}
_EXPECTED: dict[Sized, str] = {
    "volume": "a volume such as 100 mL, 1 L or 2 US fl oz",
    "mass": "a mass such as 15 g, 40 gr or 1/2 av oz",
    "length": "a length such as 210 mm, 30 cm or 8 in",
    "flow": "a flow such as 2 L/min",
    "concentration": "a concentration such as 90 g/L, 9 % or 40 grains to the US fl oz",
}
_MOST: dict[Sized, float] = {"volume": 1e7, "mass": 1e7, "length": 1e6, "flow": 1e5, "concentration": 1e4}
"""Beyond these a number is a slip: 10 m³, 10 t, 1 km, 100 L/s, 10 kg/L."""


class Reading(NamedTuple):
    """A quantity as it was read: mL, g, mm, mL/s, g/L, per cent, or the stock's part of the whole.

    `took` says which ounce or grain it is, and how large a drop.
    """

    value: float
    took: str | None = None


def read(text: str, kind: Kind, *, fluid: Fluid | None = None, solid: Solid | None = None) -> Reading:
    """Return what a text says, taking an open fluid or solid ounce as `fluid` and `solid` say.

    Raises QuantityError when it cannot be read, is not positive or absurd, or leaves an ounce open
    that the caller leaves open too.
    """
    if kind in shares.EXPECTED:
        return Reading(shares.read(text, cast(shares.Share, kind)))
    kind = cast(Sized, kind)
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


_PER = late_pattern(r"\s+(?:to|per|in|for)(?:\s+(?:the|an|a|each|every))?\s+|\s*/\s*", re.IGNORECASE)
"""Between what is dissolved and in how much: 40 gr/oz, 40 grains to the ounce, 9 g in 100 mL."""


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


def percent_wv(text: str, *, bare: bool = False) -> float:
    """Return grams in 100 mL of a strength: `9 %`, `90 g/L` or `40 gr/US fl oz`. Raises QuantityError.

    With `bare` a number without a unit is per cent.
    """
    is_bare = bare and text.strip() and not any(sign.isalpha() or sign == "%" for sign in text)
    percent = concentration(f"{text} %" if is_bare else text) / 10.0
    if percent > 100.0:
        raise QuantityError(
            f"{quoted(text)} is out of range, more than 100 %: expected a strength such as 9 % or 90 g/L"
        )
    return percent


def typed_percent(text: str) -> float:
    """Return the % w/v of a strength that was typed: as `percent_wv`, or 9 alone. Raises QuantityError."""
    return percent_wv(text, bare=True)


def mass_percent(text: str) -> float:
    """Return grams in 100 g of the whole for `8.4 % w/w`. Raises QuantityError."""
    return read(text, "mass per cent").value


def volume_percent(text: str) -> float:
    """Return mL in 100 mL of the whole for `95 % v/v`. Raises QuantityError."""
    return read(text, "volume per cent").value


def dilution(text: str) -> float:
    """Return the stock's part of the whole by volume: 0.1 for `1 + 9` or `1 in 10`. Raises QuantityError."""
    return read(text, "dilution").value


class _Taking:
    """One text being read: which ounces the caller means, and which were taken so far."""

    def __init__(self, text: str, fluid: Fluid | None, solid: Solid | None) -> None:
        self.text, self.fluid, self.solid = text, fluid, solid
        self.took: list[str] = []

    def factor(self, unit: str, kind: Sized) -> float:
        """Return the mL, g, mm, mL/s or g/L of one of `unit`."""
        if kind == "concentration":
            return self._concentration(unit)
        if kind == "flow":
            top, _, bottom = unit.partition("/")
            seconds = TIMES.get(bottom.strip().lower())
            if seconds is None:
                raise self._unreadable(kind)
            return self._simple(top, "volume") / seconds
        return self._simple(unit, kind)

    def _concentration(self, unit: str) -> float:
        per_cent = shares.per_cent_of(unit)
        if per_cent in ("", "w/v"):
            return 10.0
        if per_cent is not None:
            raise QuantityError(
                f"{quoted(self.text)} is {shares.SAYS[per_cent]}: expected grams in a volume, such as 9 % or "
                "90 g/L; one becomes the other by the density"
            )
        top, per, bottom = _PER.sub("/", unit, count=1).partition("/")
        bottom = bottom.strip()
        if bottom.lower().endswith(" of water"):
            raise QuantityError(
                f"{quoted(self.text)} is to a volume of water, not of solution: the density is needed "
                "too, as darkroom strength --of water has it"
            )
        if not per or not bottom:
            raise self._unreadable("concentration")
        many = 1.0
        if bottom[0].isascii() and bottom[0].isdigit():
            many, bottom = split(bottom, _EXPECTED["concentration"])
        if many <= 0:
            raise self._unreadable("concentration")
        return self._simple(top, "mass") * 1000.0 / (many * self._simple(bottom, "volume"))

    def _unreadable(self, kind: Sized) -> QuantityError:
        return QuantityError(f"{quoted(self.text)} cannot be read: expected {_EXPECTED[kind]}")

    def _simple(self, unit: str, kind: Sized) -> float:
        table = {"volume": VOLUMES, "mass": MASSES, "length": LENGTHS}[kind]
        word = plain_unit(unit)
        if kind == "volume":
            word = self._settle_fluid(word)
        elif kind == "mass":
            word = self._settle_solid(word)
        unit_size = table.get(word)
        if unit_size is None and kind == "volume" and word.split()[-1:] in (["min"], ["minute"]):
            raise QuantityError(
                f"{quoted(self.text)} is minutes: expected {_EXPECTED[kind]} (did you mean 'minim'?)"
            )
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
        if word in TOOK:
            self.took.append(TOOK[word])
        rest = {"oz": "floz", "dr": "fldr", "drachm": "fldr"}.get(rest, rest)
        if f"us {rest}" not in VOLUMES:
            return word
        if not prefix and self.fluid is None:
            raise QuantityError(
                f"{quoted(self.text)} leaves open which {LONG.get(rest, rest)}: write 'US' or 'imperial' "
                "before it; a US fluid ounce is 29.57 mL, an imperial one 28.41 mL"
            )
        prefix = prefix or ("us" if self.fluid == "US" else "imp")
        self.took.append(f"{'US' if prefix == 'us' else 'imperial'} {LONG.get(rest, rest)}")
        return f"{prefix} {rest}"

    def _settle_solid(self, word: str) -> str:
        """Return the word with `av` or `ap` before it where it needs one, and note which."""
        if word in TOOK:
            self.took.append(TOOK[word])
            return word
        prefix, _, rest = word.rpartition(" ")
        if rest not in ("oz", "dr"):
            return word
        if not prefix and self.solid is None:
            raise QuantityError(
                f"{quoted(self.text)} leaves open which {LONG[rest]}: write 'avoirdupois' or 'apothecaries' "
                "before it; an avoirdupois ounce is 28.35 g, an apothecaries' one 31.10 g"
            )
        prefix = prefix or ("av" if self.solid == "avoirdupois" else "ap")
        self.took.append(f"{'avoirdupois' if prefix == 'av' else 'apothecaries'} {LONG[rest]}")
        return f"{prefix} {rest}"


@functools.cache
def _pint() -> Any:
    import pint

    return pint.UnitRegistry()
