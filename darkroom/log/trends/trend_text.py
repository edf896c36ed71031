"""Trends in words: what is said of each beside its figures. Nothing here claims a cause. Pure."""

from __future__ import annotations

from darkroom.log.trends.drying import OverWetTime
from darkroom.log.trends.stars import OverNumber, OverWord, Stars
from darkroom.log.trends.trends import OverPlates, OverTemperature
from darkroom.process.text.durations import say_duration, show_duration
from darkroom.process.text.temperatures import show_celsius


def counted(number: int, word: str) -> str:
    """Return "1 plate", "2,000 plates"."""
    return f"{number:,} {word}" if number == 1 else f"{number:,} {word}s"


def over_temperature(one: OverTemperature) -> list[str]:
    """Say how the times stand to the process, and what was left out."""
    said = []
    if one.ratio is not None:
        said.append(f"{one.ratio:.2f} of what the process says")
    if one.coefficient is not None:
        law = "" if one.law is None else f" (the process: {one.law:.2f})"
        said.append(f"10 °C colder took {one.coefficient:.2f} times as long{law}")
    if one.clears:
        said.append("what the fixer did before counts in it too")
    if one.assumed:
        said.append(f"{counted(one.assumed, 'plate')} with an assumed temperature left out")
    return said


def fixer_name(fixer: str | None) -> str:
    """Return what a fixer is called."""
    return "a fixer without a name" if fixer is None else f"fixer {fixer}"


def over_plates(one: OverPlates) -> list[str]:
    """Say how the clearing times grew."""
    grew = "" if one.slope is None else f", {one.slope:+.1f} s a plate"
    said = [
        f"{counted(len(one.points), 'plate')}, at first {show_duration(one.first)}, "
        f"at last {show_duration(one.last)}{grew}"
    ]
    if one.doubled is not None:
        said.append(f"twice the first time from plate {one.doubled} on: this fixer may be at its end")
    return said


def wet(value: float, one: OverWetTime) -> str:
    """Return a wet time as this trend counts it."""
    return f"{100 * value:.3g} %" if one.by == "share" else show_duration(value)


def over_wet_time(one: OverWetTime) -> list[str]:
    """Say whether plates with a fault of drying were wet longer, and what was left out."""
    said = [f"{counted(one.plates, 'judged plate')}, {one.dried:,} with a fault of drying"]
    if one.median_dried is not None and one.median_clean is not None and one.coefficient is not None:
        medians = f"with it {wet(one.median_dried, one)} (median), without {wet(one.median_clean, one)}"
        more = abs(one.coefficient) > one.chance
        said.append(f"{medians}: {'more than chance makes' if more else 'no more than chance makes'}")
    for number, why in (
        (one.assumed, "in assumed air"),
        (one.unjudged, "not judged"),
        (one.unseen, "whose wet time no strike began"),
        (one.estimated, "with estimated times"),
    ):
        if number:
            said.append(f"{number:,} {why} left out")
    return said


def value(number: float, unit: str) -> str:
    """Return a thing's value with its unit."""
    if unit == "s":
        return show_duration(number) if number >= 60 else say_duration(round(number, 1))
    if unit == "°C":
        return show_celsius(number)
    if unit == "":
        return f"{100 * number:.3g} %"
    return f"{number:.3g}" + (" %" if unit == "%" else "")


def strength(one: OverNumber | OverWord) -> str:
    """Say how strong, against what chance makes."""
    word = "more than chance makes" if one.strength > 1 else "no more than chance makes"
    sign = "+" if isinstance(one, OverNumber) else ""
    return f"{one.coefficient:{sign}.2f}, {word} (up to {one.chance:.2f})"


def over_stars(one: OverNumber | OverWord) -> list[str]:
    """Say how strong it is and what the best and worst have."""
    said = [counted(one.plates, "rated plate"), strength(one)]
    if isinstance(one, OverNumber):
        some = [step for step in one.by_star if step.plates >= 3] or list(one.by_star)
        ends = (
            f"{counted(step.stars, 'star')} {value(step.median, one.unit)}" for step in (some[0], some[-1])
        )
        said.append(f"median with {', '.join(ends)}")
        if one.assumed:
            said.append(f"{one.assumed:,} assumed left out")
    else:
        said.append(f"best: {one.words[0].word}, {one.words[0].mean:.1f} stars")
    said.append(f"one of {counted(one.looked_at, 'thing')} looked at; no cause is claimed")
    return said


def looked_at(stars: Stars) -> str:
    """Say how many things were looked at, and that none is called a cause."""
    strong = sum(one.strength > 1 for one in stars.found)
    return (
        f"{counted(stars.rated, 'rated plate')}, {counted(stars.looked_at, 'thing')} looked at, {strong} go "
        "with the stars more than chance alone would make of so many. What goes together is no cause yet."
    )


def star_title(one: OverNumber | OverWord) -> str:
    """Return the name of a trend of stars."""
    process = f", {one.process}" if isinstance(one, OverNumber) else ""
    return f"stars against {one.thing}{process}"
