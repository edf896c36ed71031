"""`darkroom process`: list, show and check process files, and tell their times.

These commands write plain text in the terminal's own colours: only the full-screen tool is red.
"""

from __future__ import annotations

import click

from darkroom import resources
from darkroom.bench import endings
from darkroom.commands import process_lines
from darkroom.commands.checked_files import problem_as_json, verdict
from darkroom.commands.groups import NAME_OR_PATH, CommandGroup
from darkroom.commands.output import NOT_RED, print_json
from darkroom.errors import NotReadable, Problem, ProcessError, harmless
from darkroom.process import conditions, timing, washing, wetness
from darkroom.process.model import Stage
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
            click.echo(harmless(f"{path.stem} has mistakes: darkroom process check {path}"), err=True)
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
        click.echo(
            f"{harmless(path.stem):{width}}  {loaded.name}{': ' + loaded.makes if loaded.makes else ''}"
        )


@process.command(
    help="Show a process: its stages, light, times, cautions.\n\n"
    "NAME is a process of the list or a file. The first lines say where its file lies.\n\n"
    f"Example: darkroom process show tintype\n\n{NOT_RED}"
)
@click.argument("name", type=NAME_OR_PATH, metavar="NAME")
@click.option("--json", "as_json", is_flag=True, help="Print the whole process as JSON.")
def show(name: str, as_json: bool) -> None:
    """Show one process."""
    from darkroom.process.file.plain_form import to_plain

    path = resources.find_process(name)
    loaded = resources.read_process(path)
    if as_json:
        print_json(to_plain(loaded))
        return
    click.echo(loaded.name)
    click.echo(f"  file: {harmless(str(path))}")
    for line in process_lines.about(loaded):
        click.echo(f"  {line}")
    for index, stage in enumerate(loaded.stages):
        click.echo(f"\n{index + 1:2}  {stage.shown}{' (optional)' if stage.optional else ''}")
        for line in process_lines.of_stage(loaded, index):
            click.echo(f"    {line}")


@process.command(
    help="Check process files and print every mistake in them, with file, line and key.\n\n"
    "Words that a right file would speak and that have no recording are noted on standard error, with what "
    "is said instead: they are no mistakes.\n\n"
    "With --json a list of {file, line, key, what, near}: null where a mistake has no line, no key or no "
    "nearest right word. A note on what has no recording has two members more: words, those without one, "
    "and instead, what is said (null: the plate's number).\n\n"
    "Exit status: 0 all right, 1 something is wrong in a file, 2 a file cannot be read.\n\n"
    f"Example: darkroom process check my-tintype.yaml\n\n{NOT_RED}"
)
@click.argument("files", nargs=-1, required=True, metavar="FILE...", type=NAME_OR_PATH)
@click.option("--json", "as_json", is_flag=True, help="Print the mistakes and the notes as JSON.")
@click.pass_context
def check(context: click.Context, files: tuple[str, ...], as_json: bool) -> None:
    """Check files; print each problem; exit 1 on a mistake, 2 on a file that cannot be read."""
    from darkroom.commands import process_notes

    problems: list[Problem] = []
    notes: list[process_notes.Note] = []
    spoken = process_notes.spoken_set()
    wrong, unreadable = 0, 0
    for name in files:
        try:
            path = resources.find_process(name)
            notes += process_notes.notes(path, resources.read_process(path), spoken)
        except ProcessError as error:
            wrong += 1
            problems += error.problems
        except NotReadable as error:
            unreadable += 1
            click.echo(harmless(str(error)), err=True)
    if as_json:
        print_json(
            [*map(problem_as_json, problems), *(problem_as_json(note.place) | note.members for note in notes)]
        )
    else:
        for problem in problems:
            click.echo(str(problem))
    for note in notes:
        click.echo(f"note: {note.place}", err=True)
    right = len(files) - wrong - unreadable
    click.echo(verdict(right, wrong, unreadable), err=True)
    if wrong or unreadable:
        context.exit(NotReadable.exit_status if unreadable else ProcessError.exit_status)


@process.command(
    help="Tell how long each stage takes at today's temperatures, and how long a plate stays wet.\n\n"
    "NAME is a process of the list or a file. A temperature not given is the one the process assumes.\n\n"
    f"Example: darkroom process times clear-glass --temperature bath=18C,developer=20C\n\n{NOT_RED}"
)
@click.argument("name", type=NAME_OR_PATH, metavar="NAME")
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
