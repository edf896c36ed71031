"""`darkroom exposure` in tests: its log is always one of their own."""

from __future__ import annotations

from pathlib import Path

import pytest


@pytest.fixture(autouse=True)
def own_log(home: Path) -> None:
    """Let no test read the log or the kit of who runs it."""
