"""The rooms of the log stand on floors: nothing in a room reaches up, late imports included."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import darkroom.log

LOG = Path(darkroom.log.__file__).parent
FLOORS = (("store",), ("journal",), ("plate", "bottles"), ("review", "catalogue"), ("trends",), ("export",))
FLOOR_OF = {room: floor for floor, rooms in enumerate(FLOORS) for room in rooms}


def imported(path: Path) -> Iterator[str]:
    """Yield the modules a file imports, anywhere in it."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def test_no_room_of_the_log_imports_one_above_or_beside_it() -> None:
    """Each room imports itself and lower floors alone."""
    wrong = [
        f"{path.relative_to(LOG)} imports {name}"
        for path in sorted(LOG.rglob("*.py"))
        for name in imported(path)
        if (parts := name.split("."))[:2] == ["darkroom", "log"] and len(parts) > 2
        if (room := path.relative_to(LOG).parts[0]) != parts[2] and FLOOR_OF[parts[2]] >= FLOOR_OF[room]
    ]
    assert wrong == []


def test_every_room_of_the_log_has_a_floor() -> None:
    """A new room says where it stands."""
    assert {path.name for path in LOG.iterdir() if (path / "__init__.py").exists()} <= FLOOR_OF.keys()


def test_the_log_imports_pure_rooms_alone() -> None:
    """Outside itself the log knows the process, the bench, what advises, and the errors."""
    known = {"log", "process", "bench", "exposure", "solutions", "faults", "errors"}
    rooms = {
        name.split(".")[1]
        for path in LOG.rglob("*.py")
        for name in imported(path)
        if name.startswith("darkroom.")
    }
    assert rooms <= known
