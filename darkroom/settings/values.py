"""Readers of single values in the settings file."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from darkroom.process.text.tree import Node, Sheet


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
