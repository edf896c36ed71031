"""Wet time against faults of drying: which plates count, which faults, and what comes out."""

from __future__ import annotations

import json
from pathlib import Path

import numpy
import pytest

from darkroom.log.trends.drying import OverWetTime, is_drying, over_wet_time
from tests.kit import season
from tests.kit.log_commands import Capture, journal, run_log
from tests.kit.trends import plate, rows


def by(trends: tuple[OverWetTime, ...], kind: str) -> OverWetTime:
    """Return the trend by share or by seconds."""
    (trend,) = [trend for trend in trends if trend.by == kind]
    return trend


@pytest.mark.parametrize(
    "name",
    [
        "dry",
        "drying marks",
        "Dried edge",
        "dry streak at the top",
        "oyster stains",
        "Oyster-shell markings",
        "plate dried in the holder",
        "iridescent veil",
    ],
)
def test_faults_of_drying_are_known_by_their_words(name: str) -> None:
    """The trade's own (manuals: oyster shells, a dry upper band, a dried film's sheen), and any "dry"."""
    assert is_drying(name)


@pytest.mark.parametrize(
    "name",
    [
        "fog",
        "comets",
        "veil",
        "laundry mark",
        "hydrometer wrong",
        "foundry dust",
        "crystals on the dry plate",
        "varnish not dried",
        "plate not dry before coating",
        "damp glass, dried badly",
        "streaks of developer",
    ],
)
def test_faults_of_other_causes_are_not(name: str) -> None:
    """Fog, words that only contain those letters, salts and varnish are no faults of drying."""
    assert not is_drying(name)


def test_a_worked_example() -> None:
    """Of twenty plates, half wet for 100 s of 400 s and one of them dry, half for 300 s and six dry."""
    plates = [plate(f"a{n}", stars=4, wet_used=100.0, wet_about=400.0) for n in range(10)]
    plates += [plate(f"b{n}", stars=3, wet_used=300.0, wet_about=400.0) for n in range(10)]
    faults = {"a0": ["drying marks"], "a1": ["fog"]} | {f"b{n}": ["fog", "oyster stains"] for n in range(6)}
    trends = over_wet_time(rows(plates, faults=faults))
    share, seconds = by(trends, "share"), by(trends, "seconds")
    assert [(step.plates, step.dried) for step in share.steps] == [(10, 1), (10, 6)]
    assert [(step.plates, step.dried) for step in seconds.steps] == [(10, 1), (10, 6)]
    assert all(step.least <= 0.25 < step.most for step in share.steps[:1])
    assert all(step.least <= 0.75 < step.most for step in share.steps[1:])
    assert (share.median_dried, share.median_clean) == (0.75, 0.25)
    assert share.dried == 7 and share.plates == 20
    dried = [
        plate_facts.path == "a0" or plate_facts.path in ("b0", "b1", "b2", "b3", "b4", "b5")
        for plate_facts in plates
    ]
    used = [plate_facts.wet_used for plate_facts in plates]
    # Two values each: their ranks are their order, so Pearson's coefficient is the same.
    assert share.coefficient == pytest.approx(numpy.corrcoef(used, dried)[0, 1])  # type: ignore[arg-type]
    assert share.coefficient is not None and share.coefficient > share.chance


def test_a_plate_that_was_not_judged_is_not_faultless() -> None:
    """Without stars and without a fault a plate does not count; a fault alone is a judgement."""
    plates = [plate(f"{n}", stars=3, wet_used=60.0, wet_about=600.0) for n in range(5)]
    plates += [plate(f"u{n}", wet_used=60.0, wet_about=600.0) for n in range(7)]
    plates.append(plate("f", wet_used=60.0, wet_about=600.0))
    share = by(over_wet_time(rows(plates, faults={"f": ["drying marks"]})), "share")
    assert (share.plates, share.dried, share.unjudged) == (6, 1, 7)


def test_assumed_air_stays_out_of_the_share_not_of_the_minutes() -> None:
    """A plate with assumed air counts for the minutes but not for the share of the wet window."""
    plates = [plate(f"{n}", stars=3, wet_used=60.0, wet_about=600.0) for n in range(6)]
    plates.append(plate("h", stars=3, wet_used=60.0, wet_about=600.0, humidity_from="assumed"))
    plates.append(plate("r", stars=3, wet_used=60.0, wet_about=600.0))
    trends = over_wet_time(rows(plates, rooms={f"{n}": 20.0 for n in range(6)} | {"h": 20.0}))
    assert (by(trends, "share").plates, by(trends, "share").assumed) == (6, 2)
    assert (by(trends, "seconds").plates, by(trends, "seconds").assumed) == (8, 0)


def test_what_no_strike_saw_stays_out() -> None:
    """A wet time that began at a called or told end, or went over a new start of the machine, is left out."""
    plates = [plate(f"{n}", stars=3, wet_used=60.0, wet_about=600.0) for n in range(8)]
    plates.append(plate("e", stars=3, wet_used=60.0, wet_about=600.0, estimated=1))
    seconds = by(over_wet_time(rows(plates, unseen={"0"})), "seconds")
    assert (seconds.plates, seconds.unseen, seconds.estimated) == (7, 1, 1)


def test_few_at_the_ends_join_the_step_beside_them() -> None:
    """A single plate wet for an hour makes no step of its own; all plates are still counted."""
    plates = [plate(f"{n}", stars=3, wet_used=60.0 + n, wet_about=600.0) for n in range(100)]
    plates.append(plate("late", stars=1, wet_used=3600.0, wet_about=600.0))
    seconds = by(over_wet_time(rows(plates)), "seconds")
    assert sum(step.plates for step in seconds.steps) == 101
    assert all(step.plates >= 5 for step in seconds.steps) and len(seconds.steps) <= 11
    assert seconds.steps[-1].most >= 3600
    assert all(a.most <= b.least for a, b in zip(seconds.steps, seconds.steps[1:], strict=False))


def test_four_plates_tell_nothing() -> None:
    """Fewer than five judged plates have no trend."""
    assert over_wet_time(rows([plate(f"{n}", stars=3, wet_used=9.0, wet_about=90.0) for n in range(4)])) == ()


def test_a_season_is_counted_as_its_journals_say(home: Path, capsys: Capture) -> None:
    """By seconds, each plate counts as its own lines say: from the end of the bath to the developer."""
    used: list[float] = []
    dried: list[float] = []
    unjudged = 0
    for path in season.write(home, 240, seed=8, days=30):
        lines = journal(path)
        ends = {line["stage"]: line["up"] for line in lines if line["event"] == "stage_ended"}
        begins = {line["stage"]: line["up"] for line in lines if line["event"] == "stage_started"}
        if "develop" not in begins:
            continue
        faults = [line["name"] for line in lines if line["event"] == "fault"]
        if not faults and not any(line["event"] == "rating" for line in lines):
            unjudged += 1
            continue
        used.append(begins["develop"] - ends["sensitise"])
        dried.append(float(any(name in ("drying marks", "oyster stains") for name in faults)))
    trends = json.loads(run_log(capsys, "trends", "--json")[1])["over_wet_time"]
    (seconds,) = [trend for trend in trends if trend["by"] == "seconds"]
    assert (seconds["plates"], seconds["dried"], seconds["unjudged"]) == (len(used), sum(dried), unjudged)
    for step in seconds["steps"]:
        inside = [d for u, d in zip(used, dried, strict=True) if step["least"] <= u < step["most"]]
        assert (step["plates"], step["dried"]) == (len(inside), sum(inside))
    without = [u for u, d in zip(used, dried, strict=True) if not d]
    assert seconds["median_clean"] == pytest.approx(float(numpy.median(without)), abs=2e-3)
    assert "faults of drying over the wet time used" in run_log(capsys, "trends")[1]
