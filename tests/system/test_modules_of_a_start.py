"""What a started tool has loaded of the toolkit and of Python: no more than it uses."""

from __future__ import annotations

import signal
import sys
from pathlib import Path

import pytest

from tests.kit.day import TITLE
from tests.kit.terminal import Terminal

ROOT = Path(__file__).resolve().parents[2]
UNUSED = (
    "ssl", "_ssl", "http", "email", "typing_extensions", "mimetypes", "pickle",
    "textual.command", "textual.containers", "textual.fuzzy", "textual.pilot", "textual.types",
    "textual.widgets", "textual.file_monitor", "textual.suggestions",
    "rich.panel", "rich.pretty", "rich.table", "rich.traceback", "rich.tree", "rich.syntax", "pygments",
)  # fmt: skip
"""Modules that an empty application of the toolkit has, or that a page about an error would bring."""


@pytest.mark.parametrize(("words", "shown"), [((), "subject"), (("bench", "clear-glass"), TITLE)])
def test_a_start_loads_nothing_that_it_does_not_use(
    tmp_path: Path, words: tuple[str, ...], shown: str
) -> None:
    """Home, and the sheet before the first plate of a day, stand without any of the unused modules."""
    env = {"DARKROOM_HOME": str(tmp_path / "home"), "XDG_STATE_HOME": str(tmp_path / "state")}
    with Terminal(80, 24, env=env) as terminal:
        program = str(ROOT / "tests" / "kit" / "modules_told.py")
        terminal.spawn([sys.executable, program, str(tmp_path), *words], cwd=str(ROOT))
        terminal.wait_for(shown)
        (tmp_path / "ask").touch()
        terminal.wait_until((tmp_path / "told").exists)
        terminal.kill(signal.SIGTERM)
        assert terminal.wait() == 128 + signal.SIGTERM
    told = (tmp_path / "told").read_text().split()
    assert {"textual.app", "asyncio", "rich.console"} <= set(told)
    assert [name for name in UNUSED if name in told] == []
