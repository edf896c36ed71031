"""The tests keep their own rules: shared things come from tests.kit, nothing private is imported."""

from __future__ import annotations

import ast
import importlib
from collections.abc import Iterator
from pathlib import Path

import pytest

from darkroom.bench import events as ev
from darkroom.log.journal.frame import encode
from tests.kit import leaving
from tests.kit.journals import PLATE, at

TESTS = Path(__file__).parent


def _imports() -> Iterator[tuple[Path, str, str]]:
    """Yield (file, module, name) of each name that a file of the tests imports from a module."""
    for path in sorted(TESTS.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom) and node.module is not None:
                for alias in node.names:
                    yield path, node.module, alias.name


def test_no_test_module_is_imported() -> None:
    """What two tests share lies in tests.kit, under one name."""
    wrong = [
        f"{path.relative_to(TESTS)}: {module}.{name}"
        for path, module, name in _imports()
        if module.startswith("tests.")
        and any(part.startswith("test_") for part in f"{module}.{name}".split("."))
        and not name.startswith("test_")
    ]
    assert wrong == []


def test_nothing_private_of_the_package_is_imported() -> None:
    """Tests know of the package what the rest of it knows: no name that begins with an underscore."""
    wrong = [
        f"{path.relative_to(TESTS)}: {module}.{name}"
        for path, module, name in _imports()
        if module.split(".")[0] == "darkroom" and name.startswith("_") and not name.startswith("__")
    ]
    assert wrong == []


def test_no_class_of_the_kit_is_defined_twice() -> None:
    """A public class of tests.kit has one home."""
    homes: dict[str, list[str]] = {}
    for path in sorted((TESTS / "kit").rglob("*.py")):
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                homes.setdefault(node.name, []).append(path.name)
    assert {name: where for name, where in homes.items() if len(where) > 1} == {}


def test_random_draws_are_the_same_each_day_and_no_draw_has_a_deadline() -> None:
    """Both profiles of hypothesis leave the time of an example alone; the one by day has a fixed seed."""
    from hypothesis import settings

    by_day, nightly = settings.get_profile("ci"), settings.get_profile("nightly")
    assert by_day.derandomize and not nightly.derandomize
    assert by_day.deadline is None and nightly.deadline is None


def test_every_measurement_can_be_started() -> None:
    """Each module of tests/measure is importable, and each name that run.py knows measures."""
    from tests.measure import run

    for path in sorted((TESTS / "measure").glob("*.py")):
        if path.name != "__main__.py":
            importlib.import_module(f"tests.measure.{path.stem}")
    for name in run.NAMES + run.ONLY_LONG:
        assert callable(importlib.import_module(f"tests.measure.{name}").measure)


def test_a_log_clears_of_memory_what_it_left_there_itself(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two tests that leave lines in memory at once keep each its own until it has looked at them."""
    memory = tmp_path / "memory"
    memory.mkdir()
    monkeypatch.setattr(leaving, "MEMORY", memory)
    benches = []
    for name in ("one", "one more"):
        (tmp_path / name).mkdir()
        benches.append(leaving.Leaving(tmp_path / name))
        home = str(benches[-1].home)
        line = ev.Continued(n=0, at=at(9.0), up=9.0, plate=PLATE, saved=4, why="", home=home)
        (memory / f"{name}.jsonl").write_bytes(encode(line))
    benches[0].clear_memory()
    assert [path.name for path in memory.iterdir()] == ["one more.jsonl"]
