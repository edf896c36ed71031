"""`darkroom exposure from-sun` as it is used: what it prints where, and with which exit status."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from darkroom.process.scene import RECEIVERS, SKIES, Scene
from tests.kit import command_line
from tests.kit.command_line import Capture
from tests.kit.exports import shelve, worked

MIDSUMMER = ("--at", "2026-06-21T12:00+01:00")
LACOCK = ("--latitude", "51.4", "--longitude", "-2.1")
TROMSO = ("--latitude", "69.65", "--longitude", "18.96")


def run(capsys: Capture, *words: str) -> tuple[int, str, str]:
    """Return (exit status, standard output, standard error) of the command."""
    return command_line.run(capsys, "exposure", "from-sun", *words)


def as_json(capsys: Capture, *words: str) -> Any:
    """Return what the command prints as JSON."""
    return command_line.as_json(capsys, "exposure", "from-sun", *words)


def test_json_has_the_members_of_the_contract(capsys: Capture) -> None:
    """JSON tells altitude, azimuth, receiver, sky, stops, seconds, rise and set, the instants as asked."""
    found = as_json(capsys, *LACOCK, *MIDSUMMER, "--speed", "1", "--f", "5.6", "--receiver", "flat")
    assert list(found) == ["altitude", "azimuth", "receiver", "sky", "stops", "seconds", "rise", "set"]
    assert found["altitude"] == pytest.approx(58.95, abs=0.02)
    assert found["azimuth"] == pytest.approx(147.57, abs=0.1)
    assert (found["receiver"], found["sky"]) == ("flat", "clear")
    assert found["stops"] == pytest.approx(0.019, abs=0.002)
    # 100 · 5.6² / (1 · 2^15), a fiftieth of a stop more
    assert found["seconds"] == pytest.approx(100 * 5.6**2 / 2**15 * 2**0.019, rel=0.003)
    assert str(found["rise"]).startswith("2026-06-21T04:51")
    assert (
        datetime.fromisoformat(str(found["set"])).utcoffset()
        == datetime.fromisoformat(MIDSUMMER[1]).utcoffset()
    )


def test_a_photographer_reads_it(capsys: Capture) -> None:
    """The text tells where the sun stands, its day, its light with its doubt, the best hours and the time."""
    status, out, err = run(capsys, *LACOCK, *MIDSUMMER, "--speed", "1", "--f", "5.6")
    assert (status, err) == (0, "")
    assert out.splitlines() == [
        "latitude 51.4, longitude -2.1, 2026-06-21 12:00 +01:00",
        "  sun         58.9° high, in SSE (azimuth 147.6°)",
        "  day         rises 04:51, highest at 13:10 (62.0°), sets 21:28",
        "  faces it    the whole scene",
        "  sky         clear, the shadows sharp",
        "  light       EV 14.2 for the plate, 0.5 stop in doubt",
        "              0.81 stops less than flat ground has with the sun at 60°",
        "  best hours  09:38 to 16:42, within half a stop of EV 14.2",
        "  time        0.168 s for speed 1 at f/5.6",
    ]


@pytest.mark.parametrize(("sky", "more"), [("hazy", 0.5), ("light-cloud", 1.0), ("heavy-cloud", 3.0)])
def test_a_sky_takes_light(capsys: Capture, sky: str, more: float) -> None:
    """Stops and time grow by what the sky takes."""
    of_plate = (*LACOCK, *MIDSUMMER, "--speed", "1", "--f", "8")
    clear, clouded = as_json(capsys, *of_plate), as_json(capsys, *of_plate, "--sky", sky)
    assert float(str(clouded["stops"])) - float(str(clear["stops"])) == pytest.approx(more)
    assert float(str(clouded["seconds"])) / float(str(clear["seconds"])) == pytest.approx(2**more)


def test_polar_night_is_an_answer(capsys: Capture) -> None:
    """Where the sun does not rise the command says so with exit status 0; light, time and rise are null."""
    at = ("--at", "2026-12-21T12:00+01:00")
    found = as_json(capsys, *TROMSO, *at, "--speed", "1", "--f", "5.6")
    assert [found[key] for key in ("stops", "seconds", "rise", "set")] == [None] * 4
    assert found["altitude"] == pytest.approx(-3.1, abs=0.2)
    status, out, err = run(capsys, *TROMSO, *at)
    assert (status, err) == (0, "")
    assert "it does not rise; highest at 11:42" in out
    assert "not told: the sun is below 2°" in out
    assert "best hours" not in out


def test_midnight_sun_and_the_pole(capsys: Capture) -> None:
    """Where the sun does not set there is light and no rise; at the pole there is no azimuth."""
    status, out, _ = run(capsys, *TROMSO, *MIDSUMMER)
    assert status == 0
    assert "it does not set" in out
    found = as_json(capsys, "--latitude", "90", "--longitude", "0", *MIDSUMMER)
    assert (found["azimuth"], found["rise"], found["set"]) == (None, None, None)
    assert found["altitude"] == pytest.approx(23.47, abs=0.02)
    status, out, _ = run(capsys, "--latitude", "-90", "--longitude", "0", *MIDSUMMER)
    assert status == 0
    assert "it does not rise" in out


def test_at_the_pole_there_is_no_noon(capsys: Capture) -> None:
    """At a pole no hour is told as the highest; two degrees from it there is one."""
    status, out, _ = run(capsys, "--latitude", "90", "--longitude", "0", *MIDSUMMER)
    assert status == 0
    assert "it does not set; no noon at the pole: about 23.5° all day" in out
    assert "best hours  the whole day" in out
    assert "highest at" not in out
    assert "highest at" in run(capsys, "--latitude", "88", "--longitude", "0", *MIDSUMMER)[1]


def test_without_an_instant_it_is_now(capsys: Capture) -> None:
    """Without --at the sun of this very moment is told."""
    found = as_json(capsys, *LACOCK)
    assert isinstance(found["altitude"], float)


WRONG = (
    (("--latitude", "91", "--longitude", "0"), "--latitude: '91' is out of range"),
    (("--latitude", "nan", "--longitude", "0"), "--latitude: 'nan' is not a finite number"),
    (("--latitude", "51", "--longitude", "181"), "--longitude: '181' is out of range"),
    (("--latitude", "51N", "--longitude", "0"), "--latitude: '51N' cannot be read"),
    (("--latitude", "51"), "--longitude too is needed"),
    (("--longitude", "0"), "--latitude too is needed"),
    ((), "--place NAME, or --latitude and --longitude is needed"),
    (("--place", "home", "--latitude", "51"), "not both"),
    (("--place", "home"), "is called 'home' (it has no places)"),
    ((*LACOCK, "--at", "2026-06-21T12:00"), "--at: '2026-06-21T12:00' has no zone"),
    ((*LACOCK, "--at", "noon"), "--at: 'noon' cannot be read"),
    ((*LACOCK, "--at", "1600-06-21T12:00Z"), "the year 1600 is out of range"),
    ((*LACOCK, "--at", "9999-12-31T23:59Z"), "the year 9999 is out of range"),
    ((*LACOCK, "--at", "9999-12-31T23:59-12:00"), "the year 9999 is out of range"),
    ((*LACOCK, "--f", "0"), "--f: '0' is out of range"),
    ((*LACOCK, "--speed", "-1"), "--speed: '-1' is out of range"),
    ((*LACOCK, "--sky", "cloudy"), "cloudy"),
    ((*LACOCK, "--receiver", "face"), "face"),
)


@pytest.mark.parametrize(("words", "said"), WRONG)
def test_wrong_use_is_told_in_one_line(capsys: Capture, words: tuple[str, ...], said: str) -> None:
    """What is no place, no instant, no f-number or no sky is told in a line, with exit status 2."""
    status, out, err = run(capsys, *words)
    assert (status, out) == (2, "")
    assert said in err
    assert "Traceback" not in err
    assert len(err.strip().splitlines()[-1]) > 10


KIT = """places:
  - {name: Garden, latitude: 52.09, longitude: 5.12, time_zone: Europe/Amsterdam}
  - {name: the quay, latitude: -36.84, longitude: 174.77, time_zone: Pacific/Auckland}
"""


def test_a_place_of_the_kit(capsys: Capture, home: Path) -> None:
    """A place is found by its name in any case, and its instants are told in its own time."""
    (home / "kit.yaml").write_text(KIT, encoding="utf-8")
    found = as_json(capsys, "--place", "garden", "--at", "2026-06-21T10:00Z")
    there = as_json(capsys, "--latitude", "52.09", "--longitude", "5.12", "--at", "2026-06-21T10:00Z")
    assert found["altitude"] == there["altitude"]
    assert str(found["rise"]).endswith("+02:00")
    status, out, _ = run(
        capsys, "--place", "The Quay", "--at", "2026-06-20T23:00Z", "--speed", "1", "--f", "8"
    )
    assert status == 0
    assert out.startswith("the quay, 2026-06-21 11:00 +12:00\n")
    assert "rises 07:3" in out
    status, out, err = run(capsys, "--place", "gardens")
    assert (status, out) == (2, "")
    assert "did you mean 'Garden'?" in err
    assert "there are Garden, the quay" in run(capsys, "--place", "home")[2]


def test_a_wrong_kit_is_said_where_its_place_is_missing(capsys: Capture, home: Path) -> None:
    """Of a kit with a mistake the right places are known; for the wrong one the mistake is said."""
    (home / "kit.yaml").write_text(KIT.replace("-36.84", "-96.84"), encoding="utf-8")
    assert as_json(capsys, "--place", "garden", *MIDSUMMER)["sky"] == "clear"
    status, out, err = run(capsys, "--place", "the quay", *MIDSUMMER)
    assert (status, out) == (1, "")
    assert "kit.yaml:3" in err
    assert "latitude" in err


SCENE = Scene(light="sun", kind="sun", ev=14.0, ev_from="meter", f_number=4.5)


def test_a_judged_plate_tells_the_time(capsys: Capture, home: Path) -> None:
    """Without --speed and --f the time is learned from the judged plates, for the latest one's f-number."""
    shelve(home, worked(scene=SCENE))
    status, out, err = run(capsys, *LACOCK, *MIDSUMMER)
    assert (status, err) == (0, "")
    (line,) = (line for line in out.splitlines() if line.startswith("  time"))
    assert "at f/4.5, between " in line
    assert line.endswith("by 1 judged plate")
    seconds = as_json(capsys, *LACOCK, *MIDSUMMER)["seconds"]
    assert isinstance(seconds, float)
    smaller = as_json(capsys, *LACOCK, *MIDSUMMER, "--f", "9")["seconds"]
    assert smaller == pytest.approx(4 * seconds)
    given = as_json(capsys, *LACOCK, *MIDSUMMER, "--speed", "2")
    assert given == as_json(capsys, *LACOCK, *MIDSUMMER, "--speed", "2", "--f", "4.5")


def test_a_stop_of_the_latest_lens_is_an_f_number(capsys: Capture, home: Path) -> None:
    """--f takes the name of a stop of the lens that the latest plate was made with."""
    shelve(home, worked(scene=SCENE))
    (home / "kit.yaml").write_text("lenses: [{name: portrait lens 210 mm, stops: {no. 2: f/9}}]\n")
    named = as_json(capsys, *LACOCK, *MIDSUMMER, "--speed", "1", "--f", "no. 2")
    assert named["seconds"] == as_json(capsys, *LACOCK, *MIDSUMMER, "--speed", "1", "--f", "9")["seconds"]
    status, _, err = run(capsys, *LACOCK, *MIDSUMMER, "--speed", "1", "--f", "no. 3")
    assert status == 2
    assert "--f: 'no. 3' is no f-number and no stop of portrait lens 210 mm, which has no. 2" in err


def test_without_a_judged_plate_there_is_no_time(capsys: Capture) -> None:
    """Without a judged plate and without --speed and --f the time is null, and the text says what to give."""
    assert as_json(capsys, *LACOCK, *MIDSUMMER)["seconds"] is None
    status, out, err = run(capsys, *LACOCK, *MIDSUMMER, "--f", "8")
    assert status == 0
    assert "time" not in out
    assert err == "No judged plate tells a time: give --speed and --f.\n"


@pytest.mark.parametrize("receiver", RECEIVERS)
@pytest.mark.parametrize("sky", SKIES)
def test_each_line_fits_eighty_columns(capsys: Capture, home: Path, receiver: str, sky: str) -> None:
    """Whatever faces the light under any sky, no line is longer than a terminal of 80 columns."""
    shelve(home, worked(scene=SCENE))
    status, out, _ = run(capsys, *LACOCK, *MIDSUMMER, "--receiver", receiver, "--sky", sky)
    assert status == 0
    assert len(out.splitlines()) == 9
    assert max(map(len, out.splitlines())) <= 80
