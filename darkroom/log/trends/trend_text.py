"""Trends in words, to stand beside their figures. No sentence claims a cause. Pure."""

from __future__ import annotations

from darkroom.log.plate.scene_text import stops_text
from darkroom.log.trends.drying import OverWetTime
from darkroom.log.trends.speed import OverSpeed
from darkroom.log.trends.stars import OverNumber, OverWord, Stars
from darkroom.log.trends.trends import OverPlates, OverTemperature
from darkroom.process.text.durations import say_duration, show_duration
from darkroom.process.text.temperatures import show_celsius


def counted(number: int, word: str) -> str:
    """Return "1 plate", "2,000 plates"."""
    return f"{number:,} {word}" if number == 1 else f"{number:,} {word}s"


def signed(number: float, places: int) -> str:
    """Return a number with its sign, "0.0" where nothing is left of it."""
    rounded = round(number, places)
    return f"{rounded:+.{places}f}" if rounded else f"{0.0:.{places}f}"


def over_temperature(trend: OverTemperature) -> list[str]:
    """Say how the times compare with the process, and what was left out."""
    remarks = []
    if trend.ratio is not None:
        remarks.append(f"{trend.ratio:.2f} of what the process says")
    if trend.coefficient is not None:
        law = "" if trend.law is None else f" (the process: {trend.law:.2f})"
        remarks.append(f"10 °C colder took {trend.coefficient:.2f} times as long{law}")
    if trend.clears:
        remarks.append("what the fixer did before counts in it too")
    if trend.assumed:
        remarks.append(f"{counted(trend.assumed, 'plate')} with an assumed temperature left out")
    return remarks


def fixer_name(fixer: str | None) -> str:
    """Return what a fixer is called: of plates of which nobody typed it, "fixer not named"."""
    return "fixer not named" if fixer is None else f"fixer {fixer}"


def over_plates(trend: OverPlates) -> list[str]:
    """Say how the clearing times grew."""
    grew = "" if trend.slope is None else f", {signed(trend.slope, 1)} s a plate"
    last = f", the last after {show_duration(trend.points[-1][1])}" if len(trend.points) > 1 else ""
    remarks = [
        f"{counted(len(trend.points), 'plate')}, the first cleared after {show_duration(trend.points[0][1])}"
        f"{last}{grew}"
    ]
    if trend.doubled is not None:
        remarks.append(
            f"from plate {trend.doubled} on twice the median of the first three "
            f"({show_duration(trend.first)}): this fixer may be at its end"
        )
    return remarks


def wet(value: float, trend: OverWetTime) -> str:
    """Return a wet time as this trend counts it."""
    return f"{100 * value:.3g} %" if trend.by == "share" else show_duration(value)


def over_wet_time(trend: OverWetTime) -> list[str]:
    """Say whether plates with a fault of drying were wet longer, and what was left out."""
    remarks = [f"{counted(trend.plates, 'judged plate')}, {trend.dried:,} with a fault of drying"]
    if trend.median_dried is not None and trend.median_clean is not None and trend.coefficient is not None:
        medians = (
            f"with it {wet(trend.median_dried, trend)} (median), without {wet(trend.median_clean, trend)}"
        )
        beyond_chance = abs(trend.coefficient) > trend.chance
        remarks.append(
            f"{medians}: {'more than chance makes' if beyond_chance else 'no more than chance makes'}"
        )
    for number, why in (
        (trend.assumed, "in assumed air"),
        (trend.unjudged, "not judged"),
        (trend.unseen, "whose wet time no strike began"),
        (trend.estimated, "with estimated times"),
    ):
        if number:
            remarks.append(f"{number:,} {why} left out")
    return remarks


def value(number: float, unit: str) -> str:
    """Return a value with its unit."""
    if unit == "s":
        return show_duration(number) if number >= 60 else say_duration(round(number, 1))
    if unit == "°C":
        return show_celsius(number)
    if unit == "":
        return f"{100 * number:.3g} %"
    return f"{number:.3g}" + (" %" if unit == "%" else "")


def strength(trend: OverNumber | OverWord) -> str:
    """Say how strong the trend is, compared with what chance makes."""
    verdict = "more than chance makes" if trend.strength > 1 else "no more than chance makes"
    coefficient = trend.coefficient
    told = signed(coefficient, 2) if isinstance(trend, OverNumber) else f"{coefficient:.2f}"
    return f"{told}, {verdict} (up to {trend.chance:.2f})"


def over_stars(trend: OverNumber | OverWord) -> list[str]:
    """Say how strong the trend is and what the best and worst plates have."""
    remarks = [counted(trend.plates, "rated plate"), strength(trend)]
    if isinstance(trend, OverNumber):
        steps = [step for step in trend.by_star if step.plates >= 3] or list(trend.by_star)
        ends = (
            f"{counted(step.stars, 'star')} {value(step.median, trend.unit)}"
            for step in (steps[0], steps[-1])
        )
        remarks.append(f"median with {', '.join(ends)}")
        if trend.assumed:
            remarks.append(f"{trend.assumed:,} assumed left out")
    else:
        remarks.append(f"best: {trend.words[0].word}, {trend.words[0].mean:.1f} stars")
    remarks.append(f"one of {counted(trend.looked_at, 'thing')} looked at; no cause is claimed")
    return remarks


def speed_title(trend: OverSpeed) -> str:
    """Return the name of a trend of speeds."""
    over = "the age of the collodion" if trend.by == "age" else "the days"
    return f"speed over {over}" + (f" in {trend.light}" if trend.light else "")


def speed(stops: float, trend: OverSpeed) -> str:
    """Return a speed: "ISO 0.5", or for a light of unknown strength "+0.3 stops"."""
    if trend.light is None:
        return f"ISO {2.0 ** max(-60.0, min(60.0, stops)):.2g}"
    return f"{signed(stops, 1)} stops"


def over_speed(trend: OverSpeed) -> list[str]:
    """Say how the speed went, and what was left out."""
    remarks = [counted(len(trend.points), "judged plate")]
    if trend.slope is not None:
        slower = f"{stops_text(trend.slope)} {'slower' if trend.slope < 0 else 'faster'}"
        remarks.append(f"{slower} for each 100 days of age (least squares)")
    if trend.by == "day":
        medians = [step.median for step in trend.steps]
        remarks.append(f"{len(medians)} days, their medians {max(medians) - min(medians):.1f} stops apart")
    if trend.light is not None:
        remarks.append("in stops against their median: nobody measured this light")
    if trend.open:
        remarks.append(f"{trend.open:,} that only said more or less left out")
    if trend.unknown:
        remarks.append(f"{trend.unknown:,} whose collodion has no date left out")
    remarks.append("developer, batch and day count in it too; no cause is claimed")
    return remarks


def looked_at(stars: Stars) -> str:
    """Say how many things were looked at, and that none is called a cause."""
    strong = sum(trend.strength > 1 for trend in stars.found)
    return (
        f"{counted(stars.rated, 'rated plate')}, {counted(stars.looked_at, 'thing')} looked at, {strong} go "
        "with the stars more than chance alone would make of so many. What goes together is no cause yet."
    )


def star_title(trend: OverNumber | OverWord) -> str:
    """Return the name of a trend of stars."""
    process = f", {trend.process}" if isinstance(trend, OverNumber) else ""
    return f"stars against {trend.thing}{process}"
