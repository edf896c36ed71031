"""Imports of modules that are compiled already: one file is read and one asked for its state.

Python looks for a module in its folder's listing, asks several files for their state and works out names for
each. Most of the modules of a start lie in a few packages whose bytecode is up to date; this finder takes
those and leaves every other case to Python: no bytecode, older bytecode, bytecode of another form, packages
in archives. What counts as up to date is Python's own rule: the source's time and size (PEP 552).
"""

from __future__ import annotations

import _imp
import marshal
import os
import sys
from collections.abc import Sequence
from importlib.machinery import BuiltinImporter, ModuleSpec, SourceFileLoader
from importlib.util import MAGIC_NUMBER
from types import CodeType, ModuleType

PACKAGES = frozenset({"asyncio", "darkroom", "rich", "textual"})
"""The packages whose modules are looked for: nearly all modules of a start are of these."""
_HEADER = MAGIC_NUMBER + bytes(4)
"""How bytecode begins that is held against its source's time and size: the rest of 16 bytes are these two."""
_LAST_32_BITS = 0xFFFFFFFF


class CompiledLoader(SourceFileLoader):
    """Python's loader of a source file, whose code has been read."""

    def __init__(self, name: str, source: str, code: CodeType) -> None:
        """Hold the code until the module is executed."""
        super().__init__(name, source)
        self._code: CodeType | None = code

    def get_code(self, fullname: str) -> CodeType | None:
        """Return the code that has been read, once; after that, such as for a reload, what Python reads."""
        code, self._code = self._code, None
        return super().get_code(fullname) if code is None else code


class CompiledFinder:
    """A finder of `sys.meta_path`; `use` puts it there."""

    @classmethod
    def find_spec(
        cls, name: str, path: Sequence[str] | None = None, target: ModuleType | None = None
    ) -> ModuleSpec | None:
        """Return the spec of a module inside a package of `PACKAGES`, None for Python to look for it."""
        if not path or name.partition(".")[0] not in PACKAGES:
            return None
        folder, tail = path[0], name.rpartition(".")[2]
        inner = f"{folder}/{tail}"
        return _spec(name, f"{folder}/__pycache__/{tail}", f"{inner}.py", None) or _spec(
            name, f"{inner}/__pycache__/__init__", f"{inner}/__init__.py", inner
        )


def _spec(name: str, cached: str, source: str, package: str | None) -> ModuleSpec | None:
    """Return the spec of a module with bytecode that is up to date, or None; `package` is its own folder."""
    cached = f"{cached}.{sys.implementation.cache_tag}.pyc"
    try:
        with open(cached, "rb", buffering=0) as file:
            data = file.read()
        state = os.stat(source)
    except OSError:
        return None
    stamp = (int(state.st_mtime) & _LAST_32_BITS, state.st_size & _LAST_32_BITS)
    if data[:16] != _HEADER + b"".join(number.to_bytes(4, "little") for number in stamp):
        return None
    try:
        code = marshal.loads(memoryview(data)[16:])
    except (EOFError, ValueError, TypeError):  # cut or damaged: Python says what is wrong with it
        return None
    # bytecode may have been made under another name of the folder
    _imp._fix_co_filename(code, source)  # type: ignore[attr-defined]
    loader = CompiledLoader(name, source, code)
    spec = ModuleSpec(name, loader, origin=source, is_package=package is not None)
    spec.cached, spec.has_location = cached, True
    if package is not None:
        spec.submodule_search_locations = [package]
    return spec


def use() -> None:
    """Look for modules here before Python does, where its rule for bytecode is the usual one.

    What somebody else has put before Python's own finders stays before this one.
    """
    usual = sys.flags.optimize == 0 and sys.pycache_prefix is None and os.sep == "/"
    if usual and CompiledFinder not in sys.meta_path and BuiltinImporter in sys.meta_path:
        sys.meta_path.insert(sys.meta_path.index(BuiltinImporter), CompiledFinder)
