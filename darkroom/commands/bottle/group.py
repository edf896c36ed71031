"""`darkroom bottle`: one module a command, each imported when it is named.

These commands write plain text in the terminal's own colours: only the full-screen tool is red.
Data go to standard output; what was written, warnings and problems go to standard error.
"""

from __future__ import annotations

import click

from darkroom.commands.groups import LazyGroup
from darkroom.commands.output import NOT_RED

COMMANDS = {
    "new": ("darkroom.commands.bottle.new", "new", "Enter a bottle: what is in it, and its name."),
    "list": ("darkroom.commands.bottle.list", "list_", "List the bottles, those in use first."),
    "show": ("darkroom.commands.bottle.show", "show", "Show a bottle: its plates, strength, life and care."),
    "opened": ("darkroom.commands.bottle.simple", "opened", "Say that a bottle was opened."),
    "treat": ("darkroom.commands.bottle.treat", "treat", "Say what was done to it: filtered, sunned …"),
    "measure": ("darkroom.commands.bottle.measure", "measure", "Note a reading, and get the strength."),
    "top-up": ("darkroom.commands.bottle.top_up", "top_up", "Say what to add, and note that it went in."),
    "draw-off": ("darkroom.commands.bottle.draw_off", "draw_off", "Say that some was taken out."),
    "set-aside": ("darkroom.commands.bottle.simple", "set_aside", "Take a bottle out of use for now."),
    "take-up": ("darkroom.commands.bottle.simple", "take_up", "Take it into use again."),
    "discard": ("darkroom.commands.bottle.simple", "discard", "Say that its content is gone."),
    "withdraw": ("darkroom.commands.bottle.withdraw", "withdraw", "Take back a line of a bottle."),
    "note": ("darkroom.commands.bottle.simple", "note", "Add words about a bottle."),
    "recipe": ("darkroom.commands.bottle.recipe", "recipe", "Name the recipe whose care a bottle has."),
    "merge": ("darkroom.commands.bottle.merge", "merge", "Take the book of another log into this one."),
    "care": ("darkroom.commands.bottle.care", "care", "Show what a bottle needs, or put it off."),
}
"""{name: (module, attribute, help)}."""


@click.group(cls=LazyGroup, table=COMMANDS, help=f"The book of bottles.\n\n{NOT_RED}")
def bottle() -> None:
    """Gather the commands about bottles."""
