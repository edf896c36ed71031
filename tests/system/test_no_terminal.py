"""The full-screen tool where one of its three streams is no terminal: it says so and does not open."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from tests.kit.terminal import Terminal

pytestmark = pytest.mark.system
NEEDS = "the full-screen tool needs a terminal"
DRAWS = "draws on standard error, which is no terminal here"


@pytest.mark.parametrize(
    ("streams", "says"),
    [("</dev/null", NEEDS), ("<&-", NEEDS), ("2>/dev/null", DRAWS), ("2>&-", DRAWS)],
)
def test_a_stream_that_is_no_terminal_is_told_of(tmp_path: Path, streams: str, says: str) -> None:
    """The sentence stands on the terminal that there is, and the exit status is 2."""
    with Terminal(100, 24, env={"DARKROOM_HOME": str(tmp_path)}) as terminal:
        terminal.spawn(["sh", "-c", f'exec "$@" {streams}', "sh", sys.executable, "-m", "darkroom"])
        assert terminal.wait() == 2
        terminal.wait_for(says)
        assert "Traceback" not in terminal.screen()
