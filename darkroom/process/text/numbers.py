"""The numbers people write: `12`, `12.5`, `1/2`, `1 1/2`, `1½`. Pure.

One grammar for every quantity. Exponents, thousands separators, decimal commas, other scripts'
digits, `nan` and `inf` are no numbers here, so each is refused with a sentence of its own.
"""

from __future__ import annotations

import re

from darkroom.errors import QuantityError, harmless
from darkroom.late_patterns import late_pattern

_VULGAR = {
    "½": 1 / 2, "¼": 1 / 4, "¾": 3 / 4, "⅓": 1 / 3, "⅔": 2 / 3,
    "⅛": 1 / 8, "⅜": 3 / 8, "⅝": 5 / 8, "⅞": 7 / 8, "⅕": 1 / 5, "⅙": 1 / 6,
}  # fmt: skip
_SIGN = "[+\\-−]"
_PLAIN = r"(?:[0-9]{1,12}(?:\.[0-9]{1,20})?|\.[0-9]{1,20})"
_FRACTION = r"(?:(?:[0-9]{1,6}[ \u00a0\u202f])?[0-9]{1,6}/[0-9]{1,6})"
_MIXED = rf"(?:(?:[0-9]{{1,6}} ?)?[{''.join(_VULGAR)}])"

NUMBER = rf"(?:{_FRACTION}|{_MIXED}|{_PLAIN})"
"""A number without a sign, as a regular expression without groups."""

_SPLIT = late_pattern(rf"(?P<sign>{_SIGN}?)[ \u00a0]?(?P<number>{NUMBER})(?P<rest>(?![0-9./]).*)", re.DOTALL)
_ENDLESS = late_pattern(r"[+\-−.]*((nan|inf|infinity|endless|forever)\b|∞)", re.IGNORECASE)


def quoted(text: str) -> str:
    """Return `text` in quotation marks, shortened and printable."""
    shown = harmless(text)
    return f"'{shown[:40]}…'" if len(shown) > 40 else f"'{shown}'"


def value(number: str) -> float:
    """Return the value of a text that matches NUMBER. Raises QuantityError for a fraction over 0."""
    number = number.replace("\u00a0", " ").replace("\u202f", " ").strip()
    if number[-1] in _VULGAR:
        return float(number[:-1].strip() or 0) + _VULGAR[number[-1]]
    if "/" not in number:
        return float(number)
    whole, _, fraction = number.rpartition(" ")
    top, bottom = fraction.split("/")
    if float(bottom) == 0:
        raise QuantityError(f"{quoted(number)} divides by nothing")
    return float(whole or 0) + float(top) / float(bottom)


def split(text: str, expected: str) -> tuple[float, str]:
    """Return (number with its sign, the rest without spaces around it).

    `expected` names what should have stood there, for the error. Raises QuantityError.
    """
    text = text.strip()
    match = _SPLIT.fullmatch(text)
    if match is None:
        raise QuantityError(_reason(text, expected))
    sign = -1.0 if match["sign"] in ("-", "−") else 1.0
    rest = match["rest"].strip()
    if rest.startswith(",") or re.match(r"[eE][+\-]?[0-9]", rest):
        raise QuantityError(_reason(text, expected))
    return sign * value(match["number"]), rest


def _reason(text: str, expected: str) -> str:
    if not text:
        return f"nothing is written here: expected {expected}"
    if _ENDLESS.match(text):
        return f"{quoted(text)} is not a finite number: expected {expected}"
    if re.match(r"[+\-−]?[0-9]+,[0-9]", text):
        return f"{quoted(text)} has a comma in its number, write a point: expected {expected}"
    if re.match(r"[+\-−]?[0-9.]+[eE][+\-]?[0-9]", text):
        return f"{quoted(text)} has an exponent, write it out: expected {expected}"
    return f"{quoted(text)} cannot be read: expected {expected}"


def plain(text: str, *, least: float, most: float, what: str = "a number") -> float:
    """Return a number without a unit that lies between `least` and `most`. Raises QuantityError."""
    expected = f"{what} between {least:g} and {most:g}"
    number, rest = split(text, expected)
    if rest:
        raise QuantityError(f"{quoted(text)} cannot be read: expected {expected}, without a unit")
    if not least <= number <= most:
        raise QuantityError(f"{quoted(text)} is out of range: expected {expected}")
    return number


def whole(text: str, *, least: int, most: int, what: str = "a number") -> int:
    """Return a whole number without a unit between `least` and `most`. Raises QuantityError."""
    number = plain(text, least=least, most=most, what=what)
    if number != int(number):
        raise QuantityError(f"{quoted(text)} is no whole number: expected {what} from {least} to {most}")
    return int(number)


def percent(text: str, *, bare: bool = True) -> float:
    """Return the number in `50 %` or `50 per cent`, 0 to 100; `50` alone only where `bare` is true.

    Raises QuantityError.
    """
    expected = "per cent between 0 and 100, such as 50 %"
    number, unit = split(text, expected)
    if not unit and not bare:
        raise QuantityError(f"{quoted(text)} has no unit: expected {expected}")
    if unit.lower() not in ("", "%", "per cent", "percent", "% rh"):
        raise QuantityError(f"{quoted(text)} cannot be read: expected {expected}")
    if not 0 <= number <= 100:
        raise QuantityError(f"{quoted(text)} is out of range: expected {expected}")
    return number
