"""The first page of the list, or a filter of it, asked of a log's catalogue: the seconds of five times.

python -m tests.measure.growth_page page|filter HOME
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.query import Query

PAGE = 60
"""Rows of a page: more than any terminal shows."""
FILTER = "ferns fog"
"""Two words that some plates in a hundred of the invented season have, one of them among their faults."""
TIMES = 5


def page(home: Path, words: str) -> int:
    """Return how many rows the first page has: the catalogue is opened and what is new in the log is read."""
    with Catalogue(home) as catalogue:
        catalogue.read_changes()
        return len(catalogue.plates(Query(words=words), limit=PAGE))


def main() -> None:
    """Ask, and print the seconds."""
    step, home = sys.argv[1:]
    for _ in range(TIMES):
        began = time.perf_counter()
        rows = page(Path(home), FILTER if step == "filter" else "")
        print(time.perf_counter() - began)
        assert rows, "the catalogue is empty"


if __name__ == "__main__":
    main()
