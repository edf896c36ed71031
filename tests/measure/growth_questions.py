"""The questions of DEVELOPERS.md, asked of Parquet tables by DuckDB: a name and its seconds a line.

python -m tests.measure.growth_questions FOLDER

FOLDER holds the export, called `tables`.
"""

from __future__ import annotations

import os
import sys
import time

import duckdb

from tests.kit.parquet_questions import questions


def main() -> None:
    """Ask each question, and print how long its answer took."""
    os.chdir(sys.argv[1])
    with duckdb.connect() as db:
        for name, sql in questions().items():
            began = time.perf_counter()
            db.execute(sql).fetchall()
            print(f"{name}\t{time.perf_counter() - began}")


if __name__ == "__main__":
    main()
