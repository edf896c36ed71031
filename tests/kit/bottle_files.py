"""Bottles in a book on disk, for tests; all invented."""

from __future__ import annotations

import time
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from darkroom.devices.clock import stamp
from darkroom.log.bottles.files import append
from darkroom.log.store import paths
from darkroom.solutions import events as ev

DAY = 86400.0


def put_bottle(
    home: Path, what: str, name: str, *, days: float = 3.0, treated: Sequence[str] = (), **members: Any
) -> str:
    """Write a bottle that was made so many days ago and treated then; return its id.

    `members` are more of the line that says what was made.
    """
    bench, at = paths.bench_id(), stamp(time.time() - days * DAY)
    bottle = f"20260101-000000-{what[:2]}{name.replace('-', '').lower():0>4}"[:22]

    def build(n: int) -> list[ev.BottleEvent]:
        first = ev.Made(
            n=n, at=at, up=None, bottle=bottle, name=name, what=what, schema=1, version="test", bench=bench,
            **members,
        )  # fmt: skip
        return [
            first,
            *(ev.Treated(n=n + more, at=at, up=None, how=how) for more, how in enumerate(treated, 1)),
        ]

    append(home, bottle, bench, build)
    return bottle


def add_line(home: Path, bottle: str, kind: Any, **members: Any) -> None:
    """Append one line to a bottle's file, of now."""
    at = stamp(time.time())
    append(home, bottle, paths.bench_id(), lambda n: [kind(n=n, at=at, up=None, **members)])
