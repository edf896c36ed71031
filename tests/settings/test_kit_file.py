"""The kit file: what is right is read, every mistake is named with its line, key and nearest word."""

from __future__ import annotations

import os
import re
from datetime import datetime
from pathlib import Path

import pytest

from darkroom.errors import QuantityError, SettingsError
from darkroom.exposure.kit import Camera, Kit, Lens, NamedLight, Place, PlateSize, Stop
from darkroom.settings import kit as kit_file
from darkroom.settings.kit import load, load_right, parse_right, path_in
from darkroom.settings.time_zones import time_zone
from tests.kit.documents import ROOT

WRONG = ROOT / "tests" / "invalid" / "kit"

# (file, line, key, telling phrase, nearest right word)
MISTAKES: list[tuple[str, int | None, str | None, str, str | None]] = [
    ("bad-yaml", 3, None, "not YAML", None),
    ("draw-unit", 3, "cameras[1].longest_draw", "a unit that is not known here", None),
    ("duplicate-key", 3, "cameras", "stands twice, first on line 1", None),
    ("ev-absurd", 4, "lights[1].usual_ev", "expected an EV at ISO 100 between -10 and 25", None),
    ("focal-negative", 3, "lenses[1].focal_length", "'-210 mm' is negative", None),
    ("focal-nought", 3, "lenses[1].focal_length", "'0 mm' is absurd", None),
    ("focal-without-unit", 3, "lenses[1].focal_length", "'210' has no unit", None),
    ("front-absurd", 3, "lenses[1].front_magnification", "a magnification between 0.5 and 3", None),
    ("kind-as-name", 2, "lights[1].name", "'Sun' is a kind of light itself", None),
    ("kind-missing", 2, "lights[1]", "the key 'kind' is missing", None),
    ("kind-unknown", 3, "lights[1].kind", "'windw' is none of", "window"),
    ("latitude-91", 3, "places[1].latitude", "degrees of latitude from -90 to 90", None),
    ("latitude-missing", 2, "places[1]", "the key 'latitude' is missing", None),
    ("lens-twice", 3, "lenses[2].name", "two of one name: another lens on line 2", None),
    ("lens-word", 1, "lenses[1]", "a lens is written as '- name: …'", None),
    ("lenses-mapping", 2, "lenses", "each lens begins with '- '", None),
    ("light-twice", 3, "lights[2].name", "two of one name: another light on line 2", None),
    ("longitude-north", 4, "places[1].longitude", "degrees of longitude from -180 to 180", None),
    ("name-emoji", 2, "cameras[1].name", "white light in the dark", None),
    ("name-empty", 2, "cameras[1].name", "nothing is written here", None),
    ("name-long", 2, "plates[1].name", "41 characters, at most 40", None),
    ("no-name", 2, "lenses[1]", "the key 'name' is missing", None),
    ("root-list", 1, None, "each thing stands below what it is: lenses:, cameras:", None),
    ("size-one-side", 3, "plates[1].size", "expected a size such as 83 × 108 mm", None),
    ("size-without-unit", 3, "plates[1].size", "'83 × 108' has no unit", None),
    ("stop-called-otherwise", 4, "lenses[1].stops.4", "is read as f/4: give it another name", None),
    ("stop-diameter-alone", 4, "lenses[1].stops.no. 2", "needs the 'focal_length' of the lens", None),
    ("stop-metres", 5, "lenses[1].stops.no. 2", "f/0.00808 is no f-number of a lens", None),
    ("name-list", 2, "cameras[1].name", "expected one value behind the colon, found several values", None),
    ("stop-nought", 4, "lenses[1].stops.wide open", "'f/0' is out of range", None),
    ("stop-twice", 5, "lenses[1].stops.No.  2", "two of one name: another stop", None),
    ("stop-unreadable", 4, "lenses[1].stops.no. 2", "or the diameter of its opening", None),
    ("stops-list", 3, "lenses[1].stops", "each stop has its name before it: 'no. 1: f/8'", None),
    ("tab", 2, None, "a tab", None),
    ("unknown-key", 3, "lenses[1].focal_lenght", "unknown key", "focal_length"),
    ("unknown-top-key", 1, "lens", "unknown key", "lenses"),
    ("zone-path", 5, "places[1].time_zone", "expected a time zone such as Europe/Berlin", None),
    ("zone-unknown", 5, "places[1].time_zone", "'Amsterdam' is not known here", "Europe/Amsterdam"),
]

WHOLE = """
lenses:
  - name: brass portrait lens
    focal_length: 210 mm
    front_magnification: 1.1
    stops:
      wide open: f/3.6
      no. 2: 26 mm
      f/8: 8
      US 8: US 8
      f/11: U.S. 8
  - name: 8 in landscape lens
    focal_length: 8 in
cameras:
  - {name: half-plate field camera, longest_draw: 45 cm}
  - name: box camera
lights:
  - {name: north window, kind: window, usual_ev: 9.5}
  - {name: sun, kind: sun, usual_ev: 14.5}
places:
  - {name: garden, latitude: 52.09, longitude: 5.12, time_zone: Europe/Amsterdam}
  - {name: far beach, latitude: 33.9 S, longitude: 151.2° E, time_zone: Australia/Sydney}
plates:
  - {name: quarter plate, size: 3 1/4 × 4 1/4 in}
  - {name: small, size: 60 mm x 9 cm}
"""


@pytest.mark.parametrize(
    ("name", "line", "key", "phrase", "near"), MISTAKES, ids=[mistake[0] for mistake in MISTAKES]
)
def test_each_mistake_is_named_alone(
    name: str, line: int | None, key: str | None, phrase: str, near: str | None
) -> None:
    """A file with one mistake gives one problem: its file, line, key, what is wrong, the nearest word."""
    path = WRONG / f"{name}.yaml"
    with pytest.raises(SettingsError) as caught:
        load(path)
    (problem,) = caught.value.problems
    assert (str(path), line, key, near) == (problem.file, problem.line, problem.key, problem.nearest)
    assert phrase in problem.what


@pytest.mark.parametrize(
    ("name", "place"),
    [
        ("lens-twice", "the second lens (Brass  Portrait Lens), name:"),
        ("stop-twice", "the first lens (brass portrait lens), stop 'No.  2':"),
        ("no-name", "the first lens:"),
        ("name-emoji", "the first camera (?), name:"),
        ("size-one-side", "the first plate size (quarter plate), size:"),
        ("unknown-top-key", "lens:"),
    ],
)
def test_a_mistake_is_told_with_its_thing_by_name(name: str, place: str) -> None:
    """Which lens, camera or light it is stands in words, with its name, and no emoji."""
    path = WRONG / f"{name}.yaml"
    ((problem),) = load_right(path)[1]
    assert str(problem).startswith(f"{path}:{problem.line}: {place} ")


def test_no_word_of_the_file_format_is_said() -> None:
    """No mistake is told in words such as mapping, list, scalar or an index in brackets."""
    for path in WRONG.glob("*.yaml"):
        for problem in load_right(path)[1]:
            told = f"{problem.place or problem.key}: {problem.what}"
            if "not YAML" not in told:
                assert not re.search(r"mapping|\blist\b|scalar|\[\d", told), told


def test_things_are_counted_in_words() -> None:
    """The eleventh and the twenty-second thing are counted as such."""
    text = "cameras:\n" + "".join(f"  - {{name: box {n}, glass: none}}\n" for n in range(1, 23))
    told = [str(problem) for problem in parse_right(text, "kit.yaml")[1]]
    assert [line.split(" (")[0].split(": the ")[1] for line in (told[9], told[10], told[21])] == [
        "tenth camera",
        "11th camera",
        "22nd camera",
    ]


def test_a_bare_number_is_an_f_number_whatever_the_stop_is_called() -> None:
    """A stop may be written as 8, under its number or under a name of its own."""
    kit, problems = parse_right(
        "lenses:\n  - {name: brass, stops: {f/8: 8, '11': 11, no. 3: 26}}\n", "kit.yaml"
    )
    assert problems == ()
    assert [(stop.f_number, stop.diameter) for stop in kit.lenses[0].stops] == [
        (8, None),
        (11, None),
        (26, None),
    ]


def test_what_is_written_is_counted() -> None:
    """Of each kind it is known how many things the file names, right or wrong."""
    text = "lenses:\n  - {name: a}\n  - {name: b, focal_length: 21}\nlights: []\n"
    path_text = WRONG / "lens-twice.yaml"
    assert kit_file.load_file(path_text).written == {"lenses": 2}
    assert parse_right(text, "kit.yaml")[0].lenses == (Lens(name="a"),)


def test_every_wrong_file_is_tested() -> None:
    """Every wrong kit file has a test case."""
    assert sorted(path.stem for path in WRONG.glob("*.yaml")) == sorted(mistake[0] for mistake in MISTAKES)


def test_a_missing_file_is_no_mistake(tmp_path: Path) -> None:
    """Without a kit file the kit is empty and nothing is wrong."""
    assert load(path_in(tmp_path)) == Kit()
    assert load_right(path_in(tmp_path)) == (Kit(), ())


@pytest.mark.parametrize("text", ["", "\n\n", "# nothing yet\n", "lenses: []\n"])
def test_a_file_that_says_nothing_is_an_empty_kit(text: str) -> None:
    """An empty file, one of remarks alone, or empty lists are no mistake."""
    assert parse_right(text, "kit.yaml") == (Kit(), ())


def test_a_file_too_large_to_read_whole_never_says_nothing(tmp_path: Path) -> None:
    """Remarks up to where reading ends do not hide what follows: the file is too large, and that is said."""
    path_in(tmp_path).write_text(f"# {'x' * 300_000}\nlenses:\n  - {{name: brass}}\n", encoding="utf-8")
    with pytest.raises(SettingsError, match="too large"):
        load(path_in(tmp_path))


def test_a_whole_file() -> None:
    """Every key arrives in its unit: mm, degrees with their sign, f-numbers."""
    kit, problems = parse_right(WHOLE, "kit.yaml")
    assert problems == ()
    stops = (
        Stop(name="wide open", f_number=3.6),
        Stop(name="no. 2", diameter=26.0),
        Stop(name="f/8", f_number=8.0),
        Stop(name="US 8", f_number=pytest.approx(11.3137)),
        Stop(name="f/11", f_number=pytest.approx(11.3137)),
    )
    assert kit.lenses[0] == Lens(name="brass portrait lens", focal=210.0, front=1.1, stops=stops)
    assert kit.lenses[1].focal == pytest.approx(203.2)
    assert kit.lenses[1].front == 1.0
    assert kit.cameras == (
        Camera(name="half-plate field camera", longest_draw=450.0),
        Camera(name="box camera"),
    )
    assert kit.light("North window") == NamedLight(name="north window", kind="window", ev=9.5)
    assert kit.place("garden") == Place(
        name="garden", latitude=52.09, longitude=5.12, zone="Europe/Amsterdam"
    )
    beach = kit.place("far beach")
    assert beach is not None and (beach.latitude, beach.longitude) == (-33.9, 151.2)
    quarter = kit.plate("quarter plate")
    assert quarter is not None and (quarter.width, quarter.height) == pytest.approx((82.55, 107.95))
    assert kit.plate("small") == PlateSize(name="small", width=60.0, height=90.0)


def test_plain_kinds_of_light_stand_behind_those_of_the_kit() -> None:
    """A kit's own light of a kind's name wins, another kind has no EV of its own."""
    kit, _ = parse_right(WHOLE, "kit.yaml")
    assert kit.light("Sun") == NamedLight(name="sun", kind="sun", ev=14.5)
    assert kit.light("shade") == NamedLight(name="shade", kind="shade")
    assert kit.light("gaslight") is None


def test_what_is_right_in_a_wrong_file_is_there() -> None:
    """A thing with a mistake is left out, and the second of two of one name; all mistakes are told."""
    text = (
        "lenses:\n  - {name: first, focal_length: 210 mm}\n  - {name: second, focal_length: 21}\n"
        "  - {name: FIRST}\nlights:\n  - {name: studio, kind: led, colour: blue}\nplaces: here\n"
    )
    kit, problems = parse_right(text, "kit.yaml")
    assert kit == Kit(lenses=(Lens(name="first", focal=210.0),))
    assert [problem.line for problem in problems] == [3, 4, 6, 7]


def test_a_file_of_nothing_but_mistakes_is_left_out_whole() -> None:
    """Mistakes beyond those that are listed leave their thing out too, and are counted."""
    kit, problems = parse_right("cameras:\n" + "  - {name: box, glass: none}\n" * 300, "kit.yaml")
    assert kit == Kit()
    assert "more problems" in str(problems[-1])


@pytest.mark.parametrize("data", [b"\xff\xfe", bytes(4096), b"[" * 100_000, b"lenses: [[[[", b"x" * 300_000])
def test_any_bytes_are_a_mistake_and_no_more(tmp_path: Path, data: bytes) -> None:
    """Whatever stands in the file, the kit is empty and the mistake is told."""
    path = path_in(tmp_path)
    path.write_bytes(data)
    kit, problems = load_right(path)
    assert kit == Kit()
    assert problems


def test_a_pipe_in_its_place_is_not_waited_for(tmp_path: Path) -> None:
    """What is no plain file is told as such."""
    os.mkfifo(path_in(tmp_path))
    kit, (problem,) = load_right(path_in(tmp_path))
    assert kit == Kit()
    assert "cannot be read: not a plain file" in problem.what


def test_the_example_of_the_readme_is_right() -> None:
    """The kit shown in the README has no mistake, and names every key that there is."""
    shown = (ROOT / "README.md").read_text(encoding="utf-8").split("## Your kit")[1]
    text = shown.split("```yaml\n")[1].split("```")[0]
    kit, problems = parse_right(text, "shown.yaml")
    assert problems == ()
    assert kit.lenses[0].stops and kit.lenses[0].front > 1 and kit.lights[0].ev is not None
    assert all((kit.cameras[0].longest_draw, kit.places, kit.plates))


def test_the_example_in_the_module_is_right() -> None:
    """The kit shown at the head of the module has no mistake and every key."""
    shown = (kit_file.__doc__ or "").split("\n\n")[2]
    kit, problems = parse_right("\n".join(line[4:] for line in shown.splitlines()), "shown.yaml")
    assert problems == ()
    assert all((kit.lenses, kit.cameras, kit.lights, kit.places, kit.plates))


def test_a_time_zone_by_its_name() -> None:
    """A name gives the zone with its summer time; one that leads out of the list is refused."""
    zone = time_zone("Europe/Amsterdam")
    assert datetime(2026, 6, 21, 12, tzinfo=zone).isoformat() == "2026-06-21T12:00:00+02:00"
    for name in ("Europe", "../etc/passwd", "/etc/localtime", "", "Nowhere/At_all", "x" * 5000):
        with pytest.raises(QuantityError, match="expected a time zone"):
            time_zone(name)


def test_a_machine_without_zones_takes_any_name(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where there is no list of time zones, none can be held against it."""
    import zoneinfo

    monkeypatch.setattr(zoneinfo, "available_timezones", set)
    text = "places: [{name: garden, latitude: 52, longitude: 5, time_zone: Not/Checked}]\n"
    kit, problems = parse_right(text, "kit.yaml")
    assert (kit.places[0].zone, problems) == ("Not/Checked", ())
