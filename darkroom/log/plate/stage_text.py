"""A stage of a plate in words: planned time, time taken, temperature and where that is from."""

from __future__ import annotations

from darkroom.bench import events as ev
from darkroom.log.plate.account import StageAccount
from darkroom.log.plate.account_lines import origin
from darkroom.log.plate.record import PlateRecord
from darkroom.process.text.durations import say_duration, show_duration
from darkroom.process.text.temperatures import show_celsius

SEEN: dict[ev.How, str] = {
    "strike": "observed",
    "short": "observed",
    "zero": "called",
    "told": "told later",
    "skipped": "left out",
}
"""What is known of a stage's end: a strike saw it, the clock called it, someone told it afterwards."""

HOW: dict[ev.How, str] = {
    "strike": "struck",
    "short": "struck short",
    "zero": "by itself at zero",
    "told": "told on coming back",
    "skipped": "left out",
}


def planned(stage: StageAccount, usual: str = "") -> str:
    """Return the planned time, or the usual range after the word `usual`, or "until a press"."""
    if stage.planned is not None:
        return show_duration(stage.planned)
    if stage.usual is not None:
        return f"{usual}{show_duration(stage.usual[0])} to {show_duration(stage.usual[1])}"
    return "until a press"


def took(stage: StageAccount) -> str:
    """Return the time it took, with the opening of the lens, the clearing and the strips of an exposure."""
    text = "" if stage.how == "skipped" else show_duration(stage.seconds)
    if stage.unseen:
        text += " until somebody looked"
    if stage.exposed is not None:
        text += f" (open {say_duration(stage.exposed)})"
    if stage.cleared is not None:
        text += f" (cleared {show_duration(stage.cleared)})"
    if stage.strips:
        text += f" ({strips_text(stage.strips)})"
    return text


def strips_text(strips: tuple[float, ...]) -> str:
    """Return the time that each strip of a test plate got in all, first strip first: "strips 2, 4, 8 s"."""
    return "strips " + ", ".join(f"{strip:g}" for strip in strips) + " s"


def given(record: PlateRecord) -> str | None:
    """Return what the plate got in the camera: "8 s", "strips 2, 4, 8 s, best 2", "exposure not known"."""
    stage = record.exposure_stage
    if stage is None:
        return None
    if record.exposed is None:
        return "exposure not known"
    if not stage.strips:
        return say_duration(record.exposed)
    best = record.judged.best_strip
    return strips_text(stage.strips) + ("" if best is None else f", best {best}")


def ended(stage: StageAccount) -> str:
    """Return how it ended: "struck", "by itself at zero", "2:10 short, asked and confirmed"."""
    if stage.unseen:
        return "nobody saw when"
    if stage.how == "short" and stage.planned is not None and stage.planned > stage.seconds:
        return f"{show_duration(stage.planned - stage.seconds)} short, asked and confirmed"
    return HOW[stage.how]


def unseen(stage: StageAccount) -> str:
    """Return what is asked of an exposure whose end nobody saw."""
    return f"{stage.stage}: nobody saw when the cap went on. How long was it open?"


def temperature(stage: StageAccount) -> str:
    """Return the temperature that counted when the stage began, and where it is from."""
    if stage.celsius is None:
        return ""
    return f"{stage.source} {show_celsius(stage.celsius)}, {origin(stage.origin)}"
