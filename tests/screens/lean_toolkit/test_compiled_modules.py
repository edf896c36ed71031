"""Modules that are compiled already are found as Python finds them; every other case is left to Python."""

from __future__ import annotations

import importlib
import importlib.util
import os
import py_compile
import shutil
import sys
from collections.abc import Iterator
from importlib.machinery import EXTENSION_SUFFIXES, PathFinder, SourceFileLoader
from pathlib import Path

import pytest

from darkroom.screens.lean_toolkit.compiled_modules import PACKAGES, CompiledFinder, CompiledLoader, use

INSIDE = "darkroom.an_invented_module"


@pytest.fixture
def folder(tmp_path: Path) -> Iterator[Path]:
    """A folder that a package could have, with one module compiled in it."""
    _write(tmp_path / "an_invented_module.py", "WORD = 'one'\n")
    py_compile.compile(str(tmp_path / "an_invented_module.py"), doraise=True)
    yield tmp_path
    sys.modules.pop(INSIDE, None)


def _write(path: Path, text: str) -> None:
    path.parent.mkdir(exist_ok=True)
    path.write_text(text)


def _cached(folder: Path) -> Path:
    return Path(importlib.util.cache_from_source(str(folder / "an_invented_module.py")))


def _compiled_copy(package: str, to: Path) -> list[Path]:
    """Copy some forty modules of a package to a folder and compile them there; return their copies."""
    root = Path(importlib.import_module(package).__path__[0])
    modules = [path.relative_to(root) for path in sorted(root.rglob("*.py"))]
    modules.remove(Path("__init__.py"))  # of the package itself: a name without a package is Python's to find
    copies = []
    for module in modules[:: len(modules) // 40 + 1]:
        copy = to / module
        copy.parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(root / module, copy)
        py_compile.compile(str(copy), doraise=True)
        copies.append(copy)
    return copies


@pytest.mark.parametrize("package", sorted(PACKAGES))
def test_what_is_found_is_what_python_finds(package: str, tmp_path: Path) -> None:
    """Of modules of the package origin, bytecode, place and code are Python's, and the loader's kind."""
    for path in _compiled_copy(package, tmp_path):
        place = path.parent if path.name == "__init__.py" else path.with_suffix("")
        name, inside = ".".join((package, *place.relative_to(tmp_path).parts)), [str(place.parent)]
        ours, pythons = CompiledFinder.find_spec(name, inside), PathFinder.find_spec(name, inside)
        assert ours is not None and pythons is not None, name
        for part in ("name", "origin", "cached", "has_location", "parent", "submodule_search_locations"):
            assert getattr(ours, part) == getattr(pythons, part), (name, part)
        assert isinstance(ours.loader, CompiledLoader) and type(pythons.loader) is SourceFileLoader
        code, same = ours.loader.get_code(name), pythons.loader.get_code(name)
        assert code is not None and same is not None
        assert code == same and code.co_filename == same.co_filename


@pytest.mark.parametrize("package", sorted(PACKAGES))
def test_no_name_of_a_package_has_two_modules(package: str) -> None:
    """No folder stands beside a module of its name, nothing is built in C: Python would take that first."""
    root = Path(importlib.import_module(package).__path__[0])
    for path in root.rglob("*.py"):
        assert not (path.with_suffix("") / "__init__.py").exists(), path
    assert not [path for suffix in EXTENSION_SUFFIXES for path in root.rglob(f"*{suffix}")]


def test_a_compiled_module_is_found(folder: Path) -> None:
    """Where the bytecode is up to date the code is there, once: for a reload Python reads again."""
    spec = CompiledFinder.find_spec(INSIDE, [str(folder)])
    assert spec is not None and isinstance(spec.loader, CompiledLoader)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    assert module.WORD == "one" and module.__file__ == str(folder / "an_invented_module.py")
    _write(folder / "an_invented_module.py", "WORD = 'another'\n")
    spec.loader.exec_module(module)
    assert module.WORD == "another"


@pytest.mark.parametrize(
    "what", ["a newer source", "another size", "no source", "no bytecode", "cut", "damaged"]
)
def test_what_is_not_up_to_date_is_left_to_python(folder: Path, what: str) -> None:
    """Nothing is found, so that Python compiles the module or says what is wrong with it."""
    source, cached = folder / "an_invented_module.py", _cached(folder)
    data, state = cached.read_bytes(), source.stat()
    match what:
        case "a newer source":
            os.utime(source, (state.st_atime, state.st_mtime + 2))
        case "another size":
            source.write_text("WORD = 'three'\n")
            os.utime(source, (state.st_atime, state.st_mtime))
        case "no source":
            source.unlink()
        case "no bytecode":
            cached.unlink()
        case "cut":
            cached.write_bytes(data[:40])
        case "damaged":
            cached.write_bytes(data[:16] + b"?" + data[17:])
    assert CompiledFinder.find_spec(INSIDE, [str(folder)]) is None


def test_bytecode_that_is_held_against_a_hash_is_left_to_python(folder: Path) -> None:
    """Bytecode of the other form (PEP 552) is Python's to check."""
    mode = py_compile.PycInvalidationMode.CHECKED_HASH
    py_compile.compile(str(folder / "an_invented_module.py"), doraise=True, invalidation_mode=mode)
    assert CompiledFinder.find_spec(INSIDE, [str(folder)]) is None


def test_other_packages_and_whole_packages_are_left_to_python(folder: Path) -> None:
    """Of packages that are not named here, and of a name without a package, nothing is looked for."""
    assert CompiledFinder.find_spec("json.an_invented_module", [str(folder)]) is None
    assert CompiledFinder.find_spec("an_invented_module") is None
    assert CompiledFinder.find_spec("darkroom.an_invented_package", [str(folder / "nowhere")]) is None


def test_finders_of_others_stay_before_ours(monkeypatch: pytest.MonkeyPatch) -> None:
    """Who looks first for a module still does; ours comes before Python's own, once."""

    class First:
        """A finder of somebody else."""

    monkeypatch.setattr(
        sys, "meta_path", [First, *(one for one in sys.meta_path if one is not CompiledFinder)]
    )
    use()
    use()
    place = sys.meta_path.index(CompiledFinder)
    assert place > 0 and sys.meta_path[0] is First and sys.meta_path.count(CompiledFinder) == 1
    assert place < sys.meta_path.index(PathFinder)
