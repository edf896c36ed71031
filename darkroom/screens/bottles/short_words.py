"""Short words for the pages of the bottles: what is due, how strong, when. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import tzinfo

from darkroom.log.plate.wall_time import parsed
from darkroom.process.text.days import show_day
from darkroom.screens.bottles.life_axis import local
from darkroom.solutions import events as ev
from darkroom.solutions.bottle import Bottle
from darkroom.solutions.bottle_strength import BottleStrength, believed
from darkroom.solutions.bottle_words import age_text, percent_text
from darkroom.solutions.care import Due


def below_words(rows: int) -> str:
    """Return how much more there is below what is in sight."""
    return "1 row more below" if rows == 1 else f"{rows:,} rows more below"


def day_text(instant: float, zone: tzinfo) -> str:
    """Return the day of an instant: "12 May 2026"."""
    return show_day(local(instant, zone).date())


def moment_text(happened: str) -> str:
    """Return RFC 3339 text as "12 May 2026 14:20", in the offset that it has; else the text as it is."""
    time = parsed(happened)
    return happened if time is None else f"{show_day(time.date())} {time:%H:%M}"


def due_words(dues: Sequence[Due], now: float) -> str:
    """Return what is due now, or what the calendar brings next; "" where neither is known."""
    at_once = [one.says for one in dues if one.now]
    if at_once:
        return "; ".join(at_once)
    coming = [(one.due, one.says) for one in dues if one.due is not None and one.due > now]
    if not coming:
        return ""
    due, says = min(coming)
    return f"in {age_text(due - now)}: {says}"


def strengths(bottle: Bottle) -> list[tuple[float, float]]:
    """Return (instant, % w/v) of each strength that the lines say and a solution can have, in order."""
    return [
        (entry.instant, entry.event.strength)
        for entry in bottle.entries
        if isinstance(entry.event, ev.Made | ev.ToppedUp | ev.Measured)
        and entry.event.strength is not None
        and believed(entry.event.strength)
    ]


def strength_words(strength: BottleStrength | None, band: bool) -> str:
    """Return a strength in % w/v, with its `band` where there is room: "≥8.1 (7.9 to 9.1) %"."""
    if strength is None:
        return ""
    figure = percent_text(strength.percent_wv).removesuffix(" %")
    at_least = "≥" if strength.at_least else ""
    if not band:
        return f"{at_least}{figure} %"
    return f"{at_least}{figure} ({strength.low:.1f} to {strength.high:.1f}) %"
