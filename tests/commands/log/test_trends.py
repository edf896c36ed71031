"""`darkroom log trends`: what is told of drying and stars, and the plots."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.database import NAME
from darkroom.log.catalogue.query import Query
from darkroom.log.trends.facts import trend_rows
from darkroom.log.trends.trends import trends
from tests.kit import season
from tests.kit.log_commands import Capture, said


@pytest.fixture
def plates(home: Path) -> list[Path]:
    """Return the journals of a season of 120 plates."""
    return season.write(home, 120, seed=5, days=20)


def test_plots_are_drawn_with_their_words(
    capsys: Capture, plates: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """With --plot each trend is drawn, as wide as the terminal, with its title and what is said of it."""
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("LINES", "24")
    status, out, _ = said(capsys, "trends", "--process", "Clear-glass", "--plot")
    rows = out.splitlines()
    assert status == 0 and "\x1b" not in out
    assert "develop over the temperature of the developer, Clear-glass ambrotype" in rows
    assert "the process" in out and "developer, °C" in out and "time, min:s" in out
    drawn = [row for row in rows if row.endswith("┐")]
    assert len(drawn) >= 5 and all(len(row) == 80 for row in drawn)
    assert "with an assumed temperature left out" in out


def test_the_json_tells_all_four(capsys: Capture, plates: list[Path]) -> None:
    """Every trend, the weak ones too, with what was looked at and what chance makes."""
    found = json.loads(said(capsys, "trends", "--json")[1])
    assert set(found) == {"over_temperature", "over_plates", "over_wet_time", "stars"}
    stars = found["stars"]
    assert stars["looked_at"] == len(stars["found"]) > 10
    assert {one["kind"] for one in stars["found"]} == {"number", "word"}
    assert all(0 < one["chance"] <= 1 and "coefficient" in one for one in stars["found"])


def test_a_stage_is_asked_for_alone(capsys: Capture, plates: list[Path]) -> None:
    """With --stage the stars are held against its time alone, and wet time is left out."""
    found = json.loads(said(capsys, "trends", "--stage", "develop", "--json")[1])
    assert found["over_wet_time"] == [] and found["over_plates"] == []
    assert {one["thing"] for one in found["stars"]["found"]} == {"develop: time"}


def test_filters_hold_for_every_trend(capsys: Capture, plates: list[Path]) -> None:
    """A filter on how a plate ended, which stages know too, narrows what is counted."""
    every = json.loads(said(capsys, "trends", "--json")[1])
    done = json.loads(said(capsys, "trends", "--state", "done", "--json")[1])
    none = said(capsys, "trends", "--state", "rack", "--json")
    assert done["stars"]["rated"] == every["stars"]["rated"] > 0
    assert sum(len(one["points"]) for one in done["over_temperature"]) < sum(
        len(one["points"]) for one in every["over_temperature"]
    )  # abandoned plates had a bath too
    assert none[0] == 1


def test_the_catalogue_tells_trends_of_what_answers(home: Path, plates: list[Path]) -> None:
    """Rows come of the plates asked for; the fixers' of all, since each plate wears them."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        some, every = trend_rows(catalogue, Query(process="Tintype")), trend_rows(catalogue, Query())
    assert 0 < len(some.plates) < len(every.plates) == 120
    assert some.fixed == every.fixed
    assert {process for process, _, _ in some.stages.times} == {"Tintype"}
    assert set(some.rooms) <= {plate.path for plate in some.plates}
    assert [plate.path for plate in every.plates] == [str(path) for path in plates]
    read = {point[3] for one in trends(every).over_temperature for point in one.points}
    assert 0 < len(read) < 120  # the rest were assumed


def test_a_damaged_catalogue_is_filled_anew_for_trends(home: Path, plates: list[Path]) -> None:
    """A catalogue overwritten while it is open loses nothing: the journals tell the same trends again."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        before = trends(trend_rows(catalogue, Query()))
    with Catalogue(home) as catalogue:
        kept = home / NAME
        kept.write_bytes(b"\xa5" * kept.stat().st_size)
        assert trends(trend_rows(catalogue, Query())) == before
