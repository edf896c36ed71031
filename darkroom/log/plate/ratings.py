"""The values that a rating may give, and what a line or a judgement gives of them. Pure."""

from __future__ import annotations

from typing import Any

VALUES = ("stars", "exposure_stops", "best_strip", "exposure_word", "nothing_else")
"""The members of a rating that say something of the plate."""


def given(rating: object) -> dict[str, Any]:
    """Return {member: value} of what a rating says; a `nothing_else` of false says nothing.

    `rating` is a line of a rating, or anything that has its values.
    """
    values = {name: getattr(rating, name) for name in VALUES}
    return {name: value for name, value in values.items() if value is not None and value is not False}


def rates(rating: object) -> bool:
    """Return whether a rating says anything; a line that does not withdraws the one it corrects."""
    return bool(given(rating))
