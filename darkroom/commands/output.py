"""What every command prints alike: JSON on standard output, and the warning that it is not red."""

from __future__ import annotations

import os

import click

from darkroom.process.text.plain_text import json_escaped

NOT_RED = "Only the full-screen tool is red: this command writes in the terminal's own colours."


def print_json(value: object) -> None:
    """Print a value as indented JSON, in UTF-8, on standard output; a path as its text.

    What a terminal might obey, and half a surrogate pair, is written as JSON escapes it.
    """
    import json  # most commands print none

    text = json_escaped(json.dumps(value, ensure_ascii=False, indent=2, default=_path_text))
    click.echo(text.encode("utf-8"))  # whatever the locale writes: JSON has one encoding (RFC 8259, 8.1)


def _path_text(value: object) -> str:
    if isinstance(value, os.PathLike):
        return str(value)
    raise TypeError(f"{type(value).__name__} cannot be printed as JSON")
