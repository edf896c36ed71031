"""Late patterns: compiled when first used, then the same as others."""

from __future__ import annotations

import re
import threading
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from darkroom.screens.lean_toolkit.toolkit_patterns import METHODS, ToolkitPattern, toolkit_patterns

PATTERN, FLAGS = r"(?P<word>[a-z]+)|(\d)", re.IGNORECASE


def _late() -> ToolkitPattern:
    with toolkit_patterns():
        pattern: Any = re.compile(PATTERN, FLAGS)
    return pattern  # type: ignore[no-any-return]


def _plain(found: Any) -> Any:
    """Return what a method gave in a form that can be compared."""
    if isinstance(found, re.Match):
        return found.span(), found.groups(), found.lastgroup
    if hasattr(found, "__next__"):
        return [_plain(match) for match in found]
    return found


@given(st.text("aZ1 -", max_size=12))
def test_every_method_gives_what_a_compiled_pattern_gives(text: str) -> None:
    """All methods, taken before the pattern is compiled and after, agree with the compiled pattern."""
    real, late = re.compile(PATTERN, FLAGS), _late()
    for name in METHODS:
        arguments = ("x", text) if name in ("sub", "subn") else (text,)
        early = getattr(late, name)
        expected = _plain(getattr(real, name)(*arguments))
        assert _plain(early(*arguments)) == expected == _plain(getattr(late, name)(*arguments)), name


def test_nothing_is_compiled_before_it_is_used() -> None:
    """A pattern that cannot be compiled is told when it is used, not before."""
    with toolkit_patterns():
        wrong: Any = re.compile("(")
    try:
        wrong.match("a")
    except re.error as error:
        assert "unterminated" in str(error)
    else:
        raise AssertionError("an unterminated group was compiled")


def test_what_is_asked_less_often_is_the_patterns_own() -> None:
    """Text, flags and groups are those of the compiled pattern, and so is the pattern itself."""
    late, real = _late(), re.compile(PATTERN, FLAGS)
    assert (late.pattern, late.flags, late.groupindex) == (real.pattern, real.flags, real.groupindex)
    assert late.real() == real


def test_other_threads_and_bytes_get_compiled_patterns() -> None:
    """Only this thread's texts are late; after the block nothing is."""
    found: list[object] = []
    with toolkit_patterns():
        thread = threading.Thread(target=lambda: found.append(re.compile("thread")))
        thread.start()
        thread.join()
        found.append(re.compile(b"bytes"))
    found.append(re.compile("after"))
    assert all(isinstance(pattern, re.Pattern) for pattern in found) and len(found) == 3
