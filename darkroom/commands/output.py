"""What every command prints alike: JSON on standard output, and the warning that it is not red."""

from __future__ import annotations

import json

import click

NOT_RED = "Only the full-screen tool is red: this command writes in the terminal's own colours."


def print_json(value: object) -> None:
    """Print a value as indented JSON, in UTF-8, on standard output.

    What a terminal might obey, and half a surrogate pair, is written as JSON escapes it.
    """
    text = json.dumps(value, ensure_ascii=False, indent=2)
    if not text.replace("\n", "").isprintable():
        text = "".join(
            sign if sign.isprintable() or sign == "\n" else json.dumps(sign)[1:-1] for sign in text
        )
    click.echo(text)
