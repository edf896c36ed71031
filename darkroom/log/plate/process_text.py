"""A process in a few words, as a plate's journal keeps it: its stages, their times, its wet time. Pure."""

from __future__ import annotations

from darkroom.bench import endings
from darkroom.process import timing, washing
from darkroom.process.model import Process, Stage
from darkroom.process.text.durations import say_duration, show_duration
from darkroom.process.text.temperatures import show_celsius

LIGHTS = {"white": "room light", "red": "safelight", "covered": "covered"}


def stage_line(process: Process, stage: Stage) -> str:
    """Return what the process says of a stage, in one line."""
    parts = [LIGHTS[stage.light], endings.of(stage).text]
    law = timing.law_of(process, process.index(stage.name))
    if stage.wash is not None and law is not None:
        parts.append(washing.describe(stage.wash, timing.seconds_at(law, 20.0)))
    elif law is not None:
        parts.append((f"{stage.at}: " if stage.at else "") + timing.law_text(law))
    assumed = process.temperatures.get(stage.at or "room", 20.0)
    usual = timing.expected(stage, assumed)
    if usual is not None:
        parts.append(
            f"usual {show_duration(usual[0])} to {show_duration(usual[1])} at {show_celsius(assumed)}"
        )
    if stage.clearing_factor is not None:
        parts.append(f"{stage.clearing_factor:g} times the clearing")
    if stage.lead_in is not None:
        parts.append(f"lead-in {say_duration(stage.lead_in)}")
    parts += ["to the rack"] if stage.rack else []
    parts += ["may be left out"] if stage.optional else []
    return "; ".join(parts)


def wet_line(process: Process) -> str | None:
    """Return how long a plate stays wet, or None for a process that need not."""
    window = process.wet_window
    if window is None:
        return None
    return (
        f"from {window.from_} to {window.to}: about {show_duration(window.time)} at "
        f"{show_celsius(window.temperature)} and {window.humidity:g} %"
    )
