"""The import rules of the house, proven twice: over the syntax trees, and in fresh interpreters."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import darkroom

PACKAGE = Path(darkroom.__file__).parent
PURE = ("process", "bench", "exposure", "solutions", "faults")

# What each room may import of ours besides itself.
MAY_IMPORT = {
    "errors": set(),
    "plain_files": set(),
    "event_base": set(),
    "late_patterns": set(),
    "process": {"errors", "late_patterns"},
    "bench": {"errors", "late_patterns", "event_base", "process"},
    "log": {
        "errors",
        "late_patterns",
        "event_base",
        "plain_files",
        "process",
        "bench",
        "exposure",
        "solutions",
        "faults",
    },
    "exposure": {"errors", "late_patterns", "process"},
    "solutions": {"errors", "late_patterns", "event_base", "process"},
    "faults": {"errors", "late_patterns", "process"},
    "devices": {"errors", "late_patterns", "plain_files"},
}  # fmt: skip

# The outside world: clocks, disk, chance, threads, toolkits. Pure rooms name none of it.
OUTSIDE = {
    "os", "time", "io", "pathlib", "random", "sys", "subprocess", "socket", "shutil", "tempfile", "threading",
    "asyncio", "multiprocessing", "logging", "secrets", "uuid", "platform", "signal", "glob", "fcntl",
    "sqlite3",    "textual", "rich", "click", "PIL", "miniaudio", "simpleaudio", "platformdirs",
}  # fmt: skip
HEAVY = ("textual", "rich", "pint", "PIL", "click", "sqlite3", "miniaudio", "platformdirs", "astral", "numpy")
CLOCKS = {"now", "today", "utcnow"}
"""Methods of datetime and date that ask what time it is."""


def modules(room: str) -> list[Path]:
    """Return the source files of a room, which is a package or a single module."""
    single = PACKAGE / f"{room}.py"
    return [single] if single.exists() else sorted((PACKAGE / room).rglob("*.py"))


def dotted(path: Path) -> str:
    """Return the name under which a source file is imported."""
    parts = path.relative_to(PACKAGE.parent).with_suffix("").parts
    return ".".join(part for part in parts if part != "__init__")


def imported(path: Path) -> Iterator[tuple[str, int]]:
    """Yield every module a file imports, late imports too, with its line; ours as darkroom.room."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((alias.name, node.lineno) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}:{node.lineno}: relative import"
            if node.module == "darkroom":
                yield from ((f"darkroom.{alias.name}", node.lineno) for alias in node.names)
            else:
                yield str(node.module), node.lineno


def outside_names(source: str) -> list[str]:
    """Return what a pure module names of the outside world without importing it."""
    found = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Name) and node.id in ("open", "__import__", "eval", "exec", "input", "print"):
            found.append(node.id)
        if isinstance(node, ast.Attribute) and node.attr in CLOCKS:
            owner = ast.unparse(node.value).split(".")[-1]
            if owner in ("datetime", "date"):
                found.append(f"{owner}.{node.attr}")
    return found


@pytest.mark.parametrize("room", sorted(MAY_IMPORT))
def test_each_room_imports_only_the_rooms_it_may(room: str) -> None:
    """A room imports, early or late, only itself and the rooms below it."""
    assert modules(room)
    for path in modules(room):
        for name, line in imported(path):
            parts = name.split(".")
            if parts[0] == "darkroom" and len(parts) > 1:
                assert parts[1] in MAY_IMPORT[room] | {room, "__version__"}, f"{path.name}:{line}: {name}"


@pytest.mark.parametrize("room", PURE)
def test_pure_rooms_import_nothing_of_the_outside_world(room: str) -> None:
    """A pure room imports no clock, no disk, no chance and no toolkit, not even inside a function."""
    for path in modules(room):
        for name, line in imported(path):
            assert name.split(".")[0] not in OUTSIDE, f"{path.name}:{line}: {name}"


@pytest.mark.parametrize("room", PURE)
def test_pure_rooms_name_neither_files_nor_the_time(room: str) -> None:
    """A pure room opens no file, prints nothing and never asks what time it is."""
    for path in modules(room):
        assert outside_names(path.read_text(encoding="utf-8")) == [], path


def test_the_search_for_the_outside_world_finds_it() -> None:
    """What the rule forbids is found where it stands, so that an empty answer means something."""
    assert outside_names("import datetime\nx = datetime.datetime.now()") == ["datetime.now"]
    assert outside_names("from datetime import date\ny = date.today()") == ["date.today"]
    assert outside_names("with open('x') as f: print(f)") == ["open", "print"]
    assert outside_names("view.now(); stage.open") == []


def test_screens_are_imported_by_the_front_doors_only() -> None:
    """Nothing but the command line and the screens themselves imports the screens."""
    for path in sorted(PACKAGE.rglob("*.py")):
        room = path.relative_to(PACKAGE).parts[0]
        if room in ("screens", "commands", "cli.py", "__main__.py"):
            continue
        for name, line in imported(path):
            assert not name.startswith("darkroom.screens"), f"{path}:{line}: {name}"


def loaded_after(names: list[str]) -> set[str]:
    """Return the modules a fresh interpreter holds after importing these."""
    code = f"import importlib, sys\nfor n in {names!r}: importlib.import_module(n)\nprint(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return set(done.stdout.split())


@pytest.mark.parametrize("room", PURE)
def test_a_fresh_interpreter_stays_light_after_a_pure_room(room: str) -> None:
    """After importing every module of a pure room no toolkit is loaded, and no room it may not know."""
    loaded = loaded_after([dotted(path) for path in modules(room)])
    assert {name for name in HEAVY if name in loaded} == set()
    rooms = {name.split(".")[1] for name in loaded if name.startswith("darkroom.")}
    assert rooms <= MAY_IMPORT[room] | {room}


def test_reading_a_shipped_process_loads_no_units_library() -> None:
    """A shipped process file is read without pint: it costs half as much again as the whole start."""
    code = (
        "import sys\nfrom darkroom import resources\n"
        "for path in resources.shipped_processes(): resources.read_process(path)\n"
        "print('pint' in sys.modules, 'textual' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["False", "False"]


def test_the_process_commands_load_no_screen() -> None:
    """The commands about process files load neither the screen's toolkit nor the drawing library."""
    loaded = loaded_after(["darkroom.commands.process"])
    assert {
        name for name in ("textual", "rich", "PIL", "pint", "sqlite3", "miniaudio") if name in loaded
    } == set()
