"""What is done in small by day and in large in the nightly run: `DARKROOM_NIGHTLY=1` asks for the large."""

from __future__ import annotations

import os

NIGHTLY = os.environ.get("DARKROOM_NIGHTLY", "") not in ("", "0")


def size(variable: str, by_day: int, nightly: int) -> int:
    """Return how many of something there are: the variable's number, else by the kind of run."""
    return int(os.environ.get(variable) or (nightly if NIGHTLY else by_day))


def examples(by_day: int) -> int:
    """Return how many examples hypothesis draws: ten times as many in the nightly run."""
    return by_day * 10 if NIGHTLY else by_day
