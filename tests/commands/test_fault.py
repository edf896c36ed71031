"""`darkroom fault list`, `show` and `check`: text, JSON, own files, and what they say of wrong words."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from darkroom import resources
from darkroom.faults.evidence_names import NAMES
from tests.kit import fault_season
from tests.kit.command_line import Capture, as_json, run
from tests.kit.documents import ROOT

LAST_DAY = datetime(2026, 5, 16, 9, tzinfo=UTC)

OWN = """
causes:
  shaking table:
    label: the table shakes
    usual: 0.1
    evidence:
      - {of: drain over usual, points: {-50: 6, 0: -2}, says: "drained {value:+.0f} % against your usual"}
    test: {do: Hold a plate in the hand., shown: strongly, absent: -plainly}
    remedy: Boil the bath for an hour.
    alters: bath
    cautions: For the experienced.
    source: invented
faults:
  ripples:
    label: ripples in the film
    looks: waves from edge to edge
    where: [all over]
    unexplained: 0.01
    causes: {shaking table: 0.9}
    asks:
      - {question: "Do you feel it?", "yes": {shaking table: 6}, "no": {shaking table: -6}}
    source: invented
"""


def own_file(home: Path, text: str = OWN, name: str = "mine") -> Path:
    """Write a file of the user's own faults."""
    path = home / "profiles" / "faults" / f"{name}.yaml"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


def mistakes(capsys: Capture, path: Path) -> Any:
    """Return what the check of a wrong file prints as JSON."""
    status, out, err = run(capsys, "fault", "check", str(path), "--json")
    assert (status, err.strip()) == (1, "1 wrong")
    return json.loads(out)


def test_the_faults_are_listed(home: Path, capsys: Capture) -> None:
    """Each fault stands on a line with its looks, one's own marked with a star; JSON has the entries."""
    own_file(home)
    status, out, err = run(capsys, "fault", "list")
    assert (status, err) == (0, "")
    assert "ripples * waves from edge to edge" in [" ".join(line.split()) for line in out.splitlines()]
    listed = as_json(capsys, "fault", "list")
    catalogue, problems = resources.fault_catalogue(home)
    assert problems == []
    assert [row["id"] for row in listed] == list(catalogue.faults)
    assert [row["id"] for row in listed if row["own"]] == ["ripples"]
    assert {"id", "label", "looks", "where", "unexplained", "causes", "asks", "source", "own"} <= set(
        listed[0]
    )


@pytest.mark.parametrize("name", ["ripples", "RIPPLES", "Ripples in  the film"])
def test_a_fault_is_shown(home: Path, capsys: Capture, name: str) -> None:
    """By id or label: looks, causes with links in words, test, remedy, cautions, questions, sources."""
    own_file(home)
    status, out, err = run(capsys, "fault", "show", name)
    assert (status, err) == (0, "")
    shown = " ".join(out.split())
    for part in (
        "ripples in the film (ripples), your own",
        "safety sheets, local codes and licensed practice come first",
        "waves from edge to edge",
        "the table shakes (shaking table), your own shows nearly always like this (90 %)",
        "at work on 10 % of plates",
        "drain over usual: a little against at 0 %, plainly for at -50 %",
        "drain over usual: the time from the bath to the holder, against your usual",
        "noted drain over usual: press at each step",
        "Hold a plate in the hand. (some minutes; shown speaks strongly for it, absent plainly against it)",
        "Boil the bath for an hour. (some minutes; after its test alone, it alters the bath)",
        "beware For the experienced.",
        "source invented; weights: judgement, no source",
        "none of these: 1 % of plates",
        "Do you feel it? yes plainly for the table shakes no plainly against the table shakes",
    ):
        assert part in shown, part
    *lines, where = out.splitlines()
    assert all(len(line) <= 80 for line in lines)
    assert where == f"Shipped files: {ROOT / 'profiles' / 'faults'}"


def test_causes_that_were_confirmed_are_counted(home: Path, capsys: Capture) -> None:
    """Of the log's plates whose cause the photographer named; without any nothing is said of it."""
    for number in (1, 2, 3):
        fault_season.shelve_plate(home, number, LAST_DAY, {})
    assert "whose cause you named" not in run(capsys, "fault", "show", "general fog")[1]
    for number, cause in ((1, "developer too warm"), (2, "developer too warm"), (3, "light leak")):
        assert run(capsys, "log", "rate", f"{number}", "--fault", "general fog", "--cause", cause)[0] == 0
    out = " ".join(run(capsys, "fault", "show", "general fog")[1].split())
    assert out.count("whose cause you named") == 2
    assert "at work on 2 % of plates; confirmed on 2 of 3 plates whose cause you named" in out
    out = " ".join(run(capsys, "fault", "show", "light leak")[1].split())
    assert "confirmed on 1 of 3 plates whose cause you named" in out


def test_a_cause_is_shown(home: Path, capsys: Capture) -> None:
    """With the faults that it shows as."""
    own_file(home)
    status, out, _ = run(capsys, "fault", "show", "the table shakes")
    assert status == 0 and "shows as ripples in the film (nearly always, 90 %)" in out


def test_a_fault_as_json_has_its_causes(home: Path, capsys: Capture) -> None:
    """The entry as the file has it, and the entries of its causes."""
    own_file(home)
    shown = as_json(capsys, "fault", "show", "ripples")
    assert shown["causes"] == {"shaking table": 0.9}
    (cause,) = shown["cause_entries"].values()
    assert cause["evidence"][0]["points"] == [[-50.0, 6.0], [0.0, -2.0]]
    assert (cause["test"]["shown"], cause["alters"], cause["own"]) == (9.0, "bath", True)


@pytest.mark.parametrize("fault", sorted(resources.fault_catalogue(Path("nowhere"))[0].faults))
def test_every_shipped_fault_can_be_shown(home: Path, capsys: Capture, fault: str) -> None:
    """In lines of at most 80 columns, as text and as JSON."""
    status, out, err = run(capsys, "fault", "show", fault)
    assert (status, err) == (0, "") and all(len(line) <= 80 for line in out.splitlines()[:-1])
    assert as_json(capsys, "fault", "show", fault)["id"] == fault


def test_a_wrong_name_is_answered_with_the_nearest(home: Path, capsys: Capture) -> None:
    """A slip names the nearest, a part of names those that hold it; the answer is no."""
    own_file(home)
    status, out, err = run(capsys, "fault", "show", "ripple")
    assert (status, out) == (1, "") and "no fault and no cause 'ripple' (did you mean 'ripples'?)" in err
    status, _, err = run(capsys, "fault", "show", "table")
    assert status == 1 and "(did you mean 'shaking table'?)" in err
    status, _, err = run(capsys, "fault", "show", "xyzzy")
    assert status == 1 and "darkroom fault list shows them" in err


def test_show_wants_a_name_or_the_figures(home: Path, capsys: Capture) -> None:
    """Neither and both are wrong use."""
    assert run(capsys, "fault", "show")[0] == 2
    assert run(capsys, "fault", "show", "ripples", "--evidence")[0] == 2


def test_the_figures_are_listed(home: Path, capsys: Capture) -> None:
    """Every figure that evidence can be of, with its unit and how it gets recorded."""
    status, out, _ = run(capsys, "fault", "show", "--evidence")
    assert status == 0
    lines = out.splitlines()
    assert all(len(line) <= 80 for line in lines)
    assert all(f"{name.name}{name.unit and f', {name.unit}'}" in lines for name in NAMES)
    assert all(f"noted: {name.noted_by}" in " ".join(out.split()) for name in NAMES)
    assert [row["name"] for row in as_json(capsys, "fault", "show", "--evidence")] == [n.name for n in NAMES]


def test_shipped_files_are_right(home: Path, capsys: Capture) -> None:
    """The check of all shipped files finds nothing."""
    files = [str(path) for path, _ in resources.fault_files(home)]
    status, out, err = run(capsys, "fault", "check", *files)
    assert (status, out) == (0, "")
    assert err.splitlines() == [f"{len(files)} right", f"Shipped files: {ROOT / 'profiles' / 'faults'}"]


def test_a_wrong_own_file_is_named_and_the_rest_holds(home: Path, capsys: Capture) -> None:
    """Every command says what is wrong, with file and line; what is right is there."""
    own_file(home)
    broken = own_file(home, "faults:\n  haze:\n    looks: odd\n", "broken")
    status, out, err = run(capsys, "fault", "list")
    assert status == 0 and "ripples" in out and "haze" not in out
    assert err.strip() == f"{broken}:3: faults.haze: the key 'unexplained' is missing (and 2 more)"
    status, out, err = run(capsys, "fault", "check")
    assert status == 1 and out.count(f"{broken}:3: faults.haze:") == 3
    assert err.splitlines()[0] == "1 right, 1 wrong"


def test_a_cause_that_no_file_has_is_a_mistake(home: Path, capsys: Capture) -> None:
    """The check of one file knows the shipped causes and one's own; a copy of an own file repeats nothing."""
    own_file(home)
    status, out, _ = run(capsys, "fault", "check", str(own_file(home / "elsewhere")))
    assert (status, out) == (0, "")
    lone = own_file(home, OWN[OWN.index("faults:") :].replace("ripples", "waves"), "lone")
    status, out, _ = run(capsys, "fault", "check", str(lone))
    assert (status, out) == (0, "")
    wrong = own_file(home, lone.read_text().replace("shaking table", "shaking tabel"), "lone")
    (row,) = mistakes(capsys, wrong)
    assert (row["line"], row["near"]) == (7, "shaking table")


def test_all_mistakes_are_told_at_once(home: Path, capsys: Capture) -> None:
    """A name that no file has is told beside other mistakes; a cause with mistakes is there by its name."""
    text = OWN.replace("usual: 0.1", "usual: 7").replace("{shaking table: 0.9}", "{shaking tabel: 0.9}")
    text += """  rings:
    looks: rings
    unexplained: 0.01
    causes: {shaking table: 0.4}
    source: invented
"""
    rows = mistakes(capsys, own_file(home, text))
    assert [(row["line"], row["key"]) for row in rows if "no file has" in row["what"]] == [
        (19, "faults.ripples.causes.shaking tabel")
    ]
    assert any(row["key"] == "causes.shaking table.usual" for row in rows)
    assert [row["line"] for row in rows] == sorted(row["line"] for row in rows)


def test_a_file_that_cannot_be_read_is_wrong_use(home: Path, capsys: Capture) -> None:
    """A missing file and a folder are status 2, each with its reason; the others are checked all the same."""
    status, out, err = run(capsys, "fault", "check", "nowhere.yaml", str(home), str(own_file(home)))
    assert (status, out) == (2, "")
    assert "nowhere.yaml cannot be read" in err and "a folder" in err and "1 right, 2 not readable" in err


def test_links_that_lead_in_a_circle_are_wrong_use(home: Path, capsys: Capture) -> None:
    """A link to itself cannot be read, and every other file is checked and holds."""
    own_file(home)
    (home / "profiles" / "faults" / "round.yaml").symlink_to("round.yaml")
    status, out, err = run(capsys, "fault", "check")
    assert (status, out) == (2, "")
    assert "round.yaml cannot be read" in err and "1 right, 1 not readable" in err
    status, out, err = run(capsys, "fault", "list")
    assert status == 0 and "ripples" in out and err.count("\n") == 1 and "round.yaml" in err


def test_a_label_is_the_same_with_more_spaces(home: Path, capsys: Capture) -> None:
    """Two faults that a name cannot tell apart are one too many; a label is found however it is spaced."""
    own_file(home, OWN.replace("label: ripples in the film", "label: ripples   in the\u00a0film"))
    assert as_json(capsys, "fault", "show", "ripples in the film")["label"] == "ripples in the film"
    (row,) = mistakes(capsys, own_file(home, OWN.replace("ripples in the film", "General  fog")))
    assert "the fault 'general fog' stands twice" in row["what"]


def test_without_own_files_there_is_nothing_to_check(home: Path, capsys: Capture) -> None:
    """It says where they would lie."""
    status, out, err = run(capsys, "fault", "check")
    assert (status, out) == (0, "") and "profiles/faults/" in err


@pytest.mark.parametrize("name", ["usual-often", "says-attribute", "remedy-mercury"])
def test_wrong_files_are_told_as_by_the_reader(home: Path, capsys: Capture, name: str) -> None:
    """With file, line, key and the nearest word, as text and as JSON."""
    path = ROOT / "tests" / "invalid" / "faults" / f"{name}.yaml"
    status, out, err = run(capsys, "fault", "check", str(path))
    assert status == 1 and out.startswith(f"{path}:") and err.startswith("1 wrong\n")
    (row,) = mistakes(capsys, path)
    assert row["file"] == str(path) and f":{row['line']}:" in out
