"""`darkroom fault`: one module a command, each imported when it is named.

These commands write plain text in the terminal's own colours: only the full-screen tool is red.
Data go to standard output; warnings and problems go to standard error.
"""

from __future__ import annotations

import click

from darkroom.commands.groups import LazyGroup
from darkroom.commands.output import NOT_RED

COMMANDS = {
    "list": ("darkroom.commands.fault.list", "list_", "List the faults, with what each looks like."),
    "show": ("darkroom.commands.fault.show", "show", "Show a fault: its looks, causes, tests, remedies."),
    "why": ("darkroom.commands.fault.why", "why", "Say why a plate failed, and what to change."),
    "check": ("darkroom.commands.fault.check", "check", "Check files of faults and causes."),
}
"""{name: (module, attribute, help)}."""


@click.group(cls=LazyGroup, table=COMMANDS, help=f"Why a plate failed.\n\n{NOT_RED}")
def fault() -> None:
    """Gather the commands about faults."""
