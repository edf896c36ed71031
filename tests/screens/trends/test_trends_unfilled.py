"""Trends of a log whose index cannot be filled by a program of its own."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from darkroom.log.catalogue import worker
from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.query import Query
from darkroom.log.trends.reading import trend_rows
from darkroom.screens.trends.screen import TrendsScreen
from tests.kit.review_hand import Looker, looking


def test_half_a_log_is_never_told_for_all_of_it(
    home: Path, plates: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the program that fills the index fails, the page itself reads the rest before it tells."""

    @contextmanager
    def fails(home: Path) -> Iterator[subprocess.Popen[bytes]]:
        with subprocess.Popen([sys.executable, "-c", "raise SystemExit(1)"]) as program:
            yield program

    monkeypatch.setattr(worker, "running", fails)

    async def steps(hand: Looker) -> None:
        await hand.wait("to the bench")
        page = TrendsScreen(Query())
        hand.tool.push_screen(page)
        await hand.wait(lambda text: text.startswith("1 of"))
        with Catalogue(home) as catalogue:
            assert catalogue.whole and len(trend_rows(catalogue, Query()).plates) == 60

    looking(home, steps, text=None)
