"""Memory of the list of plates, many against few: the part of `review.py` that no busy machine disturbs.

python -m tests.measure.listed [--short]
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from tests.measure import measure as m
from tests.measure import review


def measure(short: bool = False) -> list[m.Row]:
    """Compare the most memory of the tool, its list scrolled to the end and filtered once."""
    plates = review.SHORT if short else review.LONG
    with tempfile.TemporaryDirectory() as name:
        few = review.memory(review.prepared(Path(name) / "few", review.FEW), review.FEW)
        many = review.memory(review.prepared(Path(name) / "many", plates), plates)
    return [m.Row("memory with many plates listed", many, few, 1.2 * few, "MB", f"{plates} and {review.FEW}")]


if __name__ == "__main__":
    for row in measure("--short" in sys.argv):
        print(row)
