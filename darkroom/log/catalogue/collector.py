"""Python's search for reference cycles, held back where many rows are made and none of them is a cycle."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def collector_held() -> Iterator[None]:
    """Hold the search back in the block; what it counts is gone once the rows are.

    It is held for the whole process: the block is to be short, a batch and not all of them. A batch may wait
    some seconds for another program's transaction; what is made meanwhile is looked through afterwards.
    """
    was_enabled = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_enabled:
            gc.enable()
