"""Patterns that are compiled when they are first asked: no start and no command pays for all of them."""

from __future__ import annotations

import re
from typing import Any, AnyStr, cast


def late_pattern(text: AnyStr, flags: int = 0) -> re.Pattern[AnyStr]:
    """Return what serves as `re.compile(text, flags)`, compiled at its first use.

    `text` is written in the code: a mistake in it shows at the first use alone, as re.error.
    """
    return cast("re.Pattern[AnyStr]", _LatePattern(text, flags))


class _LatePattern:
    """A pattern's text and flags until something of it is asked; from then on the compiled one's methods."""

    def __init__(self, text: str | bytes, flags: int) -> None:
        self._asked = text, flags

    def __getattr__(self, name: str) -> Any:
        """Return a method or a value of the compiled pattern; each is kept, and found without this then."""
        if name.startswith("__"):  # as copying asks: such a name is of the class, not of the pattern
            raise AttributeError(name)
        text, flags = self._asked
        value = getattr(re.compile(text, flags), name)
        setattr(self, name, value)
        return value
