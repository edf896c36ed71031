"""Patterns that are compiled at their first use do what compiled ones do."""

from __future__ import annotations

import gc
import importlib
import pkgutil
import re

import pytest

import darkroom
from darkroom import late_patterns
from darkroom.late_patterns import late_pattern


def test_a_late_pattern_is_compiled_at_its_first_use(monkeypatch: pytest.MonkeyPatch) -> None:
    """Making one compiles nothing; asking it compiles it once for each method that is asked."""
    asked: list[str] = []
    compiled = re.compile

    def noted(text: str, flags: int = 0) -> re.Pattern[str]:
        asked.append(text)
        return compiled(text, flags)

    monkeypatch.setattr(late_patterns.re, "compile", noted)
    pattern = late_pattern(r"(?P<word>b+)", re.IGNORECASE)
    assert asked == []
    for _ in range(3):
        assert pattern.fullmatch("Bb") is not None
    assert asked == [r"(?P<word>b+)"]


def test_a_late_pattern_answers_as_a_compiled_one() -> None:
    """Search, match, replacing and splitting, flags and groups are those of the compiled pattern."""
    for text, flags in ((r"(a)|(?P<n>\d+)", 0), (rb"x+", re.IGNORECASE)):
        late, compiled = late_pattern(text, flags), re.compile(text, flags)
        sample = "1 a 22 b" if isinstance(text, str) else b"aXx"
        assert [found.span() for found in late.finditer(sample)] == [
            found.span() for found in compiled.finditer(sample)
        ]
        assert late.split(sample) == compiled.split(sample)
        assert (late.pattern, late.flags, late.groupindex) == (
            compiled.pattern, compiled.flags, compiled.groupindex,
        )  # fmt: skip


def test_every_late_pattern_of_the_package_can_be_compiled() -> None:
    """A mistake in a pattern is found here, not at the bench."""
    for module in pkgutil.walk_packages(darkroom.__path__, "darkroom."):
        if not module.name.endswith("__main__"):
            try:
                importlib.import_module(module.name)
            except ModuleNotFoundError as error:  # an extra that is not installed
                assert not (error.name or "").startswith("darkroom")
    gc.unfreeze()  # a tool that was started in this process has put its objects out of the collector's sight
    found = [each for each in gc.get_objects() if isinstance(each, late_patterns._LatePattern)]
    assert len(found) > 50
    for each in found:
        text, flags = each._asked
        re.compile(text, flags)
