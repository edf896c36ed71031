"""What the book of bottles says, in words: what happened, how much, how old, how many plates. Pure.

Texts that people typed come out as they stand in the book; whoever shows them makes them safe to show.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import TYPE_CHECKING

from darkroom.event_base import Newer
from darkroom.process.text.days import show_day
from darkroom.process.text.temperatures import show_celsius
from darkroom.solutions import events as ev

if TYPE_CHECKING:
    from darkroom.solutions.uses import Tally

DAY = 86400.0
TREATED = {"boiled_down": "boiled down", "acid": "acid added", "alkali": "alkali added"}
"""What `how` of a `treated` line is in words, where it is not that word itself."""
SCALES = {
    "density": ("density", "g/mL"),
    "sg": ("specific gravity", ""),
    "sg_60f": ("specific gravity at 60 °F", ""),
    "baume": ("Baumé", "°"),
    "silver_us": ("silver hydrometer", "grains to the US ounce"),
    "silver_imperial": ("silver hydrometer", "grains to the imperial ounce"),
    "assay": ("assay", "% w/v"),
    "ph": ("pH", ""),
    "volume": ("volume", "mL"),
}
"""{what of a `measured` line: (its words, its unit)}."""

SHORT_UNITS = {
    "density": "g/mL", "sg": "SG", "sg_60f": "SG 60 °F", "baume": "°Bé", "silver_us": "gr/US oz",
    "silver_imperial": "gr/imp oz", "assay": "%",
}  # fmt: skip
"""{what of a `measured` line: its unit, short}; "gr" are grains."""


def happened(event: ev.BottleEvent | Newer, names: Mapping[str, str] | None = None) -> str:
    """Return what a line says happened; `names` are those of other bottles by their ids."""
    known = names or {}
    match event:
        case ev.Made():
            return _made(event, known)
        case ev.Opened():
            return "opened"
        case ev.Treated():
            words = TREATED.get(event.how, event.how)
            return f"{words}, {event.amount}" if event.amount else words
        case ev.ToppedUp():
            return _topped_up(event, known)
        case ev.Measured():
            return _measured(event)
        case ev.DrawnOff():
            volume = "some" if event.volume is None else volume_text(event.volume)
            return f"drawn off: {volume}" + (f" into {known.get(event.to, event.to)}" if event.to else "")
        case ev.SetAside():
            return _with_reason("set aside", event.reason)
        case ev.TakenUp():
            return "taken up again"
        case ev.Discarded():
            return _with_reason("discarded", event.reason)
        case ev.Postponed():
            return _with_reason(f"put off until {day_of(event.until)}: {event.care}", event.reason)
        case ev.Withdrawn():
            return _with_reason(f"withdrawn: {event.corrects}", event.reason)
        case ev.RecipeNamed():
            return f"recipe named: {event.recipe}"
        case ev.Note():
            return f"note: {event.text}"
        case Newer():
            return f"from a newer darkroom: {event.event}"


def line_words(
    event: ev.BottleEvent | Newer,
    lines: Mapping[str, ev.BottleEvent | Newer],
    names: Mapping[str, str] | None = None,
) -> str:
    """Return what a line says happened; a withdrawal says in words what it takes back.

    `lines` are all lines of the bottle by their places. What a withdrawal took back and another gives back
    counts again: "withdrawn: acid added, 1 drop", "counts again: acid added, 1 drop".
    """
    taken: ev.BottleEvent | Newer = event
    passed = 0
    while isinstance(taken, ev.Withdrawn) and taken.corrects in lines and passed <= len(lines):
        taken, passed = lines[taken.corrects], passed + 1
    if not isinstance(event, ev.Withdrawn) or isinstance(taken, ev.Withdrawn):
        return happened(event, names)  # no withdrawal, or one of a line that is nowhere, or in a circle
    verb = "withdrawn" if passed % 2 else "counts again"
    return _with_reason(f"{verb}: {happened(taken, names)}", event.reason)


def _made(event: ev.Made, names: Mapping[str, str]) -> str:
    parts = [f"made: {event.what} {event.name}"]
    if event.recipe:
        parts.append(f"recipe {event.recipe}")
    if event.volume is not None:
        parts.append(volume_text(event.volume))
    if event.strength is not None:
        parts.append(percent_text(event.strength) + " w/v")
    if event.batch:
        parts.append(f"batch {event.batch}")
    if event.from_:
        parts.append("from " + ", ".join(names.get(bottle, bottle) for bottle in event.from_))
    if event.used:
        parts.append("used before it came into the book")
    return ", ".join(parts)


def _topped_up(event: ev.ToppedUp, names: Mapping[str, str]) -> str:
    parts = []
    if event.grams is not None:
        parts.append(f"{event.grams:.3g} g")
    if event.water is not None:
        parts.append(f"{volume_text(event.water)} of water")
    if event.stock is not None:
        strength = "" if event.stock_strength is None else f" of {percent_text(event.stock_strength)}"
        parts.append(f"{volume_text(event.stock)} of stock{strength}")
    if event.from_:
        parts.append(f"from {names.get(event.from_, event.from_)}")
    text = "topped up" + (": " + ", ".join(parts) if parts else "")
    if event.strength is not None:
        text += f", to {percent_text(event.strength)} w/v"
    return text + ("" if event.volume is None else f", holds {volume_text(event.volume)}")


def reading_text(event: ev.Measured) -> str:
    """Return a measured value in the unit in which it was read, short: "36 gr/US oz", "1.066 g/mL", "4.5"."""
    if event.what == "volume":
        return volume_text(event.value)
    return f"{event.value:.5g} {SHORT_UNITS.get(event.what, '')}".rstrip()


def _measured(event: ev.Measured) -> str:
    words, unit = SCALES.get(event.what, (event.what, ""))
    value = volume_text(event.value) if event.what == "volume" else f"{event.value:.5g}"
    if event.what != "volume" and unit:
        value += unit if unit == "°" else f" {unit}"
    text = f"{words} {value}" + ("" if event.celsius is None else f" at {show_celsius(event.celsius)}")
    if event.strength is not None and event.what != "assay":
        text += f": {percent_text(event.strength)} w/v"
    return _with_reason(text, event.reason)


def _with_reason(text: str, reason: str | None) -> str:
    return f"{text} ({reason})" if reason else text


def volume_text(millilitres: float) -> str:
    """Return a volume: "940 mL", "1.5 L" from a litre on, "2.5 mL" where it is little."""
    if abs(millilitres) >= 1000:
        return f"{round(millilitres / 1000, 2) + 0.0:g} L"
    digits = 0 if abs(millilitres) >= 20 else 1
    return f"{round(millilitres, digits) + 0.0:g} mL"


def percent_text(percent: float) -> str:
    """Return a strength to a tenth: "9 %", "8.6 %"."""
    return f"{round(percent, 1) + 0.0:g} %"


def age_text(seconds: float) -> str:
    """Return an age, or how far something lies off: "5 hours", "12 days", "7 months", "3 years"."""
    seconds = abs(seconds)
    if seconds < 2 * 3600:
        return _counted(int(seconds // 60), "minute")
    if seconds < 2 * DAY:
        return _counted(int(seconds // 3600), "hour")
    days = int(seconds // DAY)
    if days < 90:
        return _counted(days, "day")
    if days < 731:
        return _counted(int(days / 30.4375), "month")
    return _counted(int(days / 365.25), "year")


def _counted(count: int, unit: str) -> str:
    return f"{count:,} {unit}" + ("" if count == 1 else "s")


def plates_text(tally: Tally) -> str:
    """Return how many plates, and how many of them are of unknown size: "38 plates, 8 of unknown size"."""
    text = _counted(tally.plates, "plate")
    return f"{text}, {tally.of_unknown_size:,} of unknown size" if tally.of_unknown_size else text


def plates_of(tally: Tally, used: bool) -> str:
    """Return a bottle's plates; of one that was `used` before it came into the book, those since then."""
    return plates_text(tally) + (" since it came into the book" if used else "")


def day_of(at: str) -> str:
    """Return the day of RFC 3339 text as "12 May 2026", or the text as it is where it has none."""
    try:
        return show_day(date.fromisoformat(at[:10]))
    except ValueError:
        return at
