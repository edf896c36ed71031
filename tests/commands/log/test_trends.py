"""`darkroom log trends`: what is told of drying and stars, and the plots."""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path

import pytest

from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.database import NAME
from darkroom.log.catalogue.query import Query
from darkroom.log.trends.reading import trend_rows
from darkroom.log.trends.trends import trends
from tests.kit import fault_season, season
from tests.kit.log_commands import Capture, run_log


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
    status, out, _ = run_log(capsys, "trends", "--process", "Clear-glass", "--plot")
    rows = out.splitlines()
    assert status == 0 and "\x1b" not in out
    assert "develop over the temperature of the developer, Clear-glass ambrotype" in rows
    assert "the process" in out and "developer, °C" in out and "time, min:s" in out
    drawn = [row for row in rows if row.endswith("┐")]
    assert len(drawn) >= 5 and all(len(row) == 80 for row in drawn)
    assert "with an assumed temperature left out" in out


def test_the_json_tells_every_kind(capsys: Capture, plates: list[Path]) -> None:
    """The JSON has every trend, weak ones too, with the number looked at and the limit of chance."""
    answer = json.loads(run_log(capsys, "trends", "--json")[1])
    kinds = {"over_temperature", "over_plates", "over_wet_time", "over_speed", "fault_shares", "stars"}
    assert set(answer) == kinds
    stars = answer["stars"]
    assert stars["looked_at"] == len(stars["found"]) > 10
    assert {trend["kind"] for trend in stars["found"]} == {"number", "word"}
    assert all(0 < trend["chance"] <= 1 and "coefficient" in trend for trend in stars["found"])


def test_a_stage_is_asked_for_alone(capsys: Capture, plates: list[Path]) -> None:
    """With --stage stars are compared with its time alone, and wet time is left out."""
    answer = json.loads(run_log(capsys, "trends", "--stage", "develop", "--json")[1])
    assert answer["over_wet_time"] == [] and answer["over_plates"] == [] and answer["fault_shares"] == []
    assert {trend["thing"] for trend in answer["stars"]["found"]} == {"develop: time"}


def test_filters_hold_for_every_trend(capsys: Capture, plates: list[Path]) -> None:
    """A filter on how a plate ended, which stages know too, narrows what is counted."""
    unfiltered = json.loads(run_log(capsys, "trends", "--json")[1])
    done = json.loads(run_log(capsys, "trends", "--state", "done", "--json")[1])
    none = run_log(capsys, "trends", "--state", "rack", "--json")
    assert done["stars"]["rated"] == unfiltered["stars"]["rated"] > 0
    assert sum(len(trend["points"]) for trend in done["over_temperature"]) < sum(
        len(trend["points"]) for trend in unfiltered["over_temperature"]
    )  # abandoned plates had a bath too
    assert none[0] == 1


def test_the_catalogue_tells_trends_of_what_answers(home: Path, plates: list[Path]) -> None:
    """Rows are of the plates of the query, those of fixers of all plates, since each wears its fixer."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        tintype_rows, all_rows = (
            trend_rows(catalogue, Query(process="Tintype")),
            trend_rows(catalogue, Query()),
        )
    assert 0 < len(tintype_rows.plates) < len(all_rows.plates) == 120
    fixed_of_tintypes, fixed_of_all = (
        [(fix.plate, fix.stage, fix.fixer, fix.cleared, fix.bottle) for fix in rows.fixed]
        for rows in (tintype_rows, all_rows)
    )
    assert fixed_of_tintypes == fixed_of_all
    assert {process for process, _, _ in tintype_rows.stages.times} == {"Tintype"}
    assert set(tintype_rows.rooms) <= {plate.path for plate in tintype_rows.plates}
    assert [plate.plate for plate in all_rows.plates] == [path.stem for path in plates]
    plates_read = {point[3] for trend in trends(all_rows).over_temperature for point in trend.points}
    assert 0 < len(plates_read) < 120  # the rest were assumed


def test_a_damaged_catalogue_is_filled_anew_for_trends(home: Path, plates: list[Path]) -> None:
    """A catalogue overwritten while it is open loses nothing: the journals tell the same trends again."""
    with Catalogue(home) as catalogue:
        catalogue.check()
        before = trends(trend_rows(catalogue, Query()))
    with Catalogue(home) as catalogue:
        kept = home / NAME
        kept.write_bytes(b"\xa5" * kept.stat().st_size)
        assert trends(trend_rows(catalogue, Query())) == before


def test_the_shares_of_faults_are_listed_with_what_changed(
    home: Path, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each step with its plates, then how many were judged, and each change with the counts around it."""
    last_day = datetime(2026, 5, 20, 10).astimezone()
    for number in range(1, fault_season.PLATES + 1):
        fault_season.shelve_plate(home, number, last_day, {})
    status, out, err = run_log(capsys, "trends")
    lines = [" ".join(line.split()) for line in out.splitlines()]
    assert (status, err) == (0, "")
    assert "plates with general fog, by day" in lines
    assert f"2026-05-19 4 plates {'█' * 24} 4 with it, 100 % (likely 51 to 100 %)" in lines
    assert any(line.startswith("39 judged plates, 4 with it (10 %); 1 not judged left out") for line in lines)
    around = "0 of the last 15 plates before it, 4 of 10 from it on"
    assert f"a 2026-05-19, plate 31: developer D-4: {around}" in lines
    (share,) = json.loads(run_log(capsys, "trends", "--json")[1])["fault_shares"]
    assert (share["fault"], share["by"], share["plates"], share["having"]) == ("general fog", "day", 39, 4)
    assert share["changes"][0]["what"] == ["developer D-4"]


def test_a_wrong_file_of_faults_is_told_beside_the_trends(
    home: Path, capsys: Capture, plates: list[Path]
) -> None:
    """The trends are there all the same."""
    wrong = home / "profiles" / "faults" / "mine.yaml"
    wrong.parent.mkdir(parents=True)
    wrong.write_text("faults: nothing\n")
    status, out, err = run_log(capsys, "trends")
    assert status == 0 and "plates with" in out and f"{wrong}:1: faults: expected a mapping" in err
