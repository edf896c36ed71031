"""What the commands about the log load: no toolkit, no drawing, no YAML, no units, nothing of other rooms."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tests.kit.exports import shelve, worked
from tests.kit.log_fixtures import home

__all__ = ["home"]

NEVER = (
    "textual",
    "rich",
    "pint",
    "PIL",
    "yaml",
    "platformdirs",
    "jinja2",
    "plotext",
    "astral",
    "json",
    "csv",
)


def loaded_by(home: Path, *words: str) -> set[str]:
    """Return the modules in a fresh interpreter after this command, which must have done its work."""
    code = (
        "import sys\nfrom darkroom import cli\n"
        f"status = cli.main({list(words)!r})\nassert status == 0, status\nprint('LOADED', *sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return set(done.stdout.rpartition("LOADED")[2].split())


@pytest.mark.parametrize("words", [("log", "show"), ("log", "list")])
def test_a_command_about_the_log_loads_no_toolkit(home: Path, words: tuple[str, ...]) -> None:
    """Neither the account of a plate nor the list of all needs any of it."""
    path = shelve(home, worked())
    loaded = loaded_by(home, *words, *([path.stem] if words[1] == "show" else []))
    assert {name for name in NEVER if name in loaded} == set()
    assert "click" in loaded


def test_a_plate_named_by_its_id_is_shown_without_the_catalogue(home: Path) -> None:
    """Its journal is found by its name: no database is opened, no other journal looked at."""
    loaded = loaded_by(home, "log", "show", shelve(home, worked()).stem)
    assert not any(name.startswith(("sqlite3", "darkroom.log.catalogue.")) for name in loaded)


def test_a_list_reads_no_account_of_a_plate(home: Path) -> None:
    """Its lines are columns of the catalogue: no kind of event is known, nothing of bottles or processes."""
    shelve(home, worked())
    loaded_by(home, "log", "list")  # fills the catalogue, which folds each plate
    loaded = loaded_by(home, "log", "list")
    assert not loaded & {"darkroom.bench.fold", "darkroom.log.plate.account", "darkroom.log.catalogue.fill"}
    assert not loaded & {"darkroom.bench.events", "darkroom.solutions.events", "darkroom.process.model"}


@pytest.mark.parametrize("words", [("log", "list"), ()])
def test_garbage_is_collected_while_a_command_works_and_not_at_its_end(
    home: Path, words: tuple[str, ...]
) -> None:
    """A command works with the collector on, which need not see what it began with or left; home rests it."""
    shelve(home, worked())
    code = (
        "import atexit, gc, sys\nfrom darkroom import cli\n"
        "def worked():\n    told.append((gc.isenabled(), gc.get_freeze_count() > 0))\n    return 0\n"
        "told, cli.main = [], worked\n"
        "atexit.register(lambda: print('TOLD', told, len(gc.get_objects()) < 500))\n"
        f"sys.argv = ['darkroom', *{list(words)!r}]\ncli.run()"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    at_work = (bool(words), bool(words))
    assert done.stdout.split("TOLD ")[1].strip() == f"[{at_work}] True"
