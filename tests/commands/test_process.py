"""`darkroom process` as it is used: what it prints where, and with which exit status."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from darkroom import resources
from darkroom.process import timing, wetness
from tests.kit.command_line import Capture, run

INVALID = Path(__file__).parent.parent / "invalid"


@pytest.fixture(autouse=True)
def own_log(home: Path) -> None:
    """Let no process of the user's own be among the shipped ones."""


def test_list_names_every_shipped_process(capsys: Capture) -> None:
    """The list names each shipped file, as text and as JSON."""
    status, out, _ = run(capsys, "process", "list")
    assert status == 0
    stems = [path.stem for path in resources.shipped_processes()]
    assert [line.split()[0] for line in out.splitlines()] == stems
    status, out, _ = run(capsys, "process", "list", "--json")
    assert [entry["process"] for entry in json.loads(out)] == stems
    assert all(Path(entry["file"]).is_file() for entry in json.loads(out))


def test_a_process_of_the_users_own_is_known_by_name(capsys: Capture, home: Path) -> None:
    """A copy in profiles/ is listed, shown and timed by its name; a shipped name stays the shipped one's."""
    (home / "profiles").mkdir(parents=True)
    text = (resources.profiles_dir() / "tintype.yaml").read_text()
    own = home / "profiles" / "winter.yaml"
    own.write_text(text.replace("name: Tintype", "name: Winter tintype"))
    (home / "profiles" / "tintype.yaml").write_text("name: hides nothing\n")
    (home / "profiles" / "broken.yaml").write_text("name: [\n")
    status, out, err = run(capsys, "process", "list")
    assert status == 0
    assert out.splitlines()[-1].split(maxsplit=1) == [
        "winter",
        "Winter tintype: a positive on black-lacquered metal",
    ]
    assert "broken has mistakes: darkroom process check" in err
    for word in ("winter", "Winter tintype"):
        status, out, _ = run(capsys, "process", "show", word)
        assert status == 0
        assert f"  file: {own}" in out.splitlines()
    assert run(capsys, "process", "times", "winter")[0] == 0
    _, out, _ = run(capsys, "process", "show", "tintype")
    assert f"  file: {resources.profiles_dir() / 'tintype.yaml'}" in out.splitlines()
    status, _, err = run(capsys, "process", "show", "wintr")
    assert status == 2
    assert "did you mean 'winter'?" in err


def test_show_tells_the_whole_process(capsys: Capture) -> None:
    """Each stage is shown with its light, and its cautions; JSON gives the journal's form."""
    status, out, _ = run(capsys, "process", "show", "clear-glass-cyanide")
    assert status == 0
    process = resources.load_process("clear-glass-cyanide")
    for stage in process.stages:
        assert stage.shown in out
        assert all(caution in out for caution in stage.cautions)
    assert process.stage("fix").confirm in out
    used = [line.strip() for line in out.splitlines() if "uses the bottle" in line]
    roles = ("collodion", "bath", "developer", "fixer", "varnish")
    assert used == [f"uses the bottle in the role: {role}" for role in roles]
    _, out, _ = run(capsys, "process", "show", "tintype", "--json")
    assert [stage["name"] for stage in json.loads(out)["stages"]][:3] == ["prepare", "coat", "sensitise"]


def test_check_prints_each_problem_and_says_no(capsys: Capture) -> None:
    """Problems go to standard output, the count to standard error; the exit status is 1."""
    wrong = str(INVALID / "unknown-key.yaml")
    right = str(resources.profiles_dir() / "tintype.yaml")
    status, out, err = run(capsys, "process", "check", wrong, right)
    assert status == 1
    assert out.splitlines() == [f"{wrong}:31: stages[5].hintt: unknown key 'hintt' (did you mean 'hint'?)"]
    assert err.strip() == "1 right, 1 wrong"


def test_show_tells_what_is_said_at_each_moment(capsys: Capture) -> None:
    """Large verbs and sentences stand by their moment, those the file leaves to the trade too."""
    _, out, _ = run(capsys, "process", "show", "clear-glass")
    bath, expose = (out.split(f"  {name}\n")[1].split("\n\n")[0] for name in ("sensitise", "expose"))
    assert "    running:  Leave it in. Lift at the call.\n" in bath
    assert "    due:      LIFT  Press, lift, drain.\n" in bath
    assert "    a press before its time: is asked" in bath
    assert "    lead-in:  UNCAP\n" in expose
    assert "every 2 min: change" in out.split("  wash\n")[1]
    assert out.split("  dry\n")[1].split("\n\n")[0].count("due:") == 0
    _, out, _ = run(capsys, "process", "show", str(INVALID.parent / "fixtures/processes/tintype.yaml"))
    bath = out.split("  sensitise\n")[1].split("\n\n")[0]
    assert "    running:  Strike, then lift.\n    due:      LIFT\n" in bath
    assert "ready:" not in bath


def test_check_prints_mistakes_as_json(capsys: Capture, tmp_path: Path) -> None:
    """A list of file, line, key, what and near; null where there is none; the exit status is the same."""
    wrong, empty = str(INVALID / "unknown-key.yaml"), str(INVALID / "empty.yaml")
    right = str(resources.profiles_dir() / "tintype.yaml")
    status, out, err = run(capsys, "process", "check", "--json", wrong, empty, right)
    assert status == 1
    assert json.loads(out) == [
        {"file": wrong, "line": 31, "key": "stages[5].hintt", "what": "unknown key 'hintt'", "near": "hint"},
        {"file": empty, "line": None, "key": None, "what": "the file is empty", "near": None},
    ]
    assert err.strip() == "1 right, 2 wrong"
    status, out, _ = run(capsys, "process", "check", "--json", right)
    assert (status, json.loads(out)) == (0, [])
    status, out, err = run(capsys, "process", "check", "--json", wrong, str(tmp_path / "no.yaml"))
    assert status == 2
    assert [problem["line"] for problem in json.loads(out)] == [31]
    assert "No such file" in err


def with_unrecorded_verb(folder: Path) -> tuple[Path, int]:
    """Write the tintype with a verb that has no recording; return the file, and the verb's line in it."""
    path = folder / "own.yaml"
    text = (resources.profiles_dir() / "tintype.yaml").read_text(encoding="utf-8")
    path.write_text(text.replace("verb: {due: lift}", "verb: {due: heben}"), encoding="utf-8")
    return path, text[: text.index("verb: {due: lift}")].count("\n") + 1


def test_check_notes_what_has_no_recording(
    capsys: Capture, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Such words are noted on standard error and in the JSON, with what is said instead; no mistake."""
    monkeypatch.setenv("DARKROOM_HOME", str(tmp_path))
    path, line = with_unrecorded_verb(tmp_path)
    what = "no recording of 'heben': says 'sensitise' instead"
    status, out, err = run(capsys, "process", "check", str(path))
    assert (status, out) == (0, "")
    assert err.splitlines() == [f"note: {path}:{line}: stages[3].verb.due: {what}", "1 right"]
    status, out, err = run(capsys, "process", "check", "--json", str(path))
    place = {"file": str(path), "line": line, "key": "stages[3].verb.due", "what": what, "near": None}
    assert (status, json.loads(out)) == (0, [{**place, "words": ["heben"], "instead": "sensitise"}])
    assert "note:" in err


def test_check_knows_the_recordings_of_ones_own_folder(
    capsys: Capture, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A word recorded in the folder that the settings name is not noted; wrong settings do not matter."""
    monkeypatch.setenv("DARKROOM_HOME", str(tmp_path))
    path, _ = with_unrecorded_verb(tmp_path)
    (tmp_path / "voice").mkdir()
    (tmp_path / "voice" / "heben.wav").write_bytes(b"")
    (tmp_path / "settings.yaml").write_text(f"sound:\n  folder: {tmp_path}\n")
    assert run(capsys, "process", "check", str(path)) == (0, "", "1 right\n")
    (tmp_path / "settings.yaml").write_text("sound: [\n")
    status, _, err = run(capsys, "process", "check", str(path))
    assert status == 0
    assert "heben" in err


ODD = "odd\x1b[31m\x9b\u202e.yaml"
"""A file name that would colour a terminal and turn its writing."""


@pytest.mark.parametrize("words", [["check"], ["show"], ["times"], ["check", "--json"]])
def test_no_file_name_steers_the_terminal(capsys: Capture, tmp_path: Path, words: list[str]) -> None:
    """Whatever a file is called, what is printed of it has no sign that a terminal obeys."""
    odd = tmp_path / ODD
    for text in (
        None,
        "name: x\n",
        "name: x\nsensitive: never\nstages: [{name: a, light: red, ends: by_eye}]\n",
    ):
        if text is not None:
            odd.write_text(text)
        _, out, err = run(capsys, "process", *words, str(odd))
        assert (out + err).replace("\n", "").isprintable()
        if "--json" in words and text == "name: x\n":
            assert json.loads(out)[0]["file"] == str(odd)


def test_check_of_right_files_is_silent_and_done(capsys: Capture) -> None:
    """Right files print nothing on standard output and exit 0."""
    status, out, _ = run(capsys, "process", "check", *(str(path) for path in resources.shipped_processes()))
    assert (status, out) == (0, "")


def test_check_of_what_cannot_be_read_is_wrong_use(capsys: Capture, tmp_path: Path) -> None:
    """A folder, a missing file or no file at all is wrong use, even beside a wrong file."""
    for words in (
        [str(tmp_path)],
        [str(tmp_path / "no.yaml")],
        [],
        [str(INVALID / "tab.yaml"), str(tmp_path)],
    ):
        status, _, err = run(capsys, "process", "check", *words)
        assert status == 2
        assert err
    status, out, err = run(capsys, "process", "check", str(INVALID / "tab.yaml"), str(tmp_path / "no.yaml"))
    assert "a tab" in out
    assert "1 wrong, 1 not readable" in err


def test_times_follow_the_temperatures_given(capsys: Capture) -> None:
    """Each stage's seconds are those of its own liquid's temperature, the wet time those of the air."""
    status, out, _ = run(
        capsys,
        "process",
        "times",
        "clear-glass",
        "--temperature",
        "bath=10C,developer=68F",
        "--temperature",
        "room=30C",
        "--humidity",
        "30",
        "--json",
    )
    assert status == 0
    answer = json.loads(out)
    process = resources.load_process("clear-glass")
    assert set(answer) == {"process", "stages", "wet_window"}
    assert [set(stage) for stage in answer["stages"]] == [{"stage", "seconds", "ends"}] * len(process.stages)
    assert [stage["stage"] for stage in answer["stages"]] == [stage.name for stage in process.stages]
    seconds = {stage["stage"]: stage["seconds"] for stage in answer["stages"]}
    assert seconds["sensitise"] == 270
    assert seconds["develop"] == 15
    assert seconds["wash"] == 900
    assert seconds["expose"] is None
    assert seconds["fix"] is None
    assert process.wet_window is not None
    assert answer["wet_window"] == pytest.approx(
        wetness.window_seconds(process.wet_window, 30, 30), abs=0.001
    )


def test_a_word_for_the_air_gives_the_wet_time_of_its_number(capsys: Capture) -> None:
    """A dry room shortens the wet time just as 30 % does."""
    answers = [
        json.loads(run(capsys, "process", "times", "tintype", "--humidity", air, "--json")[1])
        for air in ("dry", "30 %", "very dry", "damp")
    ]
    wet = [answer["wet_window"] for answer in answers]
    assert wet[0] == wet[1]
    assert wet[2] < wet[0] < wet[3]


def test_one_temperature_counts_for_every_liquid(capsys: Capture) -> None:
    """A temperature without a name counts for all; a named one wins over it."""
    _, out, _ = run(capsys, "process", "times", "negative", "--temperature", "bath=25C,18C", "--json")
    seconds = {stage["stage"]: stage["seconds"] for stage in json.loads(out)["stages"]}
    process = resources.load_process("negative")
    bath, developer = process.index("sensitise"), process.index("develop")
    assert seconds["sensitise"] == pytest.approx(timing.stage_seconds(process, bath, 25.0), abs=0.001)
    assert seconds["develop"] == pytest.approx(timing.stage_seconds(process, developer, 18.0), abs=0.001)


def test_a_process_without_a_wet_window_has_none(capsys: Capture, tmp_path: Path) -> None:
    """Without a wet window its seconds are null."""
    path = tmp_path / "dry.yaml"
    path.write_text("name: Dry\nsensitive: never\nstages:\n  - {name: rinse, light: white, ends: by_eye}\n")
    status, out, _ = run(capsys, "process", "times", str(path), "--json")
    assert status == 0
    assert json.loads(out) == {
        "process": "Dry",
        "wet_window": None,
        "stages": [{"stage": "rinse", "seconds": None, "ends": "by_eye"}],
    }


def test_times_in_words_say_what_is_an_estimate_and_what_is_outside(
    capsys: Capture,
) -> None:
    """The plain table calls washing and wet time estimates, and names a bath outside its limits."""
    _, out, _ = run(capsys, "process", "times", "clear-glass", "--temperature", "bath=8C")
    lines = {line.split()[0]: line for line in out.splitlines()}
    assert "outside 10 °C to 32 °C" in lines["sensitise"]
    assert "estimate" in lines["wash"]
    assert "estimate" in lines["stays"]
    assert "10 min" in lines["stays"]


@pytest.mark.parametrize(
    ("words", "phrase"),
    [
        (["times", "tintipe"], "did you mean 'tintype'"),
        (["show", "tintipe"], "did you mean 'tintype'"),
        (["times", "tintype", "--temperature", "20"], "has no unit"),
        (["times", "tintype", "--temperature", "bat=20C"], "did you mean 'bath'"),
        (["times", "tintype", "--temperature", "bath="], "nothing is written"),
        (["times", "tintype", "--humidity", "120"], "out of range"),
        (["times", "tintype", "--humidity", "damm"], "did you mean 'damp'"),
        (["shew"], "did you mean 'show'?"),
    ],
)
def test_wrong_use_is_told_on_standard_error(capsys: Capture, words: list[str], phrase: str) -> None:
    """Wrong words bring a reason on standard error, nothing on standard output, and exit 2."""
    status, out, err = run(capsys, "process", *words)
    assert (status, out) == (2, "")
    assert phrase in err


@pytest.mark.parametrize("words", [[], ["list"], ["show"], ["check"], ["times"]])
def test_help_has_an_example_and_says_what_is_red(capsys: Capture, words: list[str]) -> None:
    """Every help says that it is not red; every command's help gives an example."""
    status, out, _ = run(capsys, "process", *words, "--help")
    assert status == 0
    assert "Only the full-screen tool is red" in " ".join(out.split())
    if words:
        assert f"Example: darkroom process {words[0]}" in " ".join(out.split())


def test_json_is_utf_8_in_any_locale(tmp_path: Path) -> None:
    """JSON has one encoding, whatever the locale writes (RFC 8259, section 8.1)."""
    file = tmp_path / "gull.yaml"
    text = (resources.profiles_dir() / "clear-glass.yaml").read_text(encoding="utf-8")
    file.write_text(re.sub(r"(?m)^name: .*$", "name: Möwe", text), encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "darkroom", "process", "show", str(file), "--json"],
        capture_output=True,
        check=True,
        env={**os.environ, "PYTHONIOENCODING": "latin-1"},
    )
    assert json.loads(done.stdout.decode("utf-8"))["name"] == "Möwe"
