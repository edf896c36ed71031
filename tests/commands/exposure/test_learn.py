"""`darkroom exposure learn` as it is used: what it prints of which log, and with which exit status."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import msgspec
import pytest

from darkroom.bench import events as ev
from darkroom.commands.exposure.learn import as_members
from darkroom.exposure.learned import Learned, UnfittingPlate
from darkroom.process.scene import Scene
from tests.kit import command_line
from tests.kit.command_line import Capture
from tests.kit.exports import shelve, worked
from tests.kit.judged import exposed_plate, record_of

SCENE = Scene(light="shade", kind="shade", ev=8.0, ev_from="meter", f_number=4.5)
KIT = """
lights:
  - {name: north window, kind: window, usual_ev: 9.5}
  - {name: attic, kind: window}
places:
  - {name: garden, latitude: 52.09, longitude: 5.12, time_zone: Europe/Amsterdam}
lenses:
  - {name: portrait lens 210 mm, stops: {no. 1: f/4.5, no. 2: f/9}}
"""
NOON = "2026-06-21T13:40+02:00"
MIDNIGHT = "2026-06-21T01:40+02:00"


def judge(home: Path, number: int, stops: float, scene: Scene | None = SCENE, **more: Any) -> None:
    """Put a plate into the log that got 8 s and wanted so many stops more."""
    events = worked(f"20260301-09{number:02}00-aaaaaa", number, scene=scene, **more)
    rating = next(line for line in events if isinstance(line, ev.Rating) and line.exposure_stops is not None)
    events[events.index(rating)] = msgspec.structs.replace(rating, exposure_stops=stops)
    shelve(home, events)


def run(capsys: Capture, *words: str) -> tuple[int, str, str]:
    """Return (exit status, standard output, standard error) of the command."""
    return command_line.run(capsys, "exposure", "learn", *words)


def as_json(capsys: Capture, *words: str) -> Any:
    """Return what the command prints as JSON."""
    return command_line.as_json(capsys, "exposure", "learn", *words)


def test_json_has_the_members_of_the_contract(capsys: Capture, home: Path) -> None:
    """JSON tells speed and seconds with their intervals, the plates behind them, those that weigh most."""
    for number in range(1, 5):
        judge(home, number, 0.5)
    found = as_json(capsys)
    assert list(found)[:10] == [
        *("speed", "low", "high", "seconds", "seconds_low", "seconds_high"),
        *("stops", "plates", "left_out", "weigh"),
    ]
    assert found["plates"] == 4
    assert found["seconds"] == pytest.approx(8 * 2**0.5, rel=0.1)
    assert found["seconds_low"] < found["seconds"] < found["seconds_high"]
    assert found["seconds"] == pytest.approx(100 * 4.5**2 / (found["speed"] * 2**8))
    assert [2**stops for stops in found["stops"]] == pytest.approx(
        [found["low"], found["speed"], found["high"]]
    )
    assert len(found["weigh"]) == 2
    assert set(found["weigh"][0]) == {"plate", "weight"}
    assert (found["left_out"], found["disagree"], found["unfitting"]) == ([], [], [])


def test_an_open_judgement_is_null_in_json() -> None:
    """A plate judged by a word that does not fit has null at its open end: JSON has no infinity."""
    odd = UnfittingPlate(plate="p", number=1, said_low=0.25, said_high=math.inf, expected=-5.0, chance=0.9)
    learned = Learned(
        low=-1.0, middle=0.0, high=1.0, seconds_low=None, seconds=None, seconds_high=None, plates=1,
        unfitting=(odd,),
    )  # fmt: skip
    assert '"said": [0.25, null]' in json.dumps(as_members(learned), allow_nan=False)


def test_a_photographer_reads_it(capsys: Capture, home: Path) -> None:
    """The text begins with the time, its bounds and the plates behind it, and names the odd one."""
    for number in range(1, 8):
        judge(home, number, 0.0)
    judge(home, 8, 3.0)
    judge(home, 9, 0.0, None, light=None)
    status, out, err = run(capsys, "--light", "shade", "--ev", "8", "--f", "4.5")
    assert (status, err) == (0, "")
    lines = out.splitlines()
    assert lines[0].endswith(", from 8 plates")
    assert lines[1].startswith("  for           ")
    assert lines[1].endswith("shade at EV 8, portrait lens 210 mm at f/4.5")
    assert any(line.startswith("  weigh most    plate ") for line in lines)
    assert "  does not fit  plate 8: judged +3.0 stops, by the others right" in lines
    assert "  left out      plate 9: its light is not known" in lines


def test_options_change_the_latest_plate(capsys: Capture, home: Path) -> None:
    """Twice the f-number is four times the time, a stop less light twice; another lens is less sure."""
    for number in range(1, 4):
        judge(home, number, 0.0)
    before = as_json(capsys)
    assert as_json(capsys, "--f", "9")["seconds"] == pytest.approx(4 * before["seconds"])
    assert as_json(capsys, "--light", "shade", "--ev", "7")["seconds"] == pytest.approx(2 * before["seconds"])
    other = as_json(capsys, "--lens", "meniscus")
    assert other["high"] / other["low"] > before["high"] / before["low"]
    assert "those of other processes" in " ".join(as_json(capsys, "--process", "tintype")["assumed"])
    newer = as_json(capsys, "--collodion", "C4 2026-06-01", "--at", NOON)
    assert "the collodion's age" not in " ".join(newer["assumed"])


def test_a_stop_of_the_lens_is_an_f_number(capsys: Capture, home: Path) -> None:
    """--f takes the name of a stop of the lens that is asked for, or of the latest plate's."""
    (home / "kit.yaml").write_text(KIT, encoding="utf-8")
    judge(home, 1, 0.0)
    by_name = as_json(capsys, "--f", "No. 2")
    assert by_name["seconds"] == as_json(capsys, "--f", "9")["seconds"]
    assert by_name["seconds"] == pytest.approx(4 * as_json(capsys, "--f", "no. 1")["seconds"])
    status, out, err = run(capsys, "--f", "no. 3")
    assert (status, out) == (2, "")
    assert "--f: 'no. 3' is no f-number and no stop of portrait lens 210 mm, which has no. 1, no. 2" in err
    status, _, err = run(capsys, "--lens", "meniscus", "--f", "no. 2")
    assert status == 2
    assert "--f: 'no. 2' cannot be read: expected an f-number" in err


def test_a_name_that_is_nearly_a_known_one_is_told(capsys: Capture, home: Path) -> None:
    """A mistyped process, light, lens or collodion is named beside the known one; a new name is not."""
    (home / "kit.yaml").write_text(KIT, encoding="utf-8")
    judge(home, 1, 0.0)
    for option, typed, meant in (
        ("--process", "tintpe", "tintype"),
        ("--light", "north windw", "north window"),
        ("--light", "shaed", "shade"),
        ("--lens", "portrait lens 21 mm", "portrait lens 210 mm"),
    ):
        status, out, err = run(capsys, option, typed)
        assert status == 0
        assert out
        assert err == f"{option}: no {option[2:]} is called '{typed}' yet (did you mean '{meant}'?)\n"
    for option, typed in (("--light", "south window"), ("--lens", "Portrait lens 210 mm"), ("--process", "")):
        assert run(capsys, option, typed)[2] == ""


def test_a_light_without_a_meter(capsys: Capture, home: Path) -> None:
    """A light has its usual EV from the kit or of its kind, and once plates know it what they say."""
    (home / "kit.yaml").write_text(KIT, encoding="utf-8")
    judge(home, 1, 0.0)
    assert "EV 9.5, its usual value" in " ".join(as_json(capsys, "--light", "North Window")["assumed"])
    assert "taken as EV 9" in " ".join(as_json(capsys, "--light", "attic")["assumed"])
    window = Scene(light="attic", kind="window", f_number=4.5)
    for number in range(2, 5):
        judge(home, number, 1.0, window)
    learned = as_json(capsys, "--light", "attic")
    assert "The brightness of attic is learned from 3 plates." in learned["assumed"]
    assert learned["seconds"] == pytest.approx(16.0, rel=0.2)


def test_a_place_follows_the_sun(capsys: Capture, home: Path) -> None:
    """At a place of the kit the light is that of the hour; at night nothing tells it; names are helped."""
    (home / "kit.yaml").write_text(KIT, encoding="utf-8")
    judge(home, 1, 0.0)
    at_noon = as_json(capsys, "--light", "sun", "--place", "garden", "--at", NOON)
    in_the_evening = as_json(capsys, "--light", "sun", "--place", "garden", "--at", "2026-06-21T20:40+02:00")
    assert in_the_evening["seconds"] > 2 * at_noon["seconds"]
    clouded = as_json(capsys, "--light", "sun", "--place", "garden", "--at", NOON, "--sky", "heavy-cloud")
    assert clouded["seconds"] == pytest.approx(8 * at_noon["seconds"], rel=0.02)
    status, _, err = run(capsys, "--light", "sun", "--place", "garden", "--at", MIDNIGHT)
    assert status == 2
    assert "nothing tells the light at 'garden'" in err
    status, _, err = run(capsys, "--place", "gardn")
    assert status == 2
    assert "is called 'gardn' (did you mean 'garden'?)" in err


def test_without_a_judged_plate_it_says_so(capsys: Capture) -> None:
    """An empty log gives what is common practice, says that no plate was judged, and exits with 0."""
    status, out, err = run(capsys, "--light", "shade", "--f", "5.6")
    assert (status, err) == (0, "")
    assert "from no plate yet" in out
    assert "No judged plate yet" in out
    status, out, err = run(capsys, "--json")
    assert status == 0
    assert json.loads(out)["seconds"] is None
    assert err.startswith("No judged plate yet")


def test_a_judged_plate_that_does_not_count_is_not_called_none(home: Path, capsys: Capture) -> None:
    """One plate was judged and left out: the first line says so and why, and nothing says that none was."""
    record_of(home, exposed_plate(scene=SCENE, developed=60.0), {"exposure_stops": 0.5})
    status, out, _ = run(capsys, "--light", "shade", "--f", "5.6")
    assert status == 0
    reason = "developed for 4.3 times its plan"
    assert out.splitlines()[0].endswith(f", 1 judged plate, left out: {reason}")
    assert f"No judged plate tells the speed ({reason})" in out
    assert "no plate yet" not in out and "No judged plate yet" not in out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--f", "0"), "--f: '0' is out of range"),
        (("--ev", "99"), "--ev: '99' is out of range"),
        (("--ev", "nan"), "--ev: 'nan' is not a finite number"),
        (("--at", "2026-06-21T12:00"), "has no zone"),
        (("--place", "garden", "--ev", "11"), "not both"),
        (("--place", "garden"), "kit.yaml is called 'garden' (it has no places)"),
        (("--sky", "clear"), "--sky needs --place"),
    ],
)
def test_wrong_use_is_told_in_one_line(capsys: Capture, words: tuple[str, ...], said: str) -> None:
    """What cannot be is refused with exit status 2 and one line that says what."""
    status, out, err = run(capsys, *words)
    assert (status, out) == (2, "")
    assert said in err
    assert len(err.splitlines()) == 1


def test_a_wrong_kit_is_said_and_what_is_right_in_it_counts(capsys: Capture, home: Path) -> None:
    """A mistake in kit.yaml is told with its line; the light beside it is still known."""
    wrong = KIT.replace("{name: attic, kind: window}", "{name: attic, kind: windo}")
    (home / "kit.yaml").write_text(wrong, encoding="utf-8")
    status, out, err = run(capsys, "--light", "north window", "--f", "8")
    assert status == 0
    assert "north window at EV 9.5" in out
    assert "kit.yaml:4" in err
    assert "'windo'" in err
    status, _, err = run(capsys, "--place", "mill")
    assert status == 1
    assert "'windo'" in err


def test_a_judged_plate_without_its_first_line_is_said(capsys: Capture, home: Path) -> None:
    """Nothing can be learned from a plate whose journal has lost its beginning: one line says so, once."""
    for number in range(1, 4):
        judge(home, number, 0.5)
    file = sorted(home.rglob("20260301-*.jsonl"))[1]
    file.write_bytes(b"".join(file.read_bytes().splitlines(True)[1:]))
    status, out, error = run(capsys)
    assert (status, "from 2 plates" in out) == (0, True)
    assert error.splitlines() == [
        "1 judged plate has lost the first line of the journal, so nothing is learned from it: "
        "see darkroom log check"
    ]
    status, out, with_json = run(capsys, "--json")
    assert (status, json.loads(out)["plates"], with_json) == (0, 2, error)
