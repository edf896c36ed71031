"""`darkroom process`: list, show and check process files, and tell their times.

These commands write plain text in the terminal's own colours: only the full-screen tool is red.
"""

from __future__ import annotations

import click
import msgspec

from darkroom import resources
from darkroom.bench import endings
from darkroom.commands.groups import CommandGroup
from darkroom.commands.output import NOT_RED, print_json
from darkroom.errors import NotReadable, ProcessError
from darkroom.process import conditions, timing, washing, wetness
from darkroom.process.model import Hints, Process, Stage, Verbs
from darkroom.process.text.durations import say_duration, show_duration
from darkroom.process.text.humidity import HUMIDITY_WORDS
from darkroom.process.text.humidity import humidity as humidity_percent
from darkroom.process.text.temperatures import show_celsius


@click.group(cls=CommandGroup, help=f"Process files: what is done to a plate, step by step.\n\n{NOT_RED}")
def process() -> None:
    """Gather the commands about process files."""


@process.command(
    "list",
    help="List the shipped processes and your own in `profiles/` in the folder of the log.\n\n"
    f"Example: darkroom process list --json\n\n{NOT_RED}",
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def list_(as_json: bool) -> None:
    """List the shipped processes, then the user's own."""
    listed = [(path, resources.read_process(path)) for path in resources.shipped_processes()]
    for path in resources.own_processes():
        try:
            listed.append((path, resources.read_process(path)))
        except (NotReadable, ProcessError):
            click.echo(f"{path.stem} has mistakes: darkroom process check {path}", err=True)
    if as_json:
        print_json(
            [
                {
                    "process": path.stem,
                    "name": loaded.name,
                    "makes": loaded.makes,
                    "plate": loaded.plate,
                    "stages": [stage.name for stage in loaded.stages],
                    "file": str(path),
                }
                for path, loaded in listed
            ]
        )
        return
    width = max((len(path.stem) for path, _ in listed), default=0)
    for path, loaded in listed:
        click.echo(f"{path.stem:{width}}  {loaded.name}{': ' + loaded.makes if loaded.makes else ''}")


@process.command(
    help="Show a process: its stages, light, times, cautions.\n\n"
    "NAME is a process of the list or a file. The first lines say where its file lies.\n\n"
    f"Example: darkroom process show tintype\n\n{NOT_RED}"
)
@click.argument("name")
@click.option("--json", "as_json", is_flag=True, help="Print the whole process as JSON.")
def show(name: str, as_json: bool) -> None:
    """Show one process."""
    from darkroom.process.file.profile import to_plain

    path = resources.find_process(name)
    loaded = resources.read_process(path)
    if as_json:
        print_json(to_plain(loaded))
        return
    click.echo(loaded.name)
    click.echo(f"  file: {path}")
    for line in _about(loaded):
        click.echo(f"  {line}")
    for index, stage in enumerate(loaded.stages):
        click.echo(f"\n{index + 1:2}  {stage.shown}{' (optional)' if stage.optional else ''}")
        for line in _stage_lines(loaded, index, stage):
            click.echo(f"    {line}")


@process.command(
    help="Check process files and print every mistake in them, with file, line and key.\n\n"
    "Exit status: 0 all right, 1 something is wrong in a file, 2 a file cannot be read.\n\n"
    f"Example: darkroom process check my-tintype.yaml\n\n{NOT_RED}"
)
@click.argument("files", nargs=-1, required=True, metavar="FILE...")
@click.pass_context
def check(context: click.Context, files: tuple[str, ...]) -> None:
    """Check files; print each problem; exit 1 on a mistake, 2 on a file that cannot be read."""
    wrong, unreadable = 0, 0
    for name in files:
        try:
            resources.load_process(name)
        except ProcessError as error:
            wrong += 1
            click.echo(str(error))
        except NotReadable as error:
            unreadable += 1
            click.echo(str(error), err=True)
    right = len(files) - wrong - unreadable
    click.echo(_verdict(right, wrong, unreadable), err=True)
    if wrong or unreadable:
        context.exit(NotReadable.exit_status if unreadable else ProcessError.exit_status)


def _verdict(right: int, wrong: int, unreadable: int) -> str:
    parts = ((right, "right"), (wrong, "wrong"), (unreadable, "not readable"))
    return ", ".join(f"{number} {word}" for number, word in parts if number)


@process.command(
    help="Tell how long each stage takes at today's temperatures, and how long a plate stays wet.\n\n"
    "NAME is a process of the list or a file. A temperature not given is the one the process assumes.\n\n"
    f"Example: darkroom process times clear-glass --temperature bath=18C,developer=20C\n\n{NOT_RED}"
)
@click.argument("name")
@click.option(
    "--temperature",
    "temperatures",
    multiple=True,
    metavar="20C|bath=18C,...",
    help="One temperature for everything, or one for each liquid.",
)
@click.option(
    "--humidity", metavar="PERCENT", help=f"Of the room: 55, or a word: {', '.join(HUMIDITY_WORDS)}."
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON; seconds, or null without a time.")
def times(name: str, temperatures: tuple[str, ...], humidity: str | None, as_json: bool) -> None:
    """Tell the time of each stage."""
    typed_temperatures = conditions.typed_temperatures(temperatures)
    air = None if humidity is None else humidity_percent(humidity)
    loaded = resources.load_process(name)
    temperatures_used = conditions.assumed(loaded, typed_temperatures)
    air = loaded.humidity if air is None else air
    window = loaded.wet_window
    wet = None if window is None else wetness.window_seconds(window, temperatures_used["room"], air)
    rows = [
        (stage, timing.stage_seconds(loaded, index, temperatures_used[stage.at or "room"]))
        for index, stage in enumerate(loaded.stages)
    ]
    if as_json:
        stages = [
            {"stage": stage.name, "seconds": _rounded(seconds), "ends": stage.ends} for stage, seconds in rows
        ]
        print_json({"process": loaded.name, "stages": stages, "wet_window": _rounded(wet)})
        return
    click.echo(loaded.name)
    width = max(len(stage.name) for stage, _ in rows)
    for stage, seconds in rows:
        click.echo(f"  {stage.name:{width}}  {_time_line(stage, seconds, temperatures_used)}")
    if window is not None and wet is not None:
        where = f"room {show_celsius(temperatures_used['room'])}, {air:g} %"
        click.echo(f"  {'':{width}}  stays wet about {say_duration(wet)} ({where}): an estimate")


def _rounded(seconds: float | None) -> float | None:
    return None if seconds is None else round(seconds, 3)


def _time_line(stage: Stage, seconds: float | None, given: dict[str, float]) -> str:
    celsius = given[stage.at or "room"]
    where = f"{stage.at} {show_celsius(celsius)}" if stage.at else ""
    if stage.limits and not stage.limits[0] <= celsius <= stage.limits[1]:
        low, high = (show_celsius(limit) for limit in stage.limits)
        where += f", outside {low} to {high}"
    if seconds is None:
        usual = timing.expected(stage, celsius)
        how = endings.of(stage).time_text
        text = (
            how if usual is None else f"{how}, usually {say_duration(usual[0])} to {say_duration(usual[1])}"
        )
    else:
        text = f"{show_duration(seconds):>7}" if seconds >= 10 else f"{say_duration(seconds):>7}"
    notes = [note for note in (where, washing.ESTIMATE if stage.wash else "") if note]
    return f"{text}  ({'; '.join(notes)})" if notes else text


def _about(loaded: Process) -> list[str]:
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


def _stage_lines(loaded: Process, index: int, stage: Stage) -> list[str]:
    light = {"white": "room light", "red": "safelight only", "covered": "covered"}[stage.light]
    lines = [f"light: {light}; ends: {stage.ends}" + ("; then to the rack" if stage.rack else "")]
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
    if stage.lead_in is not None:
        lines.append(f"lead-in: {say_duration(stage.lead_in)}")
    if stage.holds:
        lines.append(f"holds: {', '.join(stage.holds)}")
    lines.extend(f"caution: {caution}" for caution in stage.cautions)
    if stage.confirm:
        lines.append(f"confirm: {stage.confirm}")
    if stage.early:
        lines.append(f"a strike before its time: {'ends it' if stage.early == 'free' else 'is asked'}")
    if stage.repeat:
        lines.append(f"every {say_duration(stage.repeat.every)}: {stage.repeat.verb}")
    if stage.holds_plates:
        lines.append(f"holds {stage.holds_plates} plates at once")
    if stage.verb:
        lines += [f"verb, {when}: {word}" for when, word in _moments(stage.verb)]
    if stage.hints:
        lines += [f"hint, {when}: {sentence}" for when, sentence in _moments(stage.hints)]
    elif stage.hint:
        lines.append(f"hint: {stage.hint}")
    return lines


def _moments(sentences: Verbs | Hints) -> list[tuple[str, str]]:
    """Return (moment, text) of what a stage says at each of its moments."""
    told: dict[str, str] = msgspec.to_builtins(sentences)
    return [(moment.replace("_", "-"), text) for moment, text in told.items()]
