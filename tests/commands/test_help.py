"""The help of every command, with Python's docstrings and without."""

from __future__ import annotations

import json
import os
import subprocess
import sys

from darkroom.commands.groups import COMMANDS

WALK = """
import json, sys
import click
from darkroom.commands.groups import darkroom_command

helps = {}

def walk(command, context):
    helps[context.command_path] = command.get_help(context)
    if isinstance(command, click.Group):
        for name in command.list_commands(context):
            below = command.get_command(context, name)
            walk(below, click.Context(below, parent=context, info_name=name))

walk(darkroom_command, click.Context(darkroom_command, info_name="darkroom"))
print(json.dumps({"optimize": sys.flags.optimize, "helps": helps}))
"""


def helps(optimize: str) -> dict[str, str]:
    """Return {path of the command: its help} of a Python that is told to optimize so far."""
    env = {**os.environ, "PYTHONOPTIMIZE": optimize, "PYTHONDONTWRITEBYTECODE": "1"}
    done = subprocess.run([sys.executable, "-c", WALK], env=env, capture_output=True, text=True, check=True)
    found = json.loads(done.stdout)
    assert found["optimize"] == int(optimize or 0)
    return dict(found["helps"])


def test_help_needs_no_docstrings() -> None:
    """Where PYTHONOPTIMIZE=2 strips the docstrings, each command's help is the same and has its example."""
    plain = helps("")
    assert len(plain) > 20
    assert {f"darkroom {name}" for name in COMMANDS} <= plain.keys()
    assert helps("2") == plain
    for command, text in plain.items():
        words = text.split("Options:")[0].partition("\n\n")[2].strip()
        assert words, command
        assert "Example: " in text or "Commands:" in text, command
