"""The tool in a real terminal with a plate that is sensitive."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.kit.stopped_tool import StoppedTool


@pytest.fixture
def tool(tmp_path: Path) -> Iterator[StoppedTool]:
    """Return the tool with a sensitive plate at the bench."""
    tool = StoppedTool(tmp_path)
    with tool.terminal:
        tool.open()
        yield tool
