"""Which test runs in which worker, and when: an inner run of a few tests, with our options and our order."""

from __future__ import annotations

import ast
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.conftest import SERVER

ROOT = Path(__file__).parents[1]
KINDS = ("listening", "in_one_process", "slow_terminal", "terminal")
"""The kinds of tests in the order in which one worker runs them."""
FIXTURE = """
import os
import pytest

@pytest.fixture(scope="session")
def server():
    pass

@pytest.fixture(autouse=True)
def record(request):
    with open(os.environ["RECORD"], "a") as record:
        print(os.environ["PYTEST_XDIST_WORKER"], request.function.__name__, file=record)
"""
TESTS = """
import pytest

@pytest.mark.system
def test_terminal(): pass

@pytest.mark.system
@pytest.mark.slow
def test_slow_terminal(): pass

def test_in_one_process(): pass

def test_listening(server): pass
"""
FILES = 5


@pytest.fixture
def kinds(tmp_path: Path) -> dict[str, list[str]]:
    """Return {worker: the kinds of the tests it ran, in order} of an inner run in two workers."""
    suite, record = tmp_path / "suite", tmp_path / "record"
    suite.mkdir()
    (suite / "conftest.py").write_text(FIXTURE)
    for number in range(FILES):
        (suite / f"test_file_{number}.py").write_text(TESTS)
    ours = {name: value for name, value in os.environ.items() if not name.startswith("PYTEST_")}
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-c", str(ROOT / "pyproject.toml"), f"--rootdir={tmp_path}",
         "-p", "tests.conftest", "-p", "no:cacheprovider", str(suite)],
        cwd=ROOT, env={**ours, "RECORD": str(record)}, capture_output=True, text=True, check=False,
        timeout=300,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    ran: dict[str, list[str]] = {}
    for line in record.read_text().splitlines():
        worker, _, name = line.partition(" ")
        ran.setdefault(worker, []).append(name.removeprefix("test_"))
    assert sorted(kind for names in ran.values() for kind in names) == sorted(FILES * KINDS)
    return ran


def test_all_that_listen_run_in_one_worker(kinds: dict[str, list[str]]) -> None:
    """Two workers share the tests, and one of them alone runs every test that listens to the sound server."""
    assert len(kinds) == 2
    counts = sorted(names.count("listening") for names in kinds.values())
    assert counts == [0, FILES], f"the installed pytest-xdist ignores groups of the installed pytest: {kinds}"


def test_a_worker_listens_first_and_works_terminals_last(kinds: dict[str, list[str]]) -> None:
    """In each worker the listening tests come first, the terminals last, the slow ones before the others."""
    for names in kinds.values():
        assert names == sorted(names, key=KINDS.index)


def test_a_sound_server_is_made_by_the_fixture_that_groups_tests() -> None:
    """No test has a sound server of its own, which would leave it outside the group."""
    makers = [
        function.name
        for path in sorted((ROOT / "tests").rglob("*.py"))
        if "measure" not in path.parts
        for function in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(function, ast.FunctionDef)
        for call in ast.walk(function)
        if isinstance(call, ast.Call) and ast.unparse(call.func).split(".")[-1] == "Server"
    ]
    assert makers == [SERVER]
