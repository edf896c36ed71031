"""How large the terminal is: what the kernel says, within what can be drawn."""

from __future__ import annotations

import contextlib
import os

USUAL_SIZE = (80, 24)
"""Columns and rows of a terminal that says no size, or a size of none."""
LARGEST_SIZE = (1000, 300)
"""Columns and rows that are drawn at most; more than any screen has, few enough to be drawn in a second."""


def size_from_the_kernel(fd: int) -> tuple[int, int]:
    """Return (columns, rows) of the terminal that is open as `fd`."""
    columns = rows = 0
    with contextlib.suppress(OSError, ValueError):
        columns, rows = os.get_terminal_size(fd)
    return min(columns or USUAL_SIZE[0], LARGEST_SIZE[0]), min(rows or USUAL_SIZE[1], LARGEST_SIZE[1])
