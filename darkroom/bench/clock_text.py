"""The bench's own short sentences, so that screen, voice and journal say the same."""

from __future__ import annotations

import math


def clock(seconds: float) -> str:
    """Return "3:30" or "1:02:05"; a part of a second is left out."""
    whole = int(max(0.0, seconds))
    hours, rest = divmod(whole, 3600)
    minutes, second = divmod(rest, 60)
    return f"{hours}:{minutes:02d}:{second:02d}" if hours else f"{minutes}:{second:02d}"


def left(seconds: float) -> str:
    """Return what is left as "1:05", a part of a second counted as a whole one."""
    return clock(math.ceil(seconds - 1e-9))


def short(seconds: float) -> str:
    """Return "8 s", "2.5 s" or "3:30" for a line of text."""
    if seconds < 100:
        return f"{seconds:.3g} s"
    return clock(round(seconds))
