"""The questions of DEVELOPERS.md, run by DuckDB over an export, against our own answers to them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from statistics import mean, median
from typing import Any

import duckdb
import polars as pl
import pytest

from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.query import Query
from darkroom.log.export.parquet_tables import write_tables
from darkroom.log.plate.record import PlateRecord, read_record
from darkroom.log.trends.fault_shares import fault_shares
from darkroom.log.trends.reading import trend_rows
from tests.kit import season
from tests.kit.parquet_questions import questions

Answers = dict[str, list[tuple[Any, ...]]]


def bottles(number: int) -> dict[str, str]:
    """Return a developer that is mixed anew after every thirty plates; each tenth plate names none."""
    return {"fixer": "F1"} if number % 10 == 0 else {"developer": f"D{number // 30}", "fixer": "F1"}


@pytest.fixture
def records(home: Path) -> list[PlateRecord]:
    """Return the plates of a log of half a year."""
    return [read_record(path) for path in season.write(home, 150, seed=8, days=180, bottles=bottles)]


@pytest.fixture
def answers(records: list[PlateRecord], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Answers]:
    """Return what each question of the document answers, over the tables of these plates."""
    (tmp_path / "tables").mkdir()
    write_tables(records, tmp_path / "tables")
    monkeypatch.chdir(tmp_path)
    asked = questions()
    with duckdb.connect() as db:
        db.execute("SET TimeZone = 'UTC'")
        db.execute(asked.pop("views"))
        yield {name: db.execute(sql).fetchall() for name, sql in asked.items()}


def test_plates_a_month(records: list[PlateRecord], answers: Answers) -> None:
    """As many of each month as have it in the date of their folder."""
    months: dict[str, int] = defaultdict(int)
    for record in records:
        months[record.log.local_date[:7]] += 1
    assert answers["plates a month"] == [(month, plates, 1) for month, plates in sorted(months.items())]
    assert len(months) == 6


def test_stars_by_the_age_of_the_developer(records: list[PlateRecord], answers: Answers) -> None:
    """Weeks since the first plate of the bottle: plates and their mean stars; none without a developer."""
    days: dict[str, list[tuple[date, int | None]]] = defaultdict(list)
    for record in records:
        name = (record.log.start.bottles or {}).get("developer") if record.log.start else None
        if name is not None:
            days[name].append((date.fromisoformat(record.log.local_date), record.judged.stars))
    weeks: dict[int, list[int]] = defaultdict(list)
    for used in days.values():
        first = min(day for day, _ in used)
        for day, stars in used:
            if stars is not None:
                weeks[(day - first).days // 7].append(stars)
    expected = [
        (week, len(stars), pytest.approx(mean(stars), abs=0.005)) for week, stars in sorted(weeks.items())
    ]
    assert answers["stars by developer age"] == expected
    assert len(expected) >= 5


def test_fault_shares(records: list[PlateRecord], home: Path, answers: Answers) -> None:
    """Each fault on as many of the judged plates as our own trend counts, the commonest first."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        own = {
            share.label: (share.having, share.plates)
            for share in fault_shares(trend_rows(catalogue, Query()))
        }
    found = {fault: plates for fault, plates, _ in answers["fault shares"]}
    assert len(own) >= 5
    assert {label: having for label, (having, _) in own.items()} == {label: found[label] for label in own}
    (judged,) = {plates for _, plates in own.values()}
    assert [percent for _, _, percent in answers["fault shares"]] == [
        pytest.approx(100 * plates / judged, abs=0.05) for plates in found.values()
    ]
    assert list(found.values()) == sorted(found.values(), reverse=True)


def test_stage_times(records: list[PlateRecord], answers: Answers) -> None:
    """The median of what a stage took at each degree, of stages that a strike ended; none is assumed."""
    times: dict[tuple[str, str, float], list[float]] = defaultdict(list)
    for record in records:
        for stage in record.account.stages:
            if stage.how == "strike" and stage.celsius is not None and stage.origin != "assumed":
                whole = float(int(stage.celsius + 0.5))  # no stage is below zero
                times[(record.process or "", stage.stage, whole)].append(stage.seconds)
    assert answers["stage times"] == [
        (*key, len(seconds), pytest.approx(median(seconds), abs=0.051))
        for key, seconds in sorted(times.items())
    ]
    assert len(times) > 40


def test_the_first_page(records: list[PlateRecord], home: Path, answers: Answers) -> None:
    """The sixty plates of the list's first page, in its order."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        listed = catalogue.plates(limit=60)
    page = [(row[0], row[1].timestamp(), *row[2:5]) for row in answers["first page"]]
    assert page == [
        tuple(row[key] for key in ("number", "moment", "process", "subject", "stars")) for row in listed
    ]
    assert len(page) == 60


def test_the_words_of_the_document_for_polars(records: list[PlateRecord], answers: Answers) -> None:
    """The folder is read as the document says, the year in its rows."""
    months = (
        pl.scan_parquet("tables/plates", hive_partitioning=True)
        .group_by(pl.col("day").dt.strftime("%Y-%m").alias("month"), "year")
        .agg(pl.len())
        .sort("month")
        .collect()
        .rows()
    )
    assert [(month, plates) for month, _, plates in months] == [row[:2] for row in answers["plates a month"]]
    assert {year for _, year, _ in months} == {2026}
