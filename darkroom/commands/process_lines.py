"""A process in plain lines, as `darkroom process show` prints it."""

from __future__ import annotations

from darkroom.bench import endings, moments, repeats
from darkroom.process import conditions, timing, washing
from darkroom.process.model import Process, Stage
from darkroom.process.text.durations import say_duration
from darkroom.process.text.temperatures import show_celsius
from darkroom.process.uses import bottle_role

_LIGHTS = {"white": "room light", "red": "safelight only", "covered": "covered"}


def about(loaded: Process) -> list[str]:
    """Return what a process says of the whole plate: what it makes, what is assumed, light and wet time."""
    lines = [line for line in (loaded.makes, f"plate: {loaded.plate}" if loaded.plate else None) if line]
    liquids = ", ".join(
        f"{source} {show_celsius(celsius)}" for source, celsius in loaded.temperatures.items()
    )
    lines.append(f"assumed until read: {liquids}, humidity {loaded.humidity:g} %")
    if loaded.sensitive == "never":
        lines.append("never sensitive to light")
    else:
        lines.append(f"sensitive from {loaded.sensitive.from_} to {loaded.sensitive.to}")
    window = loaded.wet_window
    if window is not None:
        case = f"{show_celsius(window.temperature)}, {window.humidity:g} %"
        span, longest = f"wet from {window.from_} to {window.to}", say_duration(window.longest)
        lines.append(f"{span}: {say_duration(window.time)} at {case}; at most {longest}")
    return lines


def of_stage(loaded: Process, index: int) -> list[str]:
    """Return the lines of a stage: light and time, what is said at each of its moments, its cautions."""
    stage = loaded.stages[index]
    return [
        f"light: {_LIGHTS[stage.light]}; ends: {stage.ends}" + ("; then to the rack" if stage.rack else ""),
        *_times(loaded, index, stage),
        *_said(loaded, stage),
        *([f"holds: {', '.join(stage.holds)}"] if stage.holds else []),
        *([f"uses the bottle in the role: {role}"] if (role := bottle_role(loaded, stage)) else []),
        *(f"caution: {caution}" for caution in stage.cautions),
        *([f"confirm: {stage.confirm}"] if stage.confirm else []),
    ]


def _times(loaded: Process, index: int, stage: Stage) -> list[str]:
    lines = []
    law = timing.law_of(loaded, index)
    if stage.wash is not None and law is not None:
        lines.append(f"time: {washing.describe(stage.wash, timing.seconds_at(law, 20.0))}")
    elif law is not None:
        whose = f" (of the {stage.at})" if stage.at else ""
        lines.append(f"time: {timing.law_text(law, say_duration)}{whose}")
    usual = timing.expected(stage, conditions.assumed(loaded, {})[stage.at or "room"])
    if usual is not None:
        lines.append(f"usually: {say_duration(usual[0])} to {say_duration(usual[1])}")
    if stage.clearing_factor is not None:
        lines.append(f"whole time: {stage.clearing_factor:g} times the clearing time")
    if stage.at_least is not None:
        lines.append(f"at least: {say_duration(stage.at_least)}")
    ending = endings.of(stage)
    if ending.calls and not ending.clears:
        asks = "ends it" if loaded.is_free_early(stage) else "is asked: again to end it"
        lines.append(f"a press before its time: {asks}")
    if stage.lead_in is not None:
        lines.append(f"lead-in: {say_duration(stage.lead_in)}")
    repeat = repeats.repeat_of(stage)
    if repeat is not None:
        lines.append(f"every {say_duration(repeat.every)}: {repeat.verb}")
    if stage.holds_plates is not None:
        lines.append(f"plates at once: {stage.holds_plates}")
    return lines


def _said(loaded: Process, stage: Stage) -> list[str]:
    """Return the verbs, in the capitals of the large letters, and the file's sentences, by their moments."""
    told: dict[str, list[str | None]] = {moment: [] for moment in ("ready", "lead-in", "running", "due")}
    if stage.lead_in:
        told["lead-in"].append(moments.verb_of_lead_in(loaded, stage).upper())
    if not stage.rack:
        told["due"].append(moments.verb_when_due(loaded, stage).upper())
    if stage.waits or stage.hints is not None:
        told["ready"].append(moments.hint_at(stage, "ready"))
    told["running"].append(moments.hint_at(stage, "running"))
    told["due"].append(moments.hint_at(stage, "due"))
    return [
        f"{moment + ':':9} {'  '.join(filter(None, parts))}" for moment, parts in told.items() if any(parts)
    ]
