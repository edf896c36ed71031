"""Stand-ins for modules: the names are there at once, the module is loaded when one of them is used.

A module that is imported for what it does on a rare day (a table for an error page, a way to copy a style)
costs as much as one that is used. While such a module is stood in for, who imports it gets names which load
it when they are called, asked for an attribute or tested against. The behaviour is the module's own.
"""

from __future__ import annotations

import importlib
import sys
import threading
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from types import MappingProxyType, ModuleType
from typing import Any, NamedTuple

_ABSENT = object()
_GIVING_WAY = threading.Lock()
"""Held while a stand-in is taken away: of two threads that ask at once the second finds the real module."""


class Names(NamedTuple):
    """What a stand-in has of its module.

    `late` are functions and classes that are called or tested against. `bases` are classes which others
    derive from while they are imported: each is an empty class, so what derives from it must never be used.
    `given` are functions that do what the module's own of the name do.
    """

    late: tuple[str, ...] = ()
    bases: tuple[str, ...] = ()
    given: Mapping[str, Callable[..., Any]] = MappingProxyType({})


class LateName:
    """A name of a module that is loaded when the name is used."""

    __slots__ = ("_module", "_name")

    def __init__(self, module: str, name: str) -> None:
        """Nothing is loaded yet."""
        self._module, self._name = module, name

    def __call__(self, *args: Any, **options: Any) -> Any:
        """Call what the name stands for."""
        return self._real()(*args, **options)

    def __getattr__(self, attribute: str) -> Any:
        """Return an attribute of what the name stands for."""
        return getattr(self._real(), attribute)

    def __instancecheck__(self, value: object) -> bool:
        """Return whether a value is of this class; while nobody has loaded it none is."""
        module = sys.modules.get(self._module)
        if module is None or isinstance(module, StandIn):
            return False
        return isinstance(value, getattr(module, self._name))

    def __repr__(self) -> str:
        """Return the name."""
        return f"{self._module}.{self._name}"

    def _real(self) -> Any:
        return getattr(loaded(self._module), self._name)


class StandIn(ModuleType):
    """Stands for a module among the loaded ones; for a name that it has not the real one is loaded."""

    def __getattr__(self, name: str) -> Any:
        """Load the module for a name that was not foreseen."""
        if name.startswith("__"):  # what the import system asks of any module
            raise AttributeError(name)
        return getattr(loaded(self.__name__), name)


def loaded(name: str) -> ModuleType:
    """Return the real module, loaded now when only its stand-in is there; raises what its import raises."""
    with _GIVING_WAY:
        if isinstance(sys.modules.get(name), StandIn):
            del sys.modules[name]
    return importlib.import_module(name)


def stand_in(name: str, names: Names) -> StandIn:
    """Return a stand-in for a module, which is not loaded for it."""
    module = StandIn(name)
    for late in names.late:
        setattr(module, late, LateName(name, late))
    for given, function in names.given.items():
        setattr(module, given, function)
    for base in names.bases:
        setattr(module, base, type(base, (), {"__module__": name}))
    return module


@contextmanager
def stood_in(table: Mapping[str, Names]) -> Iterator[None]:
    """Stand in for each module of `table` that is not loaded; imports after the block get the real ones."""
    placed = {name: stand_in(name, names) for name, names in table.items() if name not in sys.modules}
    sys.modules.update(placed)
    try:
        yield
    finally:
        for name, module in placed.items():
            if sys.modules.get(name) is module:
                del sys.modules[name]


@contextmanager
def withheld(name: str) -> Iterator[None]:
    """Let the import of a module fail in the block, as on a system that has it not, unless it is loaded."""
    before = sys.modules.setdefault(name, None)  # type: ignore[arg-type]  # None is how the import system says it
    try:
        yield
    finally:
        if before is None and sys.modules.get(name, _ABSENT) is None:
            del sys.modules[name]
