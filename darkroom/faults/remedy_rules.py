"""What a remedy or a test may say: what alters a bottle, what needs a caution, what is never offered. Pure.

A remedy that alters a bottle comes after a test, and the test is made on a sample or alters nothing. The
rules are common practice, from memory; the supplier's safety sheets come first. A text is judged by its
words, so a remedy that speaks of acid counts as one that adds it.
"""

from __future__ import annotations

import re

from darkroom.late_patterns import late_pattern

_ACID_OR_ALKALI = (
    r"acid|acids|acidif\w*|acidulat\w*|nitric|acetic|alkali|alkaline|ammonia|bicarbonate|carbonate|soda|caustic|"
    r"neutrali[sz]\w*"
)
_DONE_TO_BOTTLE = (
    r"boil\w*|evaporat\w*|permanganate|peroxide|fus(?:e|ed|ing)|dilut\w*|strengthen\w*|top(?:ped|ping)? up|"
    r"(?:add|adding|mix|mixing|drip|drop)\b(?: [\w%-]+){0,4} "
    r"(?:silver|nitrate|iodide|bromide|iodine|alcohol|spirits?|ether|water|collodion|permanganate|kaolin|sugar)"
)
_ALTERS = late_pattern(rf"\b(?:{_ACID_OR_ALKALI}|{_DONE_TO_BOTTLE})\b", re.IGNORECASE)
_DOES = late_pattern(rf"\b(?:{_DONE_TO_BOTTLE})\b", re.IGNORECASE)
_SAMPLE = late_pattern(
    r"\b(?:samples?|cup|beaker|measure|dish|glass|portion|part|some of|another bottle|small amount|"
    r"to (?:a little|\d+ ?mL)|(?:mix|dilute|boil) a little (?:of|with))\b",
    re.IGNORECASE,
)
_TAKES_FIRE = r"ether|collodions?|alcohol|spirits?|flame"
_NEEDS_CAUTION = late_pattern(
    rf"\b(?:{_ACID_OR_ALKALI}|boil\w*|cyanide|{_TAKES_FIRE}|silver nitrate|add silver)\b", re.IGNORECASE
)
_MERCURY = late_pattern(r"mercur|sublimate|quicksilver|calomel", re.IGNORECASE)
_CYANIDE = late_pattern(r"\bcyanide\b", re.IGNORECASE)
_ACID = late_pattern(r"\b(?:acid|acids|acidif\w*|acidulat\w*|nitric|acetic|vinegar)\b", re.IGNORECASE)


def alters_bottle(text: str) -> str | None:
    """Return the words of a remedy that alter what is in a bottle: acid, boil, add alcohol; else None."""
    found = _ALTERS.search(text)
    return None if found is None else found[0]


def altered_by_test(text: str) -> str | None:
    """Return the words of a test that alter a whole bottle and not a sample of it, else None."""
    found = _DOES.search(text)
    return None if found is None or _SAMPLE.search(text) else found[0]


def needs_caution(text: str) -> str | None:
    """Return the word of a remedy or test that must not stand without a caution, else None."""
    found = _NEEDS_CAUTION.search(text)
    return None if found is None else found[0]


def never_offered(text: str) -> str | None:
    """Return why a remedy or test is refused whatever stands with it, else None."""
    if _MERCURY.search(text):
        return "mercury is never offered"
    if _CYANIDE.search(text) and _ACID.search(text):
        return "cyanide and acid in one sentence: acid sets hydrogen cyanide free, and it kills at once"
    return None
