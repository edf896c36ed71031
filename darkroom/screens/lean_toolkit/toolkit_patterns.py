"""Patterns of the toolkit, compiled when they are first called, though their methods are taken before.

Of the toolkit's some seventy patterns a start uses a few; compiling the others takes a tenth of its import.
`darkroom.late_patterns` does the same for our own, and compiles when a method is asked for.
"""

from __future__ import annotations

import re
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

METHODS = ("match", "fullmatch", "search", "finditer", "findall", "split", "sub", "subn")
"""What a pattern is called for. Each may be taken from it before it is compiled."""


class ToolkitPattern:
    """Stands for a compiled pattern; everything asked of it is the pattern's, which is compiled then.

    It is no `re.Pattern`: the functions of `re` do not take it in place of a text.
    """

    def __init__(self, compiled: Callable[..., re.Pattern[str]], text: str, flags: int) -> None:
        """Nothing is compiled yet; `compiled` is what does it."""
        self._compiled, self._text, self._flags = compiled, text, flags
        for name in METHODS:
            setattr(self, name, self._late(name))

    def _late(self, name: str) -> Callable[..., Any]:
        def call(*args: Any, **options: Any) -> Any:
            return getattr(self.real(), name)(*args, **options)

        return call

    def real(self) -> re.Pattern[str]:
        """Return the compiled pattern; from now on its methods are called without a way round."""
        pattern = self._compiled(self._text, self._flags)
        for name in METHODS:
            setattr(self, name, getattr(pattern, name))
        self._compiled = lambda *_: pattern
        return pattern

    def __getattr__(self, name: str) -> Any:
        """Return what is asked less often: the text, the groups, the flags."""
        return getattr(self.real(), name)


@contextmanager
def toolkit_patterns() -> Iterator[None]:
    """Let `re.compile` give late patterns in the block, to this thread alone."""
    real, thread = re.compile, threading.get_ident()

    def compile_late(pattern: Any, flags: Any = 0) -> Any:
        if type(pattern) is not str or threading.get_ident() != thread:
            return real(pattern, flags)
        return ToolkitPattern(real, pattern, flags)

    re.compile = compile_late
    try:
        yield
    finally:
        re.compile = real
