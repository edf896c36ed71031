"""What the files of settings share: reading them, and readers of single values."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from darkroom import plain_files, resources
from darkroom.errors import Problem, SettingsError

if TYPE_CHECKING:
    from darkroom.process.text.tree import Node, Sheet


def read_file(path: Path) -> bytes | None:
    """Return the start of a plain file, None where there is none. Raises SettingsError."""
    if not os.path.lexists(path):
        return None
    try:
        return plain_files.read_start(path, resources.MOST)
    except OSError as error:
        what = f"cannot be read: {plain_files.reason(error)}"
        raise SettingsError([Problem(str(path), None, None, what)]) from error


def says_nothing(text: str | bytes) -> bool:
    """Return whether a file is empty, or holds remarks alone.

    What follows the start of a file that is too large is not known, so such a file never says nothing.
    """
    raw = text.encode("utf-8", "replace") if isinstance(text, str) else text
    return len(raw) < resources.MOST and all(
        not line.strip() or line.lstrip().startswith(b"#") for line in raw.splitlines()
    )


def path_of(sheet: Sheet, node: Node, beside: Path) -> Path | None:
    """Return the path a scalar names; `~` is the user's own folder, the rest counts from `beside`."""
    text = sheet.text(node)
    if text is None:
        return None
    try:
        return beside / Path(text).expanduser()
    except RuntimeError:
        sheet.wrong(node, f"whose folder is meant by '{text[:40]}' is not known")
        return None


def number_between(least: float, most: float, what: str) -> Callable[[str], float]:
    """Return a reader of a plain number, or of one with a per cent sign where `what` is per cent."""

    def reader(text: str) -> float:
        from darkroom.process.text.numbers import plain

        if what == "per cent":
            text = text.removesuffix("%").strip()
        return plain(text, least=least, most=most, what=what)

    return reader
