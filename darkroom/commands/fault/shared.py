"""What the commands about faults share."""

from __future__ import annotations

from collections.abc import Iterable

import click

json_option = click.option("--json", "as_json", is_flag=True, help="Print JSON.")


def say_problems(problems: Iterable[object]) -> None:
    """Write what is wrong in files of faults to standard error, one a line."""
    for problem in problems:
        click.echo(str(problem), err=True)


def where() -> str:
    """Return where the shipped files of faults lie, to copy an entry from."""
    from darkroom import resources
    from darkroom.errors import harmless

    return harmless(f"Shipped files: {resources.fault_folders()[0]}")
