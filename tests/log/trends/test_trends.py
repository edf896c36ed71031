"""`darkroom log compare` and `trends`."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy
import pytest

from darkroom.bench import events as ev
from darkroom.log.journal import frame
from darkroom.log.journal.plate_lines import READER
from darkroom.log.store import paths
from darkroom.log.trends.facts import PlateFacts, Rows
from darkroom.log.trends.fixers import FixFacts
from darkroom.log.trends.trend_text import fixer_name, over_plates
from darkroom.log.trends.trends import OverPlates, trends
from darkroom.process.text.durations import show_duration
from tests.kit import season
from tests.kit.log_commands import Capture, journal, last, run_log


def test_compare_shows_only_what_differs_biggest_first(
    home: Path, capsys: Capture, plates: list[Path]
) -> None:
    """A copy with the development four times as long differs in that, and in nothing else."""
    path = next(path for path in plates if last(journal(path), "plate_ended")["how"] == "done")  # type: ignore[index]
    events = [READER.decode(line) for line in path.read_bytes().splitlines()]
    import msgspec

    start = events[0]
    assert isinstance(start, ev.PlateStarted)
    copy = paths.plate_path(home, "20260601-080000-copied", "2026-06-01")
    copy.parent.mkdir(parents=True)
    made: list[Any] = []
    later = 0.0
    for event in events:
        up = None if event.up is None else event.up + later
        if isinstance(event, ev.PlateStarted):
            changed = msgspec.structs.replace(event, plate=copy.stem, number=900, subject="another")
        elif isinstance(event, ev.StageEnded) and event.stage == "develop":
            later = 3 * event.seconds
            changed = msgspec.structs.replace(event, up=event.up + later, seconds=4 * event.seconds)  # type: ignore[operator]
        else:
            changed = msgspec.structs.replace(event, up=up)
        made.append(changed)
    copy.write_bytes(b"".join(map(frame.encode, made)))
    status, out, _ = run_log(capsys, "compare", path.stem, "900", "--json")
    differing = json.loads(out)["differences"]
    assert status == 0
    assert [difference["what"] for difference in differing] == ["develop: took", "subject"]
    assert differing[0]["weight"] == pytest.approx(2.0, abs=0.01)  # four times is doubled twice
    assert differing[0]["second"] == pytest.approx(4 * differing[0]["first"], rel=0.01)
    text = run_log(capsys, "compare", path.stem, "900")[1].splitlines()
    assert text[1].startswith("develop: took")
    assert run_log(capsys, "compare", path.stem, path.stem) == (0, "", "no difference\n")


def test_trends_against_a_reference_library(capsys: Capture, plates: list[Path]) -> None:
    """Slopes are those of numpy's least squares over what the journals themselves say."""
    answer = json.loads(run_log(capsys, "trends", "--json")[1])
    for trend in answer["over_temperature"]:
        points = trend["points"]
        if trend["coefficient"] is None:
            continue
        slope = numpy.polyfit([p[0] for p in points], numpy.log([p[1] for p in points]), 1)[0]
        assert trend["coefficient"] == pytest.approx(float(numpy.exp(-10 * slope)), rel=1e-6)
    assert any(trend["coefficient"] for trend in answer["over_temperature"])
    for fixer in answer["over_plates"]:
        if fixer["slope"] is not None:
            points = fixer["points"]
            slope = numpy.polyfit([p[0] for p in points], [p[1] for p in points], 1)[0]
            assert fixer["slope"] == pytest.approx(float(slope), rel=1e-6)


def test_trends_leave_out_what_was_assumed_or_not_struck(capsys: Capture, plates: list[Path]) -> None:
    """A point is a stage that a strike ended at a temperature that was read; the rest is counted."""
    by_stage = json.loads(run_log(capsys, "trends", "--stage", "develop", "--json")[1])["over_temperature"]
    plates_read, assumed = set(), 0
    for path in plates:
        lines = journal(path)
        if any(line["event"] == "stage_ended" and line["stage"] == "develop" for line in lines):
            if lines[0]["temperatures"]["developer"][1] == "assumed":
                assumed += 1
            else:
                plates_read.add(path.stem)
    assert {point[3] for trend in by_stage for point in trend["points"]} == plates_read
    assert sum(trend["assumed"] for trend in by_stage) == assumed
    assert {trend["stage"] for trend in by_stage} == {"develop"}


def test_the_process_law_of_the_trend_is_the_file_s(capsys: Capture, plates: list[Path]) -> None:
    """A shipped process says that 10 °C colder takes 1.9 times as long: the trend holds plates against it."""
    answer = json.loads(
        run_log(capsys, "trends", "--process", "Clear-glass", "--stage", "develop", "--json")[1]
    )
    (trend,) = answer["over_temperature"]
    assert trend["law"] == pytest.approx(1.9, rel=1e-3)
    for celsius, _, law, _ in trend["points"]:
        assert law == pytest.approx(15 * 1.9 ** ((20 - celsius) / 10), abs=0.01)


def test_a_fixer_at_its_end_shows(home: Path, capsys: Capture) -> None:
    """Clearing times that double are said, with the plate count: a doubled time is common practice."""
    season.write(home, 80, seed=3, days=10)
    fixers = json.loads(run_log(capsys, "trends", "--json")[1])["over_plates"]
    assert {fixer["fixer"] for fixer in fixers} == {"F1", "F2"}
    assert all(fixer["slope"] > 0 for fixer in fixers)
    assert all([p[0] for p in fixer["points"]] == sorted({p[0] for p in fixer["points"]}) for fixer in fixers)
    text = run_log(capsys, "trends")[1]
    assert "clearing, fixer F1" in text
    first = min(fixers[0]["points"])[1]
    assert f"the first cleared after {show_duration(first)}, the last after" in text


def test_clearing_in_a_fixer_that_nobody_named_says_so() -> None:
    """The words begin with the first point that is drawn, whatever the median of the first three is."""
    points = tuple((n, seconds, f"p{n}") for n, seconds in enumerate((5.0, 2.0, 2.0, 9.0), 1))
    trend = OverPlates(fixer=None, points=points, slope=None, first=2.0, last=2.0, doubled=4)
    assert fixer_name(trend.fixer) == "fixer not named"
    assert over_plates(trend) == [
        "4 plates, the first cleared after 0:05, the last after 0:09",
        "from plate 4 on twice the median of the first three (0:02): this fixer may be at its end",
    ]


def test_a_fixer_wears_by_plates_that_are_not_asked_for(home: Path, capsys: Capture) -> None:
    """Under a filter a point keeps the count that it has among all plates of its fixer."""
    season.write(home, 80, seed=3, days=10)
    all_fixers = json.loads(run_log(capsys, "trends", "--json")[1])["over_plates"]
    tintype_fixers = json.loads(run_log(capsys, "trends", "--process", "tintype", "--json")[1])["over_plates"]
    points = {plate: count for fixer in all_fixers for count, _, plate in fixer["points"]}
    tintype_points = {plate: count for fixer in tintype_fixers for count, _, plate in fixer["points"]}
    assert 0 < len(tintype_points) < len(points)
    assert tintype_points.items() <= points.items()


@pytest.mark.parametrize(
    ("times", "doubled"),
    [
        ([30, 30, 30, 40, 50, 61, 62, 63, 64], 6),
        ([30, 30, 30, 40, 50, 61, 62, 63, 31, 30, 30], None),  # fresh again: a mark too late, not the fixer
        ([30, 30, 30, 40, 50, 55, 58, 59], None),
    ],
)
def test_twice_the_first_time_must_last(times: list[int], doubled: int | None) -> None:
    """A fixer is called spent from where its clearing times stay doubled to the last plate."""
    fixed = [FixFacts(str(n), str(n), "fix", "A", float(time)) for n, time in enumerate(times, 1)]
    (fixer,) = trends(
        Rows(plates=[PlateFacts(fix.path, fix.plate) for fix in fixed], fixed=fixed)
    ).over_plates
    assert fixer.doubled == doubled


def test_a_fixer_with_one_plate_has_no_slope() -> None:
    """It cleared that plate five times: nothing is said of how it wears."""
    fixed = [FixFacts("p", "p", f"fix {n}", "A", 30.0 + n) for n in range(5)]
    (fixer,) = trends(Rows(plates=[PlateFacts("p", "p")], fixed=fixed)).over_plates
    assert [count for count, *_ in fixer.points] == [1] * 5
    assert fixer.slope is None


def test_trends_of_nothing_are_the_answer_no(home: Path, capsys: Capture) -> None:
    """An empty log has no trends, and the exit status is 1."""
    assert run_log(capsys, "trends")[0] == 1
