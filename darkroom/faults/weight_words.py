"""Weights and shares in words: how strongly a weight speaks, how often a cause shows. Pure."""

from __future__ import annotations

from typing import Literal

Strength = Literal["hardly", "a little", "plainly", "strongly"]

_SHARES = ((0.8, "nearly always"), (0.55, "usually"), (0.35, "often"), (0.15, "sometimes"))


def strength(decibans: float) -> Strength:
    """Return how strongly a weight speaks, for or against: hardly under 1, a little to 3, plainly to 7."""
    size = abs(decibans)
    if size < 1:
        return "hardly"
    if size <= 3:
        return "a little"
    return "plainly" if size <= 7 else "strongly"


def how_often(link: float) -> str:
    """Return how often a cause shows as a fault, in words: from "nearly always" to "seldom"."""
    return next((words for least, words in _SHARES if link >= least), "seldom")


def percent(share: float) -> str:
    """Return a share of plates as per cent: 6 %, 0.5 %."""
    return f"{100 * share:.2g} %"
