"""`darkroom exposure`: one module a command, each imported when it is named.

These commands write plain text in the terminal's own colours: only the full-screen tool is red.
"""

from __future__ import annotations

import click

from darkroom.commands.groups import LazyGroup
from darkroom.commands.output import NOT_RED

COMMANDS = {
    "from-plate": ("darkroom.commands.exposure.from_plate", "from_plate", "From a plate that was made."),
    "from-meter": ("darkroom.commands.exposure.from_meter", "from_meter", "From what a light meter says."),
    "from-sun": ("darkroom.commands.exposure.from_sun", "from_sun", "From where the sun stands."),
    "learn": ("darkroom.commands.exposure.learn", "learn", "By the plates you judged."),
    "steps": ("darkroom.commands.exposure.steps", "steps", "The strips of a test plate."),
    "stop": ("darkroom.commands.exposure.stop", "stop", "The f-number of a stop by its diameter."),
    "bellows": ("darkroom.commands.exposure.bellows", "bellows", "What close work takes of the light."),
}
"""{name: (module, attribute, help)}."""


@click.group(cls=LazyGroup, table=COMMANDS, help=f"How long to open the lens.\n\n{NOT_RED}")
def exposure() -> None:
    """Gather the commands about exposure."""
