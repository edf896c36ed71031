"""The commands of the command line, each imported when it is named."""

from __future__ import annotations

from importlib import import_module

import click

from darkroom import __version__

ROOMS = {
    "bench": ("darkroom.commands.bench", "Go straight to the bench with one plate ready."),
    "rehearse": ("darkroom.commands.rehearse", "The same without chemistry, on a fast clock."),
    "process": ("darkroom.commands.process", "Look at process files and check them."),
    "log": ("darkroom.commands.log", "Read, judge and export the plate log."),
    "sound": ("darkroom.commands.sound", "List the cues and hear them."),
    "ready": ("darkroom.commands.ready", "Say what works here and what does not."),
}


class Rooms(click.Group):
    """The commands, each imported when it is named."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the names of the commands."""
        return list(ROOMS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Return the command of that name, or None."""
        if cmd_name not in ROOMS:
            return None
        command = getattr(import_module(ROOMS[cmd_name][0]), cmd_name)
        assert isinstance(command, click.Command)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the list of commands without importing any of them."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, text) for name, (_, text) in ROOMS.items()])


@click.group(
    cls=Rooms,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    epilog="Example: darkroom bench clear-glass --temperature bath=18C --exposure 8s",
)
@click.version_option(__version__, prog_name="darkroom")
@click.pass_context
def rooms(ctx: click.Context) -> None:
    """Time, call and log wet-collodion plates under red light.

    Without a command the full-screen tool opens on its home screen. Only the full-screen tool is
    red; the other commands and this help use the terminal's own colours, so read them before the
    plate is sensitive.
    """
    if ctx.invoked_subcommand is None:
        from darkroom.screens.start import open_tool

        ctx.exit(open_tool())
