"""How many parameters a callback takes, worked out once for each function.

The toolkit keeps that number with each callable that it is given. For a timer it makes new callables at each
turn and works it out from their signatures, twice: an eighth of what an idle screen does.
"""

from __future__ import annotations

import importlib
from collections.abc import Callable, MutableMapping
from types import FunctionType, MethodType
from typing import Any
from weakref import WeakKeyDictionary

Count = Callable[[Callable[..., Any]], int]


def remembering(count: Count) -> Count:
    """Return what counts as `count` does, and asks it once for a function and once for its methods.

    A function is forgotten with its last user, and no object that a method is bound to is kept. Every other
    callable is counted each time.
    """
    of_functions: MutableMapping[FunctionType, int] = WeakKeyDictionary()
    of_methods: MutableMapping[FunctionType, int] = WeakKeyDictionary()

    def counted(callback: Callable[..., Any]) -> int:
        is_method = type(callback) is MethodType
        function: object = callback.__func__ if is_method else callback  # type: ignore[attr-defined]
        if type(function) is not FunctionType:
            return count(callback)
        known = of_methods if is_method else of_functions
        number = known.get(function)
        if number is None:
            number = known[function] = count(callback)
        return number

    return counted


def remember_parameters() -> None:
    """Let the toolkit remember. Raises AttributeError where it counts in another way."""
    module: Any = importlib.import_module("textual._callback")
    module._count_parameters = remembering(module._count_parameters)
