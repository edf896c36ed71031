"""The import graph of the package: no circle, and the order of modules inside the rooms that have one.

An import counts wherever it stands: at the top, inside a function, under `TYPE_CHECKING`.
"""

from __future__ import annotations

import ast
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

import darkroom

PACKAGE = Path(darkroom.__file__).parent

LOG_FLOORS = (
    ("store",),
    ("journal",),
    ("plate", "bottles", "days"),
    ("review", "catalogue"),
    ("trends",),
    ("export",),
)
"""The folders of `log/`, the lowest first: each imports itself and the floors below, and no neighbour."""

BENCH_ORDER = (("state",), ("clocks",), ("fold",), ("decide",), ("view", "cues"))
"""Modules of `bench/`, the lowest first: none reaches a higher one or its neighbour, on no way at all."""

SESSION_MAY_IMPORT = {"errors", "late_patterns", "process", "bench", "exposure", "solutions", "faults"}

KNOWN_EXCEPTIONS: dict[tuple[str, str], str] = {}
"""{(importer, imported): why it is allowed for now}. An entry that nothing needs fails a test."""

Graph = dict[str, set[str]]


def module_names(root: Path) -> dict[str, Path]:
    """Return {module: file} of a package's folder, without the `__init__` files."""
    return {
        ".".join(path.relative_to(root.parent).with_suffix("").parts): path
        for path in sorted(root.rglob("*.py"))
        if path.name != "__init__.py"
    }


def targets(source: str) -> set[str]:
    """Return every dotted name that a module's text imports, or might: `from a.b import c` gives both."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            found.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0 and node.module, "relative import"
            found |= {node.module, *(f"{node.module}.{alias.name}" for alias in node.names)}
    return found


def import_graph(root: Path) -> Graph:
    """Return {module: the modules of the same package that it imports}."""
    modules = module_names(root)
    return {
        name: {target for target in targets(path.read_text(encoding="utf-8")) if target in modules} - {name}
        for name, path in modules.items()
    }


def circle_in(graph: Graph) -> list[str]:
    """Return one circle of a graph as a list that ends where it begins, or nothing."""
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        return list(error.args[1])
    return []


def reached(graph: Graph, start: str) -> set[str]:
    """Return every module that `start` imports, directly or by way of others."""
    seen: set[str] = set()
    waiting = [start]
    while waiting:
        for target in graph[waiting.pop()] - seen:
            seen.add(target)
            waiting.append(target)
    return seen


def upward(graph: Graph, package: str, floors: tuple[tuple[str, ...], ...]) -> list[tuple[str, str]]:
    """Return the imports (importer, imported) that leave a folder for one on no lower floor."""
    height = {folder: number for number, floor in enumerate(floors) for folder in floor}
    prefix = package + "."
    found = []
    for importer, imports in graph.items():
        for imported in imports:
            if importer.startswith(prefix) and imported.startswith(prefix):
                upper, lower = (name.removeprefix(prefix).split(".")[0] for name in (importer, imported))
                if upper != lower and height[upper] <= height[lower]:
                    found.append((importer, imported))
    return sorted(found)


@pytest.fixture(scope="module")
def graph() -> Graph:
    """The package's import graph."""
    return import_graph(PACKAGE)


def test_no_modules_import_each_other_in_a_circle(graph: Graph) -> None:
    """No module imports itself by way of others, late and type-checking imports included."""
    assert circle_in(graph) == []


def test_package_files_import_nothing_of_ours() -> None:
    """An `__init__` file imports none of our modules, so that no circle runs through one."""
    for path in sorted(PACKAGE.rglob("__init__.py")):
        ours = {name for name in targets(path.read_text(encoding="utf-8")) if name.startswith("darkroom")}
        assert set() == ours, path


def test_the_search_for_circles_finds_late_and_type_checking_imports(tmp_path: Path) -> None:
    """A circle through an import inside a function and one for types alone is found and named."""
    room = tmp_path / "house"
    room.mkdir()
    (room / "one.py").write_text("import typing\nif typing.TYPE_CHECKING:\n    from house.two import name\n")
    (room / "two.py").write_text("def late():\n    from house import three\n")
    (room / "three.py").write_text("import house.one\n")
    (room / "four.py").write_text("from house.one import name\n")
    graph = import_graph(room)
    assert {"house.one", "house.two", "house.three"} == set(circle_in(graph))
    del graph["house.three"]
    graph["house.two"].clear()
    assert circle_in(graph) == []


def test_the_floors_of_the_log_reach_down_only(graph: Graph) -> None:
    """A folder of `log/` imports lower floors, never a higher one and never its neighbour."""
    assert [edge for edge in upward(graph, "darkroom.log", LOG_FLOORS) if edge not in KNOWN_EXCEPTIONS] == []


def test_every_folder_of_the_log_has_a_floor() -> None:
    """A new folder of `log/` says where it stands."""
    folders = {path.parent.name for path in (PACKAGE / "log").glob("*/__init__.py")}
    assert folders <= {folder for floor in LOG_FLOORS for folder in floor}


def test_an_import_that_reaches_up_is_found() -> None:
    """An import of a higher floor and one of a neighbour are both found; one downwards is not."""
    graph = {
        "darkroom.log.store.paths": {"darkroom.log.journal.read"},
        "darkroom.log.journal.read": {"darkroom.log.store.paths"},
        "darkroom.log.plate.record": {"darkroom.log.bottles.book", "darkroom.log.store.paths"},
    }
    expected = [
        ("darkroom.log.plate.record", "darkroom.log.bottles.book"),
        ("darkroom.log.store.paths", "darkroom.log.journal.read"),
    ]
    assert expected == upward(graph, "darkroom.log", LOG_FLOORS)


@pytest.mark.parametrize("floor", range(len(BENCH_ORDER)))
def test_the_bench_is_built_in_order(graph: Graph, floor: int) -> None:
    """State knows no clocks, clocks no fold, fold no decision, a decision neither view nor cues."""
    for lower in BENCH_ORDER[floor]:
        same_or_higher = {f"darkroom.bench.{name}" for names in BENCH_ORDER[floor:] for name in names}
        below = reached(graph, f"darkroom.bench.{lower}")
        assert set() == (below & same_or_higher) - {f"darkroom.bench.{lower}"}, lower


def test_the_session_imports_pure_rooms_only(graph: Graph) -> None:
    """Clocks, writer, player and thermometers are passed in: the session imports no device and no disk."""
    for importer, imports in graph.items():
        for imported in imports:
            if importer.startswith("darkroom.session.") and (importer, imported) not in KNOWN_EXCEPTIONS:
                assert imported.split(".")[1] in SESSION_MAY_IMPORT | {"session"}, (importer, imported)


def test_every_known_exception_is_needed(graph: Graph) -> None:
    """An exception that no import needs any more is taken off the list."""
    assert [edge for edge in KNOWN_EXCEPTIONS if edge[1] not in graph.get(edge[0], set())] == []
