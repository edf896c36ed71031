"""Sizes that the kernel may tell: none, one cell, ten thousand columns; none of them ends the tool."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from tests.kit.stopped_tool import StoppedTool

pytestmark = [
    pytest.mark.system,
    pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="the state is read from /proc"),
]
ODD = [(1, 1), (0, 0), (1, 0), (0, 1), (10_000, 24), (1, 10_000), (65_535, 65_535)]


def test_no_size_ends_the_tool_or_costs_a_strike(tool: StoppedTool) -> None:
    """At every odd size a mark is saved; back at the usual one the screen is whole."""
    for size in ODD:
        tool.tell_size(*size)
        assert tool.mark(), size
    tool.tell_size(100, 30)
    assert tool.is_whole()


def test_a_storm_of_sizes_leaves_the_last_one_drawn(tool: StoppedTool) -> None:
    """Hundreds of sizes in a second: the last is drawn whole, and a mark is saved."""
    rng = random.Random(4)
    for _ in range(300):
        tool.tell_size(rng.randrange(220), rng.randrange(90))
    tool.tell_size(100, 30)
    assert tool.mark()
    assert tool.is_whole()


def test_cells_lost_between_two_sizes_are_painted_again(tool: StoppedTool) -> None:
    """A terminal made smaller and at once as large as before has lost cells: all are painted."""
    tool.terminal.settle(0.3, 3.0)
    before = tool.still_rows()
    tool.terminal.resize(60, 30)
    tool.terminal.resize(100, 30)
    tool.terminal.wait_until(lambda: tool.still_rows() == before)


def test_the_size_of_the_environment_is_another_windows(tmp_path: Path) -> None:
    """COLUMNS and LINES that a shell exported once do not count: the bench fills the terminal as it is."""
    tool = StoppedTool(tmp_path)
    tool.terminal.env |= {"COLUMNS": "40", "LINES": "12", "JUPYTER_COLUMNS": "50"}
    with tool.terminal:
        tool.open()
        rows = [row.rstrip() for row in tool.terminal.whole_screen().splitlines()]
        assert len(rows[0]) > 90
        assert rows[29]
        tool.resize(120, 40)
        tool.terminal.wait_for(lambda screen: bool(screen.splitlines()[39].strip()))
