"""The light of a plate, what was proposed for it and its own speed in every form that the log takes."""

from __future__ import annotations

import csv
import json
import re
import shutil
import subprocess
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as xml

import pytest

from darkroom.process.scene import ProposedExposure, Scene
from tests.kit.exports import WORDS, shelve, worked
from tests.kit.judged import SCENE
from tests.kit.log_commands import Capture, run_log

PLATE = "20260303-090000-dddddd"
PROPOSED = ProposedExposure(seconds=8.0, low=5.0, high=13.0, plates=12, from_="plates")
SPEED = "about ISO 1.6 (1.3 to 1.9), as a daylight meter counts"


@pytest.fixture
def lit(home: Path) -> str:
    """A plate with a scene, a proposal, a camera and a holder; return its id."""
    members: dict[str, Any] = {
        "scene": SCENE,
        "proposed": PROPOSED,
        "aperture": "third stop",
        "camera": "field camera",
        "holder": "B",
        "bottle_ids": {"collodion": "20260201-100000-eeeeee"},
    }
    shelve(home, worked(PLATE, 31, **members))
    return PLATE


def test_csv(lit: str, out: Path, export) -> None:
    """A table has every member in a column of its own, and the speed as an equivalent from and to."""
    assert export("csv", lit, "--to", out / "plates.csv")[0] == 0
    with (out / "plates.csv").open(encoding="utf-8", newline="") as file:
        (row,) = csv.DictReader(file, strict=True)
    expected = {
        "light": "open shade", "light of the scene": "north window", "kind of light": "window",
        "exposure value at ISO 100 (EV)": "9.5", "exposure value from": "meter", "f-number": "5.6",
        "light lost to bellows (stops)": "0.53", "light lost to a filter (stops)": "0.5",
        "light lost otherwise (stops)": "", "place": "", "camera": "field camera", "holder": "B",
        "bottle ids": "collodion: 20260201-100000-eeeeee", "exposure proposed (s)": "8",
        "exposure proposed from (s)": "5", "exposure proposed to (s)": "13",
        "plates behind the proposal": "12",
        "proposal from": "plates", "exposure wanted from (s)": "4.757", "exposure wanted to (s)": "6.727",
        "speed equivalent from (ISO)": "1.315", "speed equivalent to (ISO)": "1.859", "not learned from": "",
    }  # fmt: skip
    assert {key: row[key] for key in expected} == expected


def test_json_lines(lit: str, out: Path, export) -> None:
    """A line has the same as numbers, and the events as they stand in the journal."""
    assert export("jsonl", lit, "--to", out / "plates.jsonl")[0] == 0
    plate = json.loads((out / "plates.jsonl").read_text(encoding="utf-8"))
    assert (plate["f_number"], plate["ev"], plate["ev_from"], plate["proposed_s"]) == (5.6, 9.5, "meter", 8.0)
    assert plate["events"][0]["scene"]["light"] == "north window"
    assert plate["events"][0]["proposed"]["from"] == "plates"


def test_html(lit: str, out: Path, export) -> None:
    """The report tells light, stop, light lost, proposal and speed in words."""
    assert export("html", lit, "--to", out / "report.html")[0] == 0
    page = re.sub(r"\s+", " ", (out / "report.html").read_text(encoding="utf-8"))
    for words in (
        "north window (window), EV 9.5 by the meter", "third stop (f/5.6)",
        "1 stop: bellows 0.53, filter 0.5",
        "8 s, between 5 s and 13 s, from 12 plates", "half a stop faster than expected, within the interval",
        SPEED, "field camera",
    ):  # fmt: skip
        assert words in page


def test_labels(lit: str, out: Path, export) -> None:
    """A label names the stop with its f-number."""
    assert export("labels", lit, "--to", out / "labels.html")[0] == 0
    assert "third stop (f/5.6)" in (out / "labels.html").read_text(encoding="utf-8")


def test_xmp(lit: str, out: Path, export) -> None:
    """The f-number is the scene's; the speed is a remark in the description and no property of any name."""
    assert export("xmp", lit, "--to", out)[0] == 0
    (path,) = out.iterdir()
    root = xml.fromstring(path.read_bytes())
    exif = "{http://ns.adobe.com/exif/1.0/}"
    assert root.findtext(f".//{exif}FNumber") == "28/5"
    assert root.findtext(f".//{exif}ExposureTime") == "8/1"
    names = {element.tag for element in root.iter()}
    assert not [
        name for name in names if re.search("iso|speed|sensitiv", name.rpartition("}")[2], re.IGNORECASE)
    ]
    text = "".join(root.itertext())
    assert f"speed {SPEED}: reckoned from how the plate was judged, not measured" in text


@pytest.mark.skipif(shutil.which("exiftool") is None, reason="needs exiftool")
def test_exiftool_sees_no_claim_of_a_speed(lit: str, out: Path, export) -> None:
    """Another program reads the f-number and the time of the sidecar, and no ISO value at all."""
    export("xmp", lit, "--to", out)
    (path,) = out.iterdir()
    answer = subprocess.run(
        ["exiftool", "-j", "-n", str(path)], capture_output=True, text=True, check=True, timeout=60
    )
    (properties,) = json.loads(answer.stdout)
    assert (properties["FNumber"], properties["ExposureTime"]) == (5.6, 8)
    assert "ISO" not in properties


def test_log_show(home: Path, lit: str, capsys: Capture) -> None:
    """The account says what was proposed, what the plate wanted and its speed."""
    status, text, _ = run_log(capsys, "show", lit)
    assert status == 0
    said = {
        line.strip().partition("  ")[0]: line.strip().partition("  ")[2].strip() for line in text.splitlines()
    }
    assert said["proposed"] == "8 s, between 5 s and 13 s, from 12 plates"
    assert said["wanted"].endswith("half a stop faster than expected, within the interval")
    assert said["its speed"] == SPEED
    assert said["light lost"] == "1 stop: bellows 0.53, filter 0.5"


def test_log_show_json(home: Path, lit: str, capsys: Capture) -> None:
    """Programs get the scene as it stood last and the speed as numbers."""
    status, text, _ = run_log(capsys, "show", lit, "--json")
    assert status == 0
    plate = json.loads(text)
    assert plate["scene"]["light"] == "north window"
    assert plate["own_speed"]["iso"] == [1.315, 1.859]
    assert plate["own_speed"]["within_proposal"] is True


def test_compare(home: Path, lit: str, capsys: Capture) -> None:
    """Two plates differ by their stops, f-numbers in stops; what is reckoned from them is not said again."""
    smaller = Scene(light="north window", kind="window", ev=9.5, ev_from="meter", f_number=11.2, bellows=0.53)
    shelve(home, worked("20260304-090000-dddddd", 32, scene=smaller))
    status, text, _ = run_log(capsys, "compare", "31", "32", "--json")
    assert status == 0
    found = {row["what"]: row["weight"] for row in json.loads(text)["differences"]}
    assert found["f-number"] == pytest.approx(2.0)
    assert not [what for what in found if "propos" in what or "speed" in what or "wanted" in what]


def test_hostile_words_of_a_scene(home: Path, out: Path, export, capsys: Capture) -> None:
    """Words of a scene, a camera or a holder are escaped as any others, and control no terminal."""
    scene = Scene(light=WORDS, kind=WORDS, ev=9.0, ev_from=WORDS, place=WORDS, receiver=WORDS, sky=WORDS)
    shelve(home, worked(PLATE, 31, scene=scene, camera=WORDS, holder="=1+1"))
    for form, name in (("csv", "a.csv"), ("html", "a.html"), ("labels", "b.html"), ("jsonl", "a.jsonl")):
        assert export(form, PLATE, "--to", out / name)[0] == 0
    assert export("xmp", PLATE, "--to", out / "xmp")[0] == 0
    for path in (file for file in out.rglob("*") if file.is_file()):
        text = path.read_text(encoding="utf-8")
        assert "\x1b" not in text and "\x00" not in text, path
        if path.suffix == ".html":
            assert "<script" not in text
        if path.suffix == ".xmp":
            xml.fromstring(text)
    assert "=1+1" not in [row["holder"] for row in csv.DictReader((out / "a.csv").open(encoding="utf-8"))]
    assert "\x1b" not in run_log(capsys, "show", PLATE)[1]
