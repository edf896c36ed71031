"""Two Parquet tables, `plates` and `stages`, in a folder: what any engine for many rows reads.

The files lie in one folder a year (`plates/year=2026/part-0.parquet`). They are written row group by row
group, so that memory does not grow with the plates. Needs pyarrow, which comes with the extra `tables`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from contextlib import suppress
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from typing import IO, Any, Generic

from darkroom.errors import NotWritten
from darkroom.log.export.parquet_columns import PLATES, SCHEMA, STAGES, Column, Kind, Row, year_of
from darkroom.log.plate.columns import stage_rows
from darkroom.log.plate.record import PlateRecord

NO_YEAR = "__HIVE_DEFAULT_PARTITION__"
"""The folder of rows whose year is not known: engines read it as null."""
BATCH_ROWS, BATCH_BYTES = 128, 4 << 20
"""So many plates, or as many as have journals of so many bytes, are gathered as Python's objects."""
GROUP_ROWS, GROUP_BYTES = 8_192, 1 << 19
"""A row group has at most about so many rows, and so many bytes before they are compressed."""
MOST_GROUPS = 32
"""A file has so many row groups at most: what it says of them at its end is kept until then."""
MOST_YEARS = 2
"""So many years have files open at a time, as around a New Year: an open one takes a megabyte. One that comes
again goes on in a new file."""
COMPRESSION = "snappy"
"""Every engine that reads Parquet reads it."""


def load() -> Any:
    """Return pyarrow's Parquet module. Raises NotWritten with the way to install it where it is missing."""
    if find_spec("pyarrow") is None:
        raise NotWritten(
            "parquet needs the library pyarrow, which is not installed: pip install 'darkroom[tables]'"
        )
    try:
        return import_module("pyarrow.parquet")
    except ImportError as error:
        raise NotWritten(f"parquet needs the library pyarrow, which cannot be loaded: {error}") from None


def write_tables(plates: Iterable[PlateRecord], folder: Path) -> None:
    """Write the tables of plates into an empty folder. Raises OSError, and NotWritten as `load` does."""
    parquet = load()
    _little_memory()
    tables = _Table(folder / "plates", PLATES, parquet), _Table(folder / "stages", STAGES, parquet)
    try:
        waiting, waiting_bytes = 0, 0
        for record in plates:
            year = year_of(record)
            tables[0].add(year, [record])
            tables[1].add(year, stage_rows(record))
            waiting, waiting_bytes = waiting + 1, waiting_bytes + sum(map(len, record.log.frames.values()))
            if waiting >= BATCH_ROWS or waiting_bytes >= BATCH_BYTES:
                waiting = waiting_bytes = 0
                for table in tables:
                    table.gather()
        for table in tables:
            table.finish()
    finally:
        for table in tables:
            table.give_up()


def _little_memory() -> None:
    """Let pyarrow give back what it no longer needs: its own allocators keep it."""
    import pyarrow

    pyarrow.set_memory_pool(pyarrow.system_memory_pool())


def schema(columns: Sequence[Column[Any]]) -> Any:
    """Return the Arrow schema of a table; the heading of a column stands in the field's metadata."""
    import pyarrow as pa

    fields = [
        pa.field(column.key, types()[column.kind], metadata={"heading": column.heading}) for column in columns
    ]
    return pa.schema(fields, metadata={"darkroom_tables": SCHEMA})


def types() -> dict[Kind, Any]:
    """Return the Arrow type of each kind of column."""
    import pyarrow as pa

    of_text = pa.map_(pa.string(), pa.string())
    causes = {"name": pa.string(), "where": pa.string(), "cause": pa.string(), "answers": of_text}
    return {
        "text": pa.string(),
        "whole": pa.int64(),
        "number": pa.float64(),
        "yes_no": pa.bool_(),
        "instant": pa.timestamp("us", tz="UTC"),
        "day": pa.date32(),
        "texts": pa.list_(pa.string()),
        "numbers": pa.list_(pa.float64()),
        "by_role": of_text,
        "pairs": pa.list_(pa.struct({"key": pa.string(), "value": pa.string()})),
        "causes": pa.list_(pa.struct(causes)),
    }


class _Table(Generic[Row]):
    """One table: its years' files, of which the last few are open."""

    def __init__(self, folder: Path, columns: Sequence[Column[Row]], parquet: Any) -> None:
        self._folder, self._columns, self._parquet = folder, columns, parquet
        self._schema = schema(columns)
        self._open: dict[int | None, _Year] = {}
        self._parts: dict[int | None, int] = {}

    def add(self, year: int | None, rows: Iterable[Row]) -> None:
        """Take rows of a year; a year without any has an empty file, so that it can be read."""
        values = [column.value for column in self._columns]
        self._year(year).rows.extend([tuple([value(row) for value in values]) for row in rows])

    def _year(self, year: int | None) -> _Year:
        if year in self._open:
            self._open[year] = self._open.pop(year)  # the last one used stands last
            return self._open[year]
        if len(self._open) >= MOST_YEARS:
            self._open.pop(next(iter(self._open))).finish()
        part = self._parts[year] = self._parts.get(year, -1) + 1
        folder = self._folder / f"year={NO_YEAR if year is None else year}"
        folder.mkdir(parents=True, exist_ok=True)
        found = self._open[year] = _Year(folder / f"part-{part}.parquet", self._schema, self._parquet)
        return found

    def gather(self) -> None:
        """Put the rows that wait into columns, which take less room."""
        for year, file in list(self._open.items()):
            file.gather()
            if file.groups >= MOST_GROUPS:
                self._open.pop(year).finish()

    def finish(self) -> None:
        """Write what waits, and end the files."""
        while self._open:
            self._open.pop(next(iter(self._open))).finish()

    def give_up(self) -> None:
        """Close the files that are open as they are. Raises nothing."""
        for year in self._open.values():
            year.give_up()


class _Year:
    """One file, of so many row `groups`: `rows` wait as tuples, then as columns, until they are one."""

    def __init__(self, path: Path, table_schema: Any, parquet: Any) -> None:
        self.rows: list[tuple[object, ...]] = []
        self.groups = 0
        self._schema, self._batches, self._rows, self._bytes = table_schema, list[Any](), 0, 0
        self._file: IO[bytes] = path.open("xb")
        words = [field.name for field in table_schema if str(field.type) == "string"]
        self._writer = parquet.ParquetWriter(
            self._file, table_schema, compression=COMPRESSION, use_dictionary=words
        )

    def gather(self) -> None:
        import pyarrow as pa

        from darkroom.log.export.arrow_arrays import made

        if not self.rows:
            return
        columns = zip(zip(*self.rows, strict=True), self._schema, strict=True)
        arrays = [made(values, field.type) for values, field in columns]
        self.rows.clear()
        batch = pa.RecordBatch.from_arrays(arrays, schema=self._schema)
        self._batches.append(batch)
        self._rows, self._bytes = self._rows + batch.num_rows, self._bytes + batch.nbytes
        if self._rows >= GROUP_ROWS or self._bytes >= GROUP_BYTES:
            self._write()

    def _write(self) -> None:
        import pyarrow as pa

        if self._batches:
            self._writer.write_table(pa.Table.from_batches(self._batches), self._rows)
            self.groups += 1
        self._batches.clear()
        self._rows = self._bytes = 0
        pa.default_memory_pool().release_unused()  # else freed memory stays with the process

    def finish(self) -> None:
        try:
            self.gather()
            self._write()
            self._writer.close()
            self._file.close()
        finally:
            self.give_up()

    def give_up(self) -> None:
        """Close the file as it is; what the library wants to write at its end is not kept. Raises nothing."""
        with suppress(OSError):
            self._file.close()
        with suppress(Exception):
            self._writer.close()
