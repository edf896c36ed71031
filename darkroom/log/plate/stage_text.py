"""A stage of a plate in words: planned time, time taken, temperature and where that is from."""

from __future__ import annotations

from darkroom.log.plate.account import StageAccount
from darkroom.process.text.durations import say_duration, show_duration
from darkroom.process.text.temperatures import show_celsius


def planned(stage: StageAccount, usual: str = "") -> str:
    """Return the planned time, or the usual range after the word `usual`, or "until a strike"."""
    if stage.planned is not None:
        return show_duration(stage.planned)
    if stage.usual is not None:
        return f"{usual}{show_duration(stage.usual[0])} to {show_duration(stage.usual[1])}"
    return "until a strike"


def took(stage: StageAccount) -> str:
    """Return the time it took, with the opening of the lens, the clearing and the strips of an exposure."""
    text = "" if stage.how == "skipped" else show_duration(stage.seconds)
    if stage.exposed is not None:
        text += f" (open {say_duration(stage.exposed)})"
    if stage.cleared is not None:
        text += f" (cleared {show_duration(stage.cleared)})"
    if stage.strips:
        text += " (strips " + ", ".join(f"{strip:g}" for strip in stage.strips) + " s)"
    return text


def origin(where: str | None) -> str:
    """Say where a temperature is from: typed by hand, measured by a thermometer, or assumed."""
    return {"hand": "typed by hand", "assumed": "assumed", None: ""}.get(where) or f"measured by {where}"


def temperature(stage: StageAccount) -> str:
    """Return the temperature that counted when the stage began, and where it is from."""
    if stage.celsius is None:
        return ""
    return f"{stage.source} {show_celsius(stage.celsius)}, {origin(stage.origin)}"
