"""The memory that is measured of a program is its own, however much the process has that measures."""

from __future__ import annotations

import sys
from pathlib import Path

from tests.measure.launched import run

MEGABYTE = 1 << 20


def test_a_program_started_by_a_large_process_is_told_as_small_as_it_is(tmp_path: Path) -> None:
    """The measuring process has 150 MB at its own peak; a program that does nothing takes a tenth of it."""
    held = b"x" * (150 * MEGABYTE)
    took, printed = run((sys.executable, "-S", "-c", "print('done')"), tmp_path)
    assert len(held) == 150 * MEGABYTE
    assert printed == "done\n"
    assert 2 < took.peak < 50


def test_a_program_that_takes_much_is_told_so(tmp_path: Path) -> None:
    """What a program holds at its peak is counted, though it lets go of it before it ends."""
    took, _ = run((sys.executable, "-S", "-c", f"held = b'x' * {80 * MEGABYTE}; del held"), tmp_path)
    assert took.peak > 80
