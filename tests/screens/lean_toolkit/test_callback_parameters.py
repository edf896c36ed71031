"""The parameters of callbacks, counted once for each function, as the toolkit counts them."""

from __future__ import annotations

import gc
import weakref
from collections.abc import Callable
from functools import partial, wraps
from inspect import signature
from typing import Any

import pytest
from textual import _callback

from darkroom.screens.lean_toolkit.callback_parameters import remembering
from tests.kit.loaded_toolkit import after_load


class Page:
    """Something with methods."""

    def none(self) -> None:
        """Take nothing."""

    def two(self, one: int, *, other: int = 0) -> None:
        """Take two."""

    def any(*values: int) -> None:
        """Take any number: a method of it has this parameter all the same."""

    @staticmethod
    def bare(one: int) -> None:
        """Take one, and no page."""

    @classmethod
    def of_class(cls, one: int) -> None:
        """Take one."""


@wraps(Page.two)
def wrapping(*values: Any) -> None:
    """Take what it wraps takes."""


CALLBACKS: tuple[Callable[..., Any], ...] = (
    Page().none, Page().two, Page().any, Page.two, Page.any, Page.bare, Page().bare, Page.of_class, wrapping,
    len, lambda: None, lambda one, two=2, *rest: None, partial(Page.two, None), Page, [].append,
)  # fmt: skip


@pytest.mark.parametrize("callback", CALLBACKS)
def test_a_callback_has_as_many_parameters_as_its_signature(callback: Callable[..., Any]) -> None:
    """The number is that of the signature, however often it is asked, and whatever was asked before."""
    counted = remembering(lambda callback: len(signature(callback).parameters))
    for each in (*CALLBACKS, callback, callback):
        assert counted(each) == len(signature(each).parameters)


def test_a_function_is_counted_once_however_many_objects_have_it() -> None:
    """A method of each new object is no new function."""
    asked: list[object] = []
    counted = remembering(lambda callback: asked.append(callback) or len(signature(callback).parameters))
    for _ in range(5):
        counted(Page().two)
        counted(Page.two)
    assert len(asked) == 2


def test_nothing_that_was_counted_is_kept() -> None:
    """Neither a page nor a function that is gone stays in memory for its number."""
    counted = remembering(lambda callback: len(signature(callback).parameters))

    def function() -> None:
        """Take nothing."""

    page = Page()
    counted(page.none)
    counted(function)
    kept = weakref.ref(page), weakref.ref(function)
    del page, function
    gc.collect()
    assert [reference() for reference in kept] == [None, None]


def test_the_toolkit_counts_as_it_is_stood_in_for() -> None:
    """The pinned release asks by this name for each new partial, and a started tool remembers."""
    assert _callback.count_parameters(partial(Page().two, 1)) == 1
    found = after_load(
        "from textual import _callback\n"
        "from functools import partial\n"
        "asked, counted = [], _callback._count_parameters\n"
        "_callback._count_parameters = lambda callback: asked.append(callback) or counted(callback)\n"
        "def two(one, other): ...\n"
        "numbers = [_callback.count_parameters(partial(two, 1)) for _ in range(2)]\n"
        "found = [counted.__module__, numbers, len(asked)]"
    )
    assert found == ["darkroom.screens.lean_toolkit.callback_parameters", [1, 1], 2]
