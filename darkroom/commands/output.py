"""What every command prints alike: JSON on standard output, and the warning that it is not red."""

from __future__ import annotations

import os
from collections.abc import Iterable
from itertools import islice

import click

from darkroom.process.text.plain_text import json_escaped

AT_ONCE = 256
"""So many values of a list are printed at once."""
NOT_RED = "Only the full-screen tool is red: this command writes in the terminal's own colours."


def print_json(value: object) -> None:
    """Print a value as indented JSON, in UTF-8, on standard output; a path as its text.

    What a terminal might obey, and half a surrogate pair, is written as JSON escapes it.
    """
    _echo(_json_text(value) + "\n")


def print_json_list(values: Iterable[object]) -> None:
    """Print what `print_json` prints of a list, which may be long: some of its values at a time."""
    before, left = "[\n  ", iter(values)
    while some := [*islice(left, AT_ONCE)]:
        _echo(before + ",\n  ".join(_json_text(value).replace("\n", "\n  ") for value in some))
        before = ",\n  "
    _echo("[]\n" if before.startswith("[") else "\n]\n")


def _json_text(value: object) -> str:
    import json  # most commands print none

    return json_escaped(json.dumps(value, ensure_ascii=False, indent=2, default=_path_text))


def _echo(text: str) -> None:
    click.echo(text.encode("utf-8"), nl=False)  # whatever the locale writes: JSON is in UTF-8 (RFC 8259, 8.1)


def _path_text(value: object) -> str:
    if isinstance(value, os.PathLike):
        return str(value)
    raise TypeError(f"{type(value).__name__} cannot be printed as JSON")
