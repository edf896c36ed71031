"""What was learned of the next exposure, in the words of the form: a sentence, a time, a test plate."""

from __future__ import annotations

from darkroom.errors import QuantityError
from darkroom.exposure import steps
from darkroom.exposure.learned import Learned
from darkroom.exposure.plate_names import plate_names
from darkroom.process.scene import ProposedExposure
from darkroom.process.text.durations import show_short

NO_NUMBER = "no time is proposed: tell the aperture (f/8), and light or meter"
MINUTE = 60.0


def rounded(seconds: float) -> float:
    """Return a time to two figures: nobody caps a lens more exactly."""
    return float(f"{seconds:.2g}")


def sentence(learned: Learned) -> str:
    """Return "8 s, between 5 and 13, from 12 plates: mostly 31 and 40", or that it is assumed.

    Where plates were judged and none counts, the newest of them says why.
    """
    times = _times(learned)
    if times is None:
        return NO_NUMBER
    time, low, high = times
    proposed = f"{time}, between {low} and {high}"
    if not learned.plates and learned.left_out:
        newest = max(learned.left_out, key=lambda left_out: left_out.plate)
        return f"{proposed}, assumed: plate {newest.number} is left out, {newest.reason}"
    if not learned.plates:
        return f"{proposed}, assumed: no judged plate tells it yet"
    weighing = sorted(learned.weigh, key=lambda weighing: (weighing.number, weighing.plate))
    names = plate_names((plate.plate, plate.number) for plate in weighing)
    mostly = (
        f": mostly {' and '.join(names[plate.plate] for plate in weighing)}" if learned.plates > 2 else ""
    )
    return f"{proposed}, from {learned.plates} plate{'s' if learned.plates > 1 else ''}{mostly}"


def brief(learned: Learned) -> str | None:
    """Return "8 s, 5 to 13" for the row of a menu, "assumed" where it is; None where no time is."""
    times = _times(learned)
    assumed = "" if learned.plates else ", assumed"
    return None if times is None else f"{times[0]}, {times[1]} to {times[2]}{assumed}"


def after_judging(learned: Learned, plate: str) -> str | None:
    """Return what is proposed once a plate was judged, and why the plate does not count where it does not.

    "next plate: 5.4 s, 3 to 9", "not learned from: past wet; next plate: 5.4 s, assumed"; None where there is
    neither.
    """
    reason = next((each.reason for each in learned.left_out if each.plate == plate), None)
    proposed = brief(learned)
    if reason is None:
        return None if proposed is None else f"next plate: {proposed}"
    said = f"not learned from: {reason}"
    if learned.seconds is None:
        return said
    assumed = "" if learned.plates else ", assumed"
    return f"{said}; next plate: {show_short(rounded(learned.seconds))}{assumed}"


def _times(learned: Learned) -> tuple[str, str, str] | None:
    """Return the time with its unit and the ends of its interval, these without where they are short."""
    if learned.seconds is None or learned.seconds_low is None or learned.seconds_high is None:
        return None
    low, high = rounded(learned.seconds_low), rounded(learned.seconds_high)
    ends = (f"{low:g}", f"{high:g}") if high < MINUTE else (show_short(low), show_short(high))
    return show_short(rounded(learned.seconds)), *ends


def proposed_exposure(learned: Learned) -> ProposedExposure | None:
    """Return what a plate's first line says was proposed, None where no time was."""
    if learned.seconds is None or learned.seconds_low is None or learned.seconds_high is None:
        return None
    return ProposedExposure(
        seconds=rounded(learned.seconds),
        low=rounded(learned.seconds_low),
        high=rounded(learned.seconds_high),
        plates=learned.plates,
        from_="plates" if learned.plates else "assumed",
    )


def proposed_strips(learned: Learned) -> steps.TestPlate | None:
    """Return the test plate for the interval; None where there is none."""
    if learned.seconds is None or learned.seconds_low is None or learned.seconds_high is None:
        return None
    try:
        return steps.proposed(learned.seconds_low, learned.seconds, learned.seconds_high)
    except QuantityError:  # strips too short or too long to be exposed
        return None


def pulls_text(plate: steps.TestPlate) -> str:
    """Return the openings of a test plate as the form of a plate takes them: "2,2,4,8,16"."""
    return ",".join(f"{round(pull, 2):g}" for pull in plate.pulls)
