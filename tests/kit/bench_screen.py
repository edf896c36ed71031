"""The bench as a screen of text."""

from __future__ import annotations

from darkroom.bench.view import bench_view
from darkroom.screens.bench.layout import face
from darkroom.screens.bench.rail import BenchStatus
from tests.kit.bench import Hand


def shown(hand: Hand, now: float, columns: int, rows: int, around: BenchStatus | None = None) -> str:
    """Return the bench as text."""
    drawn = face(bench_view(hand.bench, now), around or BenchStatus(), columns, rows)
    assert all(sum(len(text) for text, _ in row) == columns for row in drawn)
    return "\n".join("".join(text for text, _ in row).rstrip() for row in drawn)
