"""`darkroom log`: one module a command, each imported when it is named.

These commands write plain text in the terminal's own colours: only the full-screen tool is red.
Data go to standard output, problems to standard error.
"""

from __future__ import annotations

import click

from darkroom.commands.groups import LazyGroup
from darkroom.commands.output import NOT_RED

COMMANDS = {
    "look": ("darkroom.commands.log.look", "look", "Look back at the plates on the full screen."),
    "list": ("darkroom.commands.log.list", "list_", "List the plates, newest first."),
    "show": ("darkroom.commands.log.show", "show", "Show what a plate went through."),
    "compare": ("darkroom.commands.log.compare", "compare", "Show in what two plates differ."),
    "rate": ("darkroom.commands.log.rate", "rate", "Judge a plate that is not on the bench."),
    "note": ("darkroom.commands.log.note", "note", "Add a note to a plate that is not on the bench."),
    "move": ("darkroom.commands.log.move", "move", "Move a strike that came late."),
    "trends": ("darkroom.commands.log.trends", "trends", "Show what many plates show together."),
    "check": ("darkroom.commands.log.check", "check", "Read every journal and name each problem."),
    "reindex": ("darkroom.commands.log.list", "reindex", "Fill the catalogue anew from the journals."),
    "export": ("darkroom.commands.log.export", "export", "Write plates to a file that other programs read."),
}
"""{name: (module, attribute, help)}."""


@click.group(cls=LazyGroup, table=COMMANDS, help=f"The plate log: what happened to each plate.\n\n{NOT_RED}")
def log() -> None:
    """Gather the commands about the log."""
