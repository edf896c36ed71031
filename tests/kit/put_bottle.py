"""A bottle in the book of a test's log."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from darkroom.log.bottles.files import append
from darkroom.solutions import events as ev
from tests.kit.bottles import time_text

APRIL_1 = 1775026800.0
"""1 April 2026, 07:00 UTC: the first day of a season of `tests.kit.season`."""
BEFORE = APRIL_1 - 86400.0


def put_bottle(home: Path, bottle: str, name: str, what: str = "fixer", made: float = BEFORE) -> None:
    """Put a bottle that was made at an instant into the book."""
    said: dict[str, Any] = {"what": what, "schema": 1, "version": "0", "bench": "b"}
    line = ev.Made(n=1, at=time_text(made), up=None, bottle=bottle, name=name, **said)
    append(home, bottle, "b", lambda n: [line])
