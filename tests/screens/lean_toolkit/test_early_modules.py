"""The modules that are loaded first: without parts that few commands use, whole when those are asked for."""

from __future__ import annotations

import importlib
import json
import os
import platform
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from darkroom.screens.lean_toolkit.early_modules import EARLY, MODULES, load

ROOT = Path(__file__).resolve().parents[3]


def _after_load(look: str) -> Any:
    """Return what the statements of `look`, run after the load in a process of its own, put into `found`."""
    begin = (
        f"import json, sys\nsys.path.insert(0, {str(ROOT)!r})\n"
        "from darkroom.screens.lean_toolkit.early_modules import load\nload()\n"
    )
    run = subprocess.run(
        [sys.executable, "-c", f"{begin}{look}\nprint(json.dumps(found))"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == 0, run.stderr
    return json.loads(run.stdout)


@pytest.mark.parametrize("module", sorted(EARLY))
def test_every_name_is_one_of_the_real_module(module: str) -> None:
    """The module has each name that is taken from it."""
    real = importlib.import_module(module)
    assert all(hasattr(real, name) for name in (*EARLY[module].late, *EARLY[module].given))


def test_what_is_left_out_is_not_loaded_and_the_rest_is() -> None:
    """After the load the early modules are there; of those left out nothing is, nor what only they bring."""
    loaded = _after_load("found = list(sys.modules)")
    assert set(MODULES) <= set(loaded)
    assert [name for name in (*EARLY, "ipaddress", "textwrap") if name in loaded] == []


def test_everything_works_after_the_load() -> None:
    """A path becomes an address, a type is told, a schema is made, and the platform tells all it knows."""
    found = _after_load(
        "import msgspec, pathlib, platform, uuid, urllib.parse\n"
        "from msgspec.json import schema\n"
        "found = [pathlib.Path('/a b').as_uri(), type(msgspec.inspect.type_info(int)).__name__,\n"
        "    msgspec.json.schema(int), schema(str), platform.machine(), urllib.parse.quote('a b'),\n"
        "    len(uuid.uuid4().hex), msgspec.json.decode(b'[1]')]"
    )
    assert found == [
        "file:///a%20b", "IntType", {"type": "integer"}, {"type": "string"},
        platform.machine(), "a%20b", 32, [1],
    ]  # fmt: skip


@pytest.mark.skipif(not hasattr(os, "uname"), reason="this system has no uname")
def test_the_system_has_the_name_that_python_gives_it() -> None:
    """What is given in place of `platform.system` says the same."""
    assert EARLY["platform"].given["system"]() == platform.system()


def test_modules_that_are_loaded_already_stay_as_they_are() -> None:
    """In this process everything is there: a load puts no stand-in anywhere."""
    before = dict(sys.modules)
    load()
    assert {name: module for name, module in sys.modules.items() if before.get(name) is not module} == {}
