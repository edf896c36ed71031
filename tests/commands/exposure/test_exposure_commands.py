"""`darkroom exposure` without a plate: meter, test plates, stops, bellows."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from darkroom.cli import main
from tests.kit import command_line
from tests.kit.command_line import Capture
from tests.kit.exports import shelve, worked


def run(capsys: Capture, words: str) -> tuple[int, str, str]:
    """Return (exit status, standard output, standard error) of a command under `darkroom exposure`."""
    return command_line.run(capsys, "exposure", *words.split())


def data(capsys: Capture, words: str) -> Any:
    """Return what a command prints with --json."""
    return command_line.as_json(capsys, "exposure", *words.split())


def test_from_meter_as_json(capsys: Capture) -> None:
    """The time, and every factor in stops and as a multiplier."""
    found = data(capsys, "from-meter --speed 0.5 --f 5.6 --ev 10 --bellows 2.25")
    assert pytest.approx(13.78125) == found["seconds"]
    assert [factor["what"] for factor in found["factors"]] == ["stop", "ev", "speed", "bellows"]
    assert {"what", "stops", "times"} == found["factors"][0].keys()
    assert pytest.approx(2.25) == found["factors"][-1]["times"]


@pytest.mark.parametrize("light", ["--ev 10", "--lux 2560", "--foot-candles 237.83", "--lux 2560lx"])
def test_each_kind_of_reading(capsys: Capture, light: str) -> None:
    """EV 10, 2560 lux and 237.8 foot-candles are one light."""
    assert (
        pytest.approx(3.0625, rel=1e-4) == data(capsys, f"from-meter --speed 1 --f f/5.6 {light}")["seconds"]
    )


def test_from_meter_as_text(capsys: Capture) -> None:
    """A photographer reads the time first, then each factor and their sum."""
    status, out, _ = run(capsys, "from-meter --speed 1 --f 5.6 --ev 10 --bellows 1.4")
    lines = out.splitlines()
    assert (status, lines[0]) == (0, "4.29 s")
    assert lines[-2].split() == ["bellows", "light", "lost", "+0.49", "stops", "×1.4"]
    assert lines[-1].split() == ["in", "all", "+2.10", "stops", "×4.29"]


def test_a_speed_that_is_left_out_is_assumed_and_said(capsys: Capture) -> None:
    """Without --speed the time is that of ISO 1, and it is said that this is common practice."""
    status, out, err = run(capsys, "from-meter --f 5.6 --ev 10")
    assert (status, out.splitlines()[0], err) == (0, "3.06 s", "")
    assert "speed: ISO 1 assumed, common practice, no source" in out
    assert max(map(len, out.splitlines())) <= 80
    assert "assumed" not in run(capsys, "from-meter --speed 1 --f 5.6 --ev 10")[1]
    status, out, err = run(capsys, "from-meter --f 5.6 --ev 10 --json")
    assert json.loads(out)["seconds"] == pytest.approx(3.0625, rel=1e-4)
    assert "ISO 1 assumed" in err


def test_a_long_exposure_says_what_is_not_known(capsys: Capture) -> None:
    """From a minute on it is said by which law it was reckoned, and what is not modelled."""
    assert "not modelled" in run(capsys, "from-meter --speed 1 --f 8 --ev 2")[1]
    assert "not modelled" not in run(capsys, "from-meter --speed 1 --f 8 --ev 8")[1]


def test_light_lost_may_be_typed_in_stops(capsys: Capture) -> None:
    """Of bellows a bare number is a factor; of a filter it must say what it is."""
    in_stops = main(["exposure", "from-meter", "--speed", "1", "--f", "8", "--ev", "8", "--filter", "1 stop"])
    assert in_stops == 0
    assert "×2" in capsys.readouterr().out
    assert pytest.approx(50.0) == data(capsys, "from-meter --speed 1 --f 8 --ev 8 --filter 2x")["seconds"]


def test_steps(capsys: Capture) -> None:
    """Openings and totals, and what to type at the bench."""
    found = data(capsys, "steps --first 2s --factor 2 --count 5")
    assert found == {"pulls": [2, 2, 4, 8, 16], "totals": [2, 4, 8, 16, 32]}
    assert "as an exposure at the bench: 2s,2s,4s,8s,16s" in run(capsys, "steps --first 2s")[1]


def test_steps_that_no_hand_or_wet_plate_can_do_say_so(home: Path, capsys: Capture) -> None:
    """Openings below a hand's, and totals that are long or outlast the latest plate's wet time, are said."""
    short = run(capsys, "steps --first 0.5s --factor 2 --count 3")[1]
    assert "the shortest opening, 0.5 s, is too short by hand: stop down 2 stops, or take a filter" in short
    assert "too short" not in run(capsys, "steps --first 1s")[1]
    long = run(capsys, "steps --first 60s --factor 2 --count 5")[1]
    assert "it dries meanwhile" in long and "stays wet" not in long
    shelve(home, worked("20261001-090000-aaaaaa", 12))
    long = run(capsys, "steps --first 120s --factor 2 --count 5")[1]
    assert "32:00 in all: a plate stays wet about " in long
    assert "as an exposure at the bench: 120s,120s" in long.splitlines()[-1]


def test_what_steps_prints_can_be_typed_at_the_bench(capsys: Capture) -> None:
    """The line for the bench is read as the same openings."""
    from darkroom.session.plate_form import exposure_plan

    out = run(capsys, "steps --first 3s --factor 1.4 --count 4")[1]
    plan = exposure_plan(out.rsplit(": ", 1)[1].strip())
    assert plan is not None
    assert pytest.approx([3.0, 1.2, 1.68, 2.352], rel=1e-3) == plan.steps


def test_stop(capsys: Capture) -> None:
    """A stop of 1½ inches in a lens of 12 is f/8, Uniform System 4; a front group widens it."""
    assert data(capsys, "stop --focal 12in --diameter 1.5in") == {"f_number": 8.0, "us_number": 4.0}
    assert (
        pytest.approx(8 / 1.1)
        == data(capsys, "stop --focal 304.8mm --diameter 1.5in --front 1.1")["f_number"]
    )
    assert run(capsys, "stop --focal 12in --diameter 1.5in")[1] == "f/8\nUniform System 4\n"


def test_bellows(capsys: Capture) -> None:
    """By extension or by magnification, with where the lens is sharp."""
    assert {"factor": 2.25, "stops": pytest.approx(1.17, abs=1e-3)} == data(
        capsys, "bellows --focal 300mm --extension 450mm"
    )
    for half in ("1/2", "1:2", "0.5"):
        assert pytest.approx(2.25) == data(capsys, f"bellows --magnification {half}")["factor"]
    assert run(capsys, "bellows --focal 300mm --extension 45cm")[1].splitlines() == [
        "×2.25, +1.17 stops",
        "magnification 0.5",
        "sharp 900 mm before the lens",
    ]
    assert "drawn out to 450 mm" in run(capsys, "bellows --focal 300mm --magnification 0.5")[1]
    assert "sharp at infinity" in run(capsys, "bellows --focal 300mm --extension 300mm")[1]


@pytest.mark.parametrize(
    ("words", "phrase"),
    [
        ("from-meter --speed 1 --f 0 --ev 10", "--f: '0' is out of range"),
        ("from-meter --speed 0 --f 8 --ev 10", "--speed: '0' is out of range"),
        ("from-meter --speed 1 --f 8", "one of --ev, --lux, --foot-candles is needed"),
        ("from-meter --speed 1 --f 8 --ev 10 --lux 2560", "--ev and --lux are given: one of them is enough"),
        ("from-meter --speed 1 --f 8 --ev nan", "--ev: 'nan"),
        ("from-meter --speed 1 --f 8 --lux 0", "--lux: '0 lux' is out of range"),
        ("from-meter --speed 1 --f 8 --ev 10lux", "--ev: '10lux' is a reading in lux"),
        ("from-meter --speed 1 --f 8 --ev 10 --bellows 0.5", "--bellows: '0.5' is out of range"),
        ("from-meter --speed 1 --f 8 --ev 10 --filter 2", "write 2x for a factor, or 1 stop"),
        ("from-meter --speed 1 --ev 10", "Missing option '--f'"),
        ("steps --first 2 --factor 2", "--first: '2' has no unit"),
        ("steps --first 2s --factor 1", "--factor: '1' is out of range"),
        ("steps --first 2s --count 5.5", "--count: '5.5' is no whole number"),
        ("steps --first -2s", "is negative"),
        ("stop --focal 0mm --diameter 20mm", "--focal: '0mm'"),
        ("stop --focal -300mm --diameter 20mm", "is negative"),
        ("stop --focal 210mm --diameter 26m", "--diameter: f/0.00808 is no f-number of a lens"),
        ('stop --focal 210mm --diameter 26"', "--diameter: f/0.318 is no f-number of a lens"),
        ("stop --focal 210mm --diameter 0.26mm", "expected f/0.5 to f/512; look at the unit"),
        ("stop --focal 300mm", "Missing option '--diameter'"),
        ("bellows --focal 300mm --extension 20cm", "shorter than the focal length of 300 mm"),
        ("bellows --magnification 0", "--magnification: '0' is out of range"),
        ("bellows --magnification half", "expected a size such as 1/2, or 1 for life size"),
        ("bellows --focal 300mm", "either --focal and --extension are needed, or --magnification"),
        ("bellows --focal 300mm --extension 400mm --magnification 1", "either --focal and --extension"),
        ("bellow", "did you mean 'bellows'"),
    ],
)
def test_wrong_use_is_one_clear_line(capsys: Capture, words: str, phrase: str) -> None:
    """Exit status 2, nothing on standard output, the option and what was expected on standard error."""
    status, out, err = run(capsys, words)
    assert (status, out) == (2, "")
    assert phrase in err
    assert "Traceback" not in err
