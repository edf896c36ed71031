"""The speed that a judged plate turned out to have, and how it compares with what was proposed for it.

The EV is what a daylight meter says: the plate sees other light than the meter, so the speed is an equivalent
under that light and no property of the plate alone.
"""

from __future__ import annotations

import math

import msgspec

from darkroom.exposure import effects
from darkroom.exposure.judged import JudgedPlate, LeftOut
from darkroom.log.plate.judged_exposure import judged_exposure
from darkroom.log.plate.record import PlateRecord
from darkroom.log.plate.scene_text import is_assumed, stops_text
from darkroom.process.scene import ProposedExposure, Scene
from darkroom.process.text.durations import show_short
from darkroom.process.text.lens_words import f_number

AS_EXPECTED = 0.1
"""A plate within so many stops of what was proposed was as expected."""
_COUNTED = {"light": "by the usual EV of this light", "sun": "by where the sun stood"}
"""How the light was known that a speed is reckoned with; any other EV is a daylight meter's."""
MOST_CHANGED = 30.0
"""A stop or a light that was changed by more stops than this was written wrongly."""
Bounds = tuple[float, float]


class OwnSpeed(msgspec.Struct, frozen=True, kw_only=True):
    """What a judged plate shows of its speed; bounds may be infinite where the judgement is open.

    `wanted` are the seconds it should have had, (from, to). `log2_speed` is its speed on the ISO scale as a
    logarithm, (slowest, fastest); None where no EV or no f-number is known. `ev_from` is where
    the EV is from. `faster` is by how many stops it was faster than proposed, (from, to), − is
    slower; `within` whether it wanted a time of the proposal's interval, None where an open judgement leaves
    that open. Both None where nothing was proposed,
    or the light or the stop was changed since in a way that cannot be reckoned. The proposal was only
    `assumed` where no plate stood behind it.
    """

    wanted: Bounds
    log2_speed: Bounds | None = None
    ev_from: str | None = None
    faster: Bounds | None = None
    within: bool | None = None
    assumed: bool = False


def own_speed(record: PlateRecord) -> OwnSpeed | LeftOut | None:
    """Return what a plate shows of its speed, or why it shows none; None where nobody judged its exposure."""
    judged = judged_exposure(record)
    if judged is None or isinstance(judged, LeftOut):
        return judged
    wanted = (judged.given * 2.0**judged.low, judged.given * 2.0**judged.high)
    proposed = proposed_for(record)
    return OwnSpeed(
        wanted=wanted,
        log2_speed=log2_speed(judged),
        ev_from=judged.conditions.ev_from,
        faster=None if proposed is None else _faster(proposed.seconds, wanted),
        assumed=proposed is not None and is_assumed(proposed),
        within=None if proposed is None else _is_within(wanted, (proposed.low, proposed.high)),
    )


def _is_within(wanted: Bounds, interval: Bounds) -> bool | None:
    """Return whether the middle of what was wanted lies in an interval; None where an open end hides it."""
    if wanted[0] > interval[1] or wanted[1] < interval[0]:
        return False
    if wanted[0] <= 0 or not math.isfinite(wanted[1]):
        return None
    return interval[0] <= math.sqrt(wanted[0] * wanted[1]) <= interval[1]


def log2_speed(judged: JudgedPlate) -> Bounds | None:
    """Return log2 of a plate's speed on the ISO scale, (slowest, fastest); None without EV or f-number."""
    observed = effects.observe(judged)
    if isinstance(observed, str) or effects.known_ev(judged.conditions) is None:
        return None
    return observed.low, observed.high


def proposed_for(record: PlateRecord) -> ProposedExposure | None:
    """Return what was proposed, for the light and the stop that the plate had in the end.

    A stop that was changed since the proposal changes its times with it. None where nothing was proposed, and
    where the change cannot be reckoned.
    """
    start = record.log.start
    proposed = start.proposed if start else None
    if start is None or proposed is None or not 0 < proposed.low <= proposed.seconds <= proposed.high:
        return None
    stops = _changed(start.scene or Scene(), start.aperture, record.scene or Scene(), record.aperture)
    if stops is None:
        return None
    times = 2.0**stops
    return msgspec.structs.replace(
        proposed, seconds=proposed.seconds * times, low=proposed.low * times, high=proposed.high * times
    )


def _changed(then: Scene, then_words: str | None, last: Scene, last_words: str | None) -> float | None:
    """Return by how many stops the exposure became longer with another stop or light, None where unknown."""
    then_number, last_number = _f_number(then, then_words), _f_number(last, last_words)
    if then_number is None and last_number is None and then_words == last_words:
        then_number = last_number = 1.0
    if then_number is None or last_number is None or (then.ev is None and then.light != last.light):
        return None
    if (then.ev is None) is not (last.ev is None):
        return None
    stops = 2 * math.log2(last_number / then_number) + last.lost - then.lost
    stops -= (last.ev or 0.0) - (then.ev or 0.0)
    return stops if abs(stops) < MOST_CHANGED else None


def _f_number(scene: Scene, words: str | None) -> float | None:
    number = scene.f_number if scene.f_number is not None else f_number(words)
    return float(number) if number is not None and number > 0 else None


def speed_text(speed: OwnSpeed) -> str | None:
    """Return the speed as an equivalent: "about ISO 0.5 (0.42 to 0.6), as a daylight meter counts"."""
    if speed.log2_speed is None:
        return None
    slow, fast = (2.0**bound for bound in speed.log2_speed)
    middle = math.sqrt(slow * fast) if math.isfinite(fast) and slow > 0 else None
    if middle is not None:
        text = f"about ISO {middle:.2g} ({slow:.2g} to {fast:.2g})"
    else:
        text = f"ISO {fast:.2g} at most" if math.isfinite(fast) else f"ISO {slow:.2g} at least"
    return f"{text}, {_COUNTED.get(speed.ev_from or '', 'as a daylight meter counts')}"


def wanted_text(speed: OwnSpeed) -> str:
    """Return what the plate wanted: "11 s (9.5 s to 13 s)", "8 s at most"."""
    least, most = speed.wanted
    if not math.isfinite(most):
        return f"{_seconds(least)} or more"
    if least <= 0:
        return f"{_seconds(most)} or less"
    return f"about {_seconds(math.sqrt(least * most))} ({_seconds(least)} to {_seconds(most)})"


def expected_text(speed: OwnSpeed) -> str | None:
    """Return how it compares with the proposal: "half a stop slower than expected, within the interval"."""
    if speed.faster is None:
        return None
    low, high = speed.faster
    than = "assumed" if speed.assumed else "expected"
    if math.isfinite(low) and math.isfinite(high):
        middle = (low + high) / 2
        text = f"as {than}" if abs(middle) < AS_EXPECTED else f"{_stops(middle)} than {than}"
    elif math.isfinite(high):
        text = f"at {'least' if high < 0 else 'most'} {_stops(high)} than {than}"
    else:
        text = f"at {'least' if low > 0 else 'most'} {_stops(low)} than {than}"
    if speed.within is None:
        return text
    return text + (", within the interval" if speed.within else ", outside the interval")


def speed_facts(record: PlateRecord) -> list[tuple[str, str]]:
    """Return what is told of a plate's own speed, (label, words); nothing of a plate that was not judged."""
    speed = own_speed(record)
    if speed is None:
        return []
    if isinstance(speed, LeftOut):
        return [("its speed", f"not learned from: {speed.reason}")]
    expected = expected_text(speed)
    wanted = wanted_text(speed) + (f": {expected}" if expected else "")
    text = speed_text(speed)
    return [("wanted", wanted), *([("its speed", text)] if text else [])]


def speed_as_plain(record: PlateRecord) -> dict[str, object] | None:
    """Return a plate's own speed as plain values, with null at an open end; None of a plate not judged.

    `wanted_s` in seconds, `iso` as an equivalent on the ISO scale, `faster_stops` against what was proposed.
    """
    speed = own_speed(record)
    if speed is None:
        return None
    if isinstance(speed, LeftOut):
        return {"left_out": speed.reason}
    iso = None if speed.log2_speed is None else [_iso(bound) for bound in speed.log2_speed]
    return {
        "wanted_s": [_finite(seconds) if seconds > 0 else None for seconds in speed.wanted],
        "iso": iso,
        "ev_from": speed.ev_from,
        "faster_stops": None if speed.faster is None else [_finite(stops) for stops in speed.faster],
        "within_proposal": speed.within,
    }


def _iso(log2: float) -> float | None:
    return float(f"{2.0**log2:.4g}") if math.isfinite(log2) else None


def _finite(value: float) -> float | None:
    return round(value, 3) if math.isfinite(value) else None


def _stops(faster: float) -> str:
    return f"{stops_text(round(faster * 10) / 10)} {'faster' if faster > 0 else 'slower'}"


def _seconds(seconds: float) -> str:
    return show_short(float(f"{seconds:.2g}"))


def _faster(proposed: float, wanted: Bounds) -> Bounds:
    """Return by how many stops a plate was faster than proposed, (from, to)."""
    least, most = wanted
    slowest = math.log2(proposed / most) if math.isfinite(most) else -math.inf
    return slowest, math.log2(proposed / least) if least > 0 else math.inf
