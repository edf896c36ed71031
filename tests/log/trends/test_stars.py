"""Stars against anything: known laws, the limit of chance, and assumed values left out."""

from __future__ import annotations

import json
import random
from pathlib import Path

import numpy
import pytest

from darkroom.log.trends.fixers import FixFacts
from darkroom.log.trends.stars import FEWEST, OverNumber, OverWord, Stars, stars_against
from darkroom.log.trends.trends import trends
from tests.kit import season
from tests.kit.log_commands import Capture, journal, run_log
from tests.kit.ranks import by_numpy
from tests.kit.trends import plate, rows, stage


def trend_of(stars: Stars, thing: str) -> OverNumber | OverWord:
    """Return the trend of a thing."""
    (trend,) = [trend for trend in stars.found if trend.thing == thing]
    return trend


def test_a_known_law_comes_back() -> None:
    """Where every longer wet time costs stars, the coefficient is near -1, and it comes first."""
    rng = random.Random(3)
    plates = [
        plate(f"{n}", stars=5 - n // 6, wet_used=30.0 + 10 * n, exposed=rng.choice((2.0, 4.0, 8.0)))
        for n in range(30)
    ]
    stars = stars_against(rows(plates))
    strongest = stars.found[0]
    assert isinstance(strongest, OverNumber) and strongest.thing == "wet time used" and strongest.unit == "s"
    by_star = numpy.corrcoef(by_numpy([float(p.stars or 0) for p in plates]), range(30))[0, 1]
    assert strongest.coefficient == pytest.approx(by_star) and strongest.coefficient < -0.95
    assert [(step.stars, step.plates) for step in strongest.by_star] == [(n, 6) for n in (1, 2, 3, 4, 5)]
    for step in strongest.by_star:
        values = [p.wet_used for p in plates if p.stars == step.stars]
        assert (step.low, step.median, step.high) == pytest.approx(numpy.quantile(values, [0.25, 0.5, 0.75]))
    assert strongest.strength > 1
    assert sum(plates for _, _, plates in strongest.spread) == 30


def test_every_number_the_catalogue_knows_is_looked_at() -> None:
    """Exposure, air, wet time and its share, stage times, temperatures, clearing, the fixer's plates."""
    rng = random.Random(4)
    plates = [
        plate(
            f"{n}",
            stars=rng.randint(1, 5),
            exposed=rng.random() + 1,
            humidity=40.0 + n,
            fixer="F",
            wet_used=60.0 + n,
            wet_about=600.0 + rng.random(),
            lens=rng.choice("ab"),
        )
        for n in range(40)
    ]
    stages = []
    for p in plates:
        stages.append(
            stage(p.path, 180 + rng.random(), p.stars, stage="sensitise", source="bath", celsius=rng.random())
        )
        stages.append(stage(p.path, 15 + rng.random(), p.stars, celsius=rng.random()))
        stages.append(
            stage(
                p.path,
                99,
                p.stars,
                stage="fix",
                ends="cleared",
                cleared=30 + rng.random(),
                source="fixer",
                celsius=rng.random(),
            )
        )
    fixed = [FixFacts(p.path, p.path, "fix", "F", 30.0) for p in plates]
    stars = stars_against(rows(plates, stages, fixed=fixed, rooms={p.path: rng.random() for p in plates}))
    assert {trend.thing for trend in stars.found} == {
        "exposure",
        "humidity",
        "temperature of the room",
        "wet time used",
        "share of the wet window used",
        "sensitise: time",
        "develop: time",
        "fix: time",
        "temperature of the bath",
        "temperature of the developer",
        "temperature of the fixer",
        "plates its fixer had",
        "lens",
    }
    assert stars.looked_at == 13 and stars.rated == 40
    assert all(trend.chance > 0.4 for trend in stars.found)  # of 13 things more than of one (0.31)
    strengths = [trend.strength for trend in stars.found]
    assert strengths == sorted(strengths, reverse=True)


def test_processes_are_not_mixed() -> None:
    """Two processes with other times and other stars, unrelated within each, give no trend between them."""
    rng = random.Random(5)
    plates, stages = [], []
    for process, seconds, middle in (("Short", 15.0, 2), ("Long", 60.0, 4)):
        for n in range(30):
            star = middle + rng.choice((-1, 0, 1))
            plates.append(plate(f"{process}{n}", process=process, stars=star))
            stages.append(stage(plates[-1].path, seconds + rng.random(), star, process=process))
    stars = stars_against(rows(plates, stages))
    times = [trend for trend in stars.found if trend.thing == "develop: time"]
    assert {getattr(trend, "process", "") for trend in times} == {"Short", "Long"}
    assert all(trend.strength < 1 for trend in times)
    assert stars.found[0].thing == "process" and stars.found[0].strength > 1


def test_words_are_held_by_their_means() -> None:
    """The better lens comes first with its mean and its plates; a lens of four plates is left out."""
    ratings = (
        [("Brass  lens", 5), ("brass lens", 4)] * 5
        + [("Old lens", 2), ("Old lens", 1)] * 5
        + [("New", 5)] * 4
    )
    plates = [plate(f"{n}", stars=stars, lens=lens) for n, (lens, stars) in enumerate(ratings)]
    lens = trend_of(stars_against(rows(plates)), "lens")
    assert isinstance(lens, OverWord)
    assert [(word.word, word.plates, word.mean) for word in lens.words] == [
        ("Brass lens", 10, 4.5),
        ("Old lens", 10, 1.5),
    ]
    assert lens.words[0].counts == (0, 0, 0, 0, 5, 5) and lens.words[0].median == 4.5
    assert lens.plates == 20 and lens.strength > 1


def test_eleven_plates_are_too_few() -> None:
    """With fewer plates than the limit there is no trend, however well it fits."""
    for number, expected in ((FEWEST - 1, 0), (FEWEST, 1)):
        plates = [plate(f"{n}", stars=1 + n % 5, wet_used=10.0 + n % 5) for n in range(number)]
        assert len([t for t in stars_against(rows(plates)).found if t.thing == "wet time used"]) == expected


def test_what_never_changes_is_not_looked_at() -> None:
    """A value that is the same for all plates gives no trend and is not counted as looked at."""
    plates = [plate(f"{n}", stars=1 + n % 5, exposed=4.0, lens="one") for n in range(40)]
    assert stars_against(rows(plates)).looked_at == 0


def test_assumed_values_stay_out_and_are_counted() -> None:
    """A temperature nobody read, assumed humidity and the share worked out from them do not count."""
    plates, stages = [], []
    for n in range(30):
        was_read = n < 20
        plates.append(
            plate(
                f"{n}",
                stars=1 + n % 5,
                humidity=40.0 + n,
                wet_used=60.0 + n,
                wet_about=600.0,
                humidity_from="hand" if was_read else "assumed",
            )
        )
        stages.append(
            stage(f"{n}", 15.0 + n, 1 + n % 5, celsius=10.0 + n, origin="hand" if was_read else "assumed")
        )
    stars = stars_against(rows(plates, stages))
    for thing in ("humidity", "temperature of the developer", "share of the wet window used"):
        trend = trend_of(stars, thing)
        assert isinstance(trend, OverNumber) and (trend.plates, trend.assumed) == (20, 10)
    for thing in ("wet time used", "develop: time"):
        trend = trend_of(stars, thing)
        assert isinstance(trend, OverNumber) and (trend.plates, trend.assumed) == (30, 0)


def test_stages_that_no_strike_ended_stay_out() -> None:
    """What the clock called, what was told afterwards and what was skipped is no observation."""
    plates = [plate(f"{n}", stars=1 + n % 5) for n in range(40)]
    for how in ("zero", "told", "skipped"):
        stages = [stage(f"{n}", 15.0 + n, 1 + n % 5, how=how) for n in range(40)]
        assert stars_against(rows(plates, stages)).looked_at == 0


def test_many_values_are_gathered_for_a_picture() -> None:
    """A picture has a few hundred places at most, with every plate in one of them, near its own value."""
    rng = random.Random(6)
    plates = [plate(f"{n}", stars=rng.randint(1, 5), wet_used=60 + 100 * rng.random()) for n in range(3000)]
    trend = trend_of(stars_against(rows(plates)), "wet time used")
    assert isinstance(trend, OverNumber)
    assert len({value for value, _, _ in trend.spread}) <= 241
    assert sum(number for _, _, number in trend.spread) == 3000
    most = max(p.wet_used or 0 for p in plates)
    assert max(value for value, _, _ in trend.spread) == pytest.approx(most, abs=0.5)


def test_absurd_numbers_of_an_edited_journal_are_left_out() -> None:
    """A stage of 1e300 s and a bath of 9,000 °C are left out; the other values count."""
    plates = [plate(f"{n}", stars=1 + n % 5, exposed=2.0 + n) for n in range(30)]
    plates.append(plate("x", stars=5, exposed=1e300, wet_used=1e300, wet_about=1e-300))
    stages = [stage(f"{n}", 15.0 + n, 1 + n % 5) for n in range(30)]
    stages += [stage("x", 1e300, 5), stage("x", 15.0, 5, celsius=9000.0)]
    all_trends = trends(rows(plates, stages, fixed=[FixFacts("x", "x", "fix", None, 1e300)]))
    exposure = trend_of(all_trends.stars, "exposure")
    assert exposure.plates == 30
    assert max(point[1] for point in all_trends.over_temperature[0].points) < 50


def test_a_season_s_ranks_are_numpy_s_of_its_journals(home: Path, capsys: Capture) -> None:
    """The coefficient of stars and development, process by process, from the journals' lines alone."""
    by_process: dict[str, list[tuple[float, float]]] = {}
    for path in season.write(home, 240, seed=8, days=30):
        lines = journal(path)
        stars = [line["stars"] for line in lines if line["event"] == "rating"]
        took = [
            line["seconds"] for line in lines if line["event"] == "stage_ended" and line["stage"] == "develop"
        ]
        if stars and took:
            by_process.setdefault(lines[0]["process"]["name"], []).append((took[0], stars[-1]))
    answer = json.loads(run_log(capsys, "trends", "--json")[1])["stars"]
    times = [trend for trend in answer["found"] if trend["thing"] == "develop: time"]
    assert len(times) == len([points for points in by_process.values() if len(points) >= FEWEST]) > 2
    for trend in times:
        points = by_process[trend["process"]]
        assert trend["plates"] == len(points)
        expected = numpy.corrcoef(by_numpy([p[0] for p in points]), by_numpy([p[1] for p in points]))[0, 1]
        assert trend["coefficient"] == pytest.approx(expected, abs=1e-9)


def test_one_thing_can_be_asked_for(home: Path, capsys: Capture) -> None:
    """--stars-against shows only trends with that name; an unknown name exits with 1."""
    season.write(home, 240, seed=8, days=30)
    status, out, _ = run_log(capsys, "trends", "--stars-against", "Exposure")
    assert status == 0 and "clearing" not in out
    trend_lines = [line for line in out.splitlines() if line.startswith("  stars against")]
    assert trend_lines and all("stars against exposure" in line for line in trend_lines)
    assert "things looked at" in out and "no cause" in out
    status, _, err = run_log(capsys, "trends", "--stars-against", "moon")
    assert status == 1 and "moon" in err and "exposure, " in err and "wet time used" in err
    assert "did you mean 'exposure'" in run_log(capsys, "trends", "--stars-against", "exposuer")[2]


def test_too_few_rated_plates_are_said(home: Path, capsys: Capture) -> None:
    """With five plates nothing can be asked for, and how many are needed is told."""
    season.write(home, 5, seed=8, days=3)
    status, _, err = run_log(capsys, "trends", "--stars-against", "lens")
    assert status == 1 and "rated plate" in err and str(FEWEST) in err


def test_chance_is_called_chance(home: Path, capsys: Capture) -> None:
    """In a season whose stars depend on faults alone no trend is stronger than chance."""
    season.write(home, 240, seed=8, days=30)
    out = run_log(capsys, "trends")[1]
    assert "0 go with the stars more than chance" in out
    assert "no more than chance makes" in out
