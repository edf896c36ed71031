"""The commands of the command line, each imported when it is named."""

from __future__ import annotations

import os
from importlib import import_module
from typing import Any

import click

from darkroom import __version__
from darkroom.errors import is_text, nearest

COMMANDS = {
    "bench": ("darkroom.commands.bench", "Go straight to the bench with one plate ready."),
    "rehearse": ("darkroom.commands.rehearse", "The same without chemistry, on a fast clock."),
    "day": ("darkroom.commands.day", "What to see to before the first plate and after the last."),
    "process": ("darkroom.commands.process", "Look at process files and check them."),
    "mix": ("darkroom.commands.mix", "A recipe for the volume you want, as a bench card."),
    "exposure": ("darkroom.commands.exposure.group", "How long to open the lens."),
    "strength": ("darkroom.commands.strength", "How strong a solution is, and what to add."),
    "bottle": ("darkroom.commands.bottle.group", "The book of bottles: what is in them and what they need."),
    "fault": ("darkroom.commands.fault.group", "Why a plate failed: the faults and their causes."),
    "log": ("darkroom.commands.log.group", "Read, judge and export the plate log."),
    "sound": ("darkroom.commands.sound", "List the cues and hear them."),
    "ready": ("darkroom.commands.ready.ready", "Say what works here and what does not."),
}


def valid_text(word: str) -> str:
    """Return a word of the command line as it can be stored and shown: what is no UTF-8 is replaced.

    An undecodable byte comes from the system as half of a surrogate pair.
    """
    return word if is_text(word) else os.fsencode(word).decode("utf-8", "replace")


class Text(click.types.StringParamType):
    """A parameter of words, as valid text."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> str:
        """Return the words."""
        return valid_text(str(super().convert(value, param, ctx)))


TEXT = Text()
NAME_OR_PATH = click.Path()
"""What may be a path keeps its bytes: a file's name need not be text."""


class CommandGroup(click.Group):
    """A group that tells the nearest right name of a wrong one, and whose commands get valid text."""

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Return (name, command, further words); for a wrong name the nearest right one is told."""
        names = self.list_commands(ctx)
        if args and args[0] not in names and not args[0].startswith("-"):
            near = nearest(args[0], names)
            hint = f" (did you mean '{near}'?)" if near else f"; there are {', '.join(names)}"
            ctx.fail(f"no command '{args[0]}'{hint}")
        name, command, words = super().resolve_command(ctx, args)
        for parameter in () if command is None else command.params:
            if parameter.type is click.STRING:
                parameter.type = TEXT
        return name, command, words


class LazyGroup(CommandGroup):
    """A group whose commands are imported when they are named: {name: (module, attribute, help)}."""

    def __init__(self, *args: Any, table: dict[str, tuple[str, str, str]], **options: Any) -> None:
        super().__init__(*args, **options)
        self.table = table

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the names of the commands."""
        return list(self.table)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Return the command of that name, or None."""
        if cmd_name not in self.table:
            return None
        module, name, _ = self.table[cmd_name]
        command = getattr(import_module(module), name)
        assert isinstance(command, click.Command)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the list of commands without importing any of them."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, text) for name, (_, _, text) in self.table.items()])


@click.group(
    cls=LazyGroup,
    table={name: (module, name, text) for name, (module, text) in COMMANDS.items()},
    invoke_without_command=True,
    help="Time, call and log wet-collodion plates under red light.\n\n"
    "Without a command the full-screen tool opens on its home screen. Only the full-screen tool is "
    "red; the other commands and this help use the terminal's own colours, so read them before the "
    "plate is sensitive.",
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    epilog="Example: darkroom bench clear-glass --temperature bath=18C --exposure 8s",
)
@click.version_option(__version__, prog_name="darkroom")
@click.pass_context
def darkroom_command(ctx: click.Context) -> None:
    """Open the full-screen tool unless a command is named."""
    if ctx.invoked_subcommand is None:
        from darkroom.screens.start import open_tool

        ctx.exit(open_tool())
