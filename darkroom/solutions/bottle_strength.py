"""How strong a bottle's content is now, between which bounds, and on what that rests. Pure.

It begins with the last strength that the book says: as made, as topped up, or as measured. A hydrometer in a
used silver bath reads low, so its reading is "at least", unless the bath was boiled down after its last
plate. From there on plates carry silver out of a bath: an estimate, fitted only between two assays.
"""

from __future__ import annotations

from collections.abc import Sequence

import msgspec

from darkroom.errors import DarkroomError
from darkroom.solutions import events as ev
from darkroom.solutions import silver, strength
from darkroom.solutions.bottle import Bottle
from darkroom.solutions.bottle_words import day_of, percent_text, plates_text
from darkroom.solutions.contents import substance_of
from darkroom.solutions.events import BottleEntry
from darkroom.solutions.hydrometer import SCALES
from darkroom.solutions.uses import Use, tally

WEIGHED = 0.01
"""Part by which a strength that was weighed out, or an assay, may be wrong (common practice, no source)."""
LOW_BY = 1.0
"""% w/v by which a hydrometer in a used bath may read low: 5 % of alcohol (an estimate)."""
TIMES = 2.0
"""Times by which the silver that plates carry out may be more or less than reckoned (an estimate)."""
TOLD = 0.04
"""Part by which a strength may be wrong that was added up from what was told (an estimate)."""
FITTED_TIMES = 1.2
"""The same where it was fitted between two assays (our own choice)."""
HYDROMETERS = frozenset(name.replace("-", "_") for name in SCALES)
"""What a `measured` line calls the scales of hydrometers."""


class BottleStrength(msgspec.Struct, frozen=True, kw_only=True):
    """The strength in % w/v with its bounds; `basis` says on what it rests, in sentences without a stop.

    `said` is the strength as a line said it, where plates since then have taken of it.
    """

    percent_wv: float
    low: float
    high: float
    basis: str
    at_least: bool = False
    said: float | None = None


def strength_text(strength: BottleStrength) -> str:
    """Return a strength with its bounds: `at least 8.6 % w/v (8.5 to 9.6 %)`."""
    at_least = "at least " if strength.at_least else ""
    return f"{at_least}{percent_text(strength.percent_wv)} w/v ({strength.low:.3g} to {strength.high:.3g} %)"


def strength_of(bottle: Bottle, uses: Sequence[Use], of: str | None = None) -> BottleStrength | None:
    """Return a bottle's strength, None where nothing in the book tells it.

    `uses` are those of this bottle, `of` is the substance of its recipe. After a boiling down, or a topping
    up whose strength nobody said, it is not known until it is measured.
    """
    last = last_said(bottle)
    if last is None:
        return None
    said, at_least = _said(bottle, last, uses, of)
    return _after_plates(bottle, last, said, at_least, uses) if bottle.what == "bath" else said


def last_said(bottle: Bottle) -> BottleEntry | None:
    """Return the line that says a bottle's strength last, None where it changed since or none says it."""
    last: BottleEntry | None = None
    for entry in bottle.entries:
        event = entry.event
        if isinstance(event, ev.Made | ev.ToppedUp):
            last = entry if believed(event.strength) else None
        elif isinstance(event, ev.Treated) and event.how == "boiled_down":
            last = None
        elif isinstance(event, ev.Measured) and believed(event.strength):
            last = entry
    return last


def believed(percent: float | None) -> bool:
    """Return whether a line says a strength that a solution can have: hands may have edited it."""
    return percent is not None and 0 < percent <= 100


def reads_low(bottle: Bottle, instant: float, uses: Sequence[Use]) -> bool:
    """Return whether a hydrometer in this bottle reads low at an instant: a bath that plates used.

    Those that it made before it came into the book count too. It does until the bath was boiled down after
    its last plate.
    """
    if bottle.what != "bath":
        return False
    boiled = [entry.instant for entry in bottle.entries if _is_boiling(entry) and entry.instant <= instant]
    if bottle.used and not boiled:
        return True
    since = max(boiled, default=bottle.made)
    return any(since <= use.instant <= instant for use in uses)


def of_reading(
    bottle: Bottle, percent: float, of: str | None = None, *, hydrometer: bool, low: bool
) -> BottleStrength:
    """Return the strength that a reading of now tells; `low` is what `reads_low` says of the instant."""
    words = f"{percent_text(percent)} w/v"
    if not hydrometer:
        return _strength(percent, percent * (1 - WEIGHED), percent * (1 + WEIGHED), f"assay: {words}")
    least, most = _band(percent, bottle, of)
    if not low:
        return _strength(percent, least, most, f"hydrometer: {words}")
    basis = f"hydrometer: at least {words}, for a used bath reads low"
    return _strength(percent, least, max(most, percent + LOW_BY), basis, at_least=True)


def _said(
    bottle: Bottle, last: BottleEntry, uses: Sequence[Use], of: str | None
) -> tuple[BottleStrength, bool]:
    """Return the strength that a line says, and whether it is "at least"."""
    event, day = last.event, day_of(last.happened)
    assert isinstance(event, ev.Made | ev.ToppedUp | ev.Measured) and event.strength is not None
    percent = event.strength
    words = f"{percent_text(percent)} w/v"
    low, high = percent * (1 - WEIGHED), percent * (1 + WEIGHED)
    if isinstance(event, ev.Made):
        if bottle.used and bottle.what == "bath":
            basis = f"{words} when it came into the book, as a hydrometer reads a used bath: at least that"
            return _strength(percent, low, max(high, percent + LOW_BY), basis, at_least=True), True
        return _strength(percent, low, high, f"made {day} to {words}"), False
    if isinstance(event, ev.ToppedUp):
        before = _reading_before(bottle, last)
        at_least = before is not None and _is_low_reading(bottle, before, uses)
        at_least = at_least or (before is None and bottle.used and bottle.what == "bath")
        basis = f"topped up {day} to {words}"
        if event.reckoned:
            low, high = percent * (1 - TOLD), percent * (1 + TOLD)
            basis += ", added up from what went in, not measured"
        if before is not None and _is_hydrometer(before) and not event.reckoned:
            low, high = _band(percent, bottle, of)
        if at_least:
            basis += ", reckoned from a hydrometer in a used bath: at least that"
            high = max(high, percent + LOW_BY)
        return _strength(percent, low, high, basis, at_least), at_least
    low_reading = _is_low_reading(bottle, last, uses)
    read = of_reading(bottle, percent, of, hydrometer=_is_hydrometer(last), low=low_reading)
    what, _, rest = read.basis.partition(":")
    return msgspec.structs.replace(read, basis=f"{what} of {day}:{rest}"), low_reading


def _strength(percent: float, low: float, high: float, basis: str, at_least: bool = False) -> BottleStrength:
    return BottleStrength(percent_wv=percent, low=low, high=high, basis=basis, at_least=at_least)


def _is_boiling(entry: BottleEntry) -> bool:
    return isinstance(entry.event, ev.Treated) and entry.event.how == "boiled_down"


def _is_hydrometer(entry: BottleEntry) -> bool:
    return isinstance(entry.event, ev.Measured) and entry.event.what in HYDROMETERS


def _is_low_reading(bottle: Bottle, entry: BottleEntry, uses: Sequence[Use]) -> bool:
    return _is_hydrometer(entry) and reads_low(bottle, entry.instant, uses)


def _reading_before(bottle: Bottle, last: BottleEntry) -> BottleEntry | None:
    before: BottleEntry | None = None
    for entry in bottle.entries:
        if entry is last:
            return before
        if isinstance(entry.event, ev.Measured) and believed(entry.event.strength):
            before = entry
    return before


def _band(percent: float, bottle: Bottle, of: str | None) -> tuple[float, float]:
    """Return the bounds of a strength that a hydrometer told."""
    substance = substance_of(bottle, of)
    try:
        assert substance is not None
        return strength.band(strength.of_percent_wv(substance, percent), strength.READ_TO)
    except (AssertionError, DarkroomError):  # a substance without a table, or a strength beyond it
        return percent * (1 - 2 * WEIGHED), percent * (1 + 2 * WEIGHED)


def _after_plates(
    bottle: Bottle, last: BottleEntry, said: BottleStrength, at_least: bool, uses: Sequence[Use]
) -> BottleStrength:
    """Return a bath's strength after the plates since a line, as an estimate."""
    count = tally(uses, last.instant)
    if not count.plates:
        return said
    plates = plates_text(count)
    if bottle.volume is None or bottle.volume <= 0:
        basis = f"{said.basis}; {plates} since, not reckoned: the volume of the bath is not known"
        return msgspec.structs.replace(said, basis=basis, low=max(0.0, said.low - LOW_BY))
    area = count.assumed_area
    fitted = fitted_to_assays(bottle, uses)
    reacted = silver.REACTED if fitted is None else fitted
    times = TIMES if fitted is None else FITTED_TIMES

    def after(percent: float, share: float) -> float:
        assert bottle.volume is not None
        return silver.strength_after(percent, bottle.volume, area, reacted * share)

    grams = sum(silver.carried_out(area, said.percent_wv, reacted))
    how = (
        f"{reacted:.3f} g bound by 100 cm², fitted between two assays"
        if fitted is not None
        else f"{silver.DRAGGED:g} mL of bath and {reacted:.3f} g bound for 100 cm², assumed"
    )
    basis = f"{said.basis}; {plates} since carried out about {grams:.2g} g of silver nitrate ({how})"
    if count.of_unknown_size:
        basis += f"; those of unknown size taken as {count.usual_area:.0f} cm² each"
    return BottleStrength(
        percent_wv=after(said.percent_wv, 1.0),
        low=after(said.low, times),
        high=after(said.high, 1 / times),
        basis=basis,
        at_least=at_least,
        said=said.percent_wv,
    )


def fitted_to_assays(bottle: Bottle, uses: Sequence[Use]) -> float | None:
    """Return the g bound by 100 cm² as the last two assays have it, None without plates between them alone.

    Nothing may have been added or taken between them, and every plate must be of known size.
    """
    pair: list[BottleEntry] = []
    fitted: float | None = None
    volume: float | None = None
    for entry in bottle.entries:
        event = entry.event
        if isinstance(event, ev.Made):
            volume = event.volume
        elif isinstance(event, ev.Measured) and event.what == "volume":
            volume = event.value
        elif isinstance(event, ev.ToppedUp | ev.DrawnOff) or (
            isinstance(event, ev.Treated) and event.how == "boiled_down"
        ):
            volume = event.volume if isinstance(event, ev.ToppedUp) else None
            pair = []
        elif isinstance(event, ev.Measured) and event.what == "assay" and believed(event.strength):
            if pair and volume is not None:
                fitted = _between(pair[-1], entry, volume, uses) or fitted
            pair.append(entry)
    return fitted


def _between(first: BottleEntry, second: BottleEntry, volume: float, uses: Sequence[Use]) -> float | None:
    between = tally([use for use in uses if use.instant < second.instant], first.instant)
    if between.of_unknown_size:
        return None
    before, after = (entry.event for entry in (first, second))
    assert isinstance(before, ev.Measured) and isinstance(after, ev.Measured)
    assert before.strength is not None and after.strength is not None
    return silver.reacted_between(before.strength, after.strength, volume, between.area)
