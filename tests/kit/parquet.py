"""Parquet tables read back by engines that are not ours, and what a row would be in a table for people."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import duckdb
import polars as pl

from darkroom.log.export.csv_tables import cell
from darkroom.log.export.parquet_columns import OFFSET, PLATES, STAGES, Column
from darkroom.log.plate.columns import PLATE, STAGE

Reader = Callable[[Path, str], list[dict[str, Any]]]
"""From the folder of an export, and the name of a table, to its rows."""


def by_duckdb(folder: Path, table: str) -> list[dict[str, Any]]:
    """Read a table with DuckDB, in the order of its files."""
    with duckdb.connect() as db:
        db.execute("SET TimeZone = 'UTC'")
        found = db.execute(
            f"SELECT * FROM read_parquet('{folder}/{table}/*/*.parquet', hive_partitioning = true)"
        )
        names = [column[0] for column in found.description or ()]
        return [dict(zip(names, row, strict=True)) for row in found.fetchall()]


def by_polars(folder: Path, table: str) -> list[dict[str, Any]]:
    """Read a table with Polars, in the order of its files."""
    return pl.scan_parquet(folder / table, hive_partitioning=True).collect().to_dicts()


READERS: dict[str, Reader] = {"duckdb": by_duckdb, "polars": by_polars}


def pairs(value: Any) -> list[tuple[str, str]]:
    """Return a map as pairs: an engine may give it as such or as a list of structs."""
    if isinstance(value, dict):
        return list(value.items())
    return [(entry["key"], entry["value"]) for entry in value or ()]


def as_told(row: dict[str, Any], table: str) -> dict[str, str]:
    """Return a row of an engine as the CSV table of the same plates has it, {heading: cell}."""
    columns: dict[str, Column[Any]] = {
        column.key: column for column in (PLATES if table == "plates" else STAGES)
    }
    headings = [(heading, key) for heading, key, _ in (PLATE if table == "plates" else STAGE)]
    return {heading: cell(_told(row, key, columns[key].kind)) for heading, key in headings}


def _told(row: dict[str, Any], key: str, kind: str) -> Any:
    value = row[key]
    if value is None:
        return None
    if kind == "instant":
        return _wall_time(value, row[key + OFFSET])
    if kind == "texts":
        return "\n".join(value)
    if kind == "numbers":
        return " ".join(f"{number:g}" for number in value)
    if kind == "by_role":
        return "; ".join(f"{role}: {bottle}" for role, bottle in pairs(value))
    if kind == "pairs":
        return "\n".join(f"{pair['key']}: {pair['value']}" for pair in value)
    if kind == "causes":
        named = [
            (f"{fault['name']} ({fault['where']})" if fault["where"] else fault["name"], fault)
            for fault in value
        ]
        return "\n".join(f"{name}: {fault['cause']}" for name, fault in named if fault["cause"]) or None
    return value


def _wall_time(instant: datetime, ahead: int) -> str:
    return instant.astimezone(timezone(timedelta(minutes=ahead))).isoformat(timespec="milliseconds")
