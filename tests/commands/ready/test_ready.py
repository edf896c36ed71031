"""`darkroom ready`, run as people run it, in a home of its own."""

from __future__ import annotations

import json
import os
import resource
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

W1 = "72 01 4b 46 7f ff 0e 10 57 : crc=57 YES\n72 01 4b 46 7f ff 0e 10 57 t=23125\n"
DEVICE = "28-0316a2b3c4d5"
QUIET = "sound: {driver: none}\n"


class ReadyRun:
    """A home, a /sys and a state folder of a test's own, and the command run in them."""

    def __init__(self, tmp: Path) -> None:
        """Make the folders; the settings want no sound, so that no tone is played."""
        self.home, self.sys, self.tmp = tmp / "home", tmp / "sys", tmp
        self.home.mkdir()
        self.settings(QUIET)

    def settings(self, text: str) -> None:
        """Write the settings."""
        (self.home / "settings.yaml").write_text(text)

    def run(
        self, *options: str, before: Callable[[], None] | None = None, **environment: str
    ) -> subprocess.CompletedProcess[str]:
        """Run `darkroom ready`."""
        all_variables = {
            "PATH": os.environ["PATH"],
            "TERM": "xterm-256color",
            "LANG": "C.UTF-8",
            "HOME": str(self.tmp),
            "DARKROOM_HOME": str(self.home),
            "XDG_STATE_HOME": str(self.tmp / "state"),
            "TMPDIR": str(self.tmp),
            **environment,
        }
        command = [sys.executable, "-m", "darkroom", "ready", "--sys", str(self.sys), *options]
        return subprocess.run(
            command,
            env=all_variables,
            capture_output=True,
            text=True,
            timeout=60,
            preexec_fn=before,
            check=False,
        )

    def judged(
        self, *, before: Callable[[], None] | None = None, **environment: str
    ) -> tuple[int, dict[str, list[tuple[str, str]]], dict]:
        """Return (exit status, {about: [(state, says)]}, the whole answer) of `ready --json`."""
        done = self.run("--json", before=before, **environment)
        assert done.stderr == ""
        answer = json.loads(done.stdout)
        checks_by_subject: dict[str, list[tuple[str, str]]] = {}
        for check in answer["checks"]:
            checks_by_subject.setdefault(check["about"], []).append((check["state"], check["says"]))
        assert answer["ready"] == (done.returncode == 0)
        assert all(check["do"] for check in answer["checks"] if check["state"] == "fails")
        return done.returncode, checks_by_subject, answer


@pytest.fixture
def ready_run(tmp_path) -> ReadyRun:
    """Return a house in a folder of the test's own."""
    return ReadyRun(tmp_path)


def states(checks_by_subject: dict[str, list[tuple[str, str]]], about: str) -> list[str]:
    """Return the states of the checks about one thing."""
    return [state for state, _ in checks_by_subject[about]]


def test_a_house_in_order_is_ready(ready_run) -> None:
    """With a disk, right settings and the shipped processes it is ready, and leaves nothing behind."""
    status, checks_by_subject, answer = ready_run.judged()
    assert status == 0
    for about in ("disk", "settings", "keys", "process files", "day's sheet"):
        assert set(states(checks_by_subject, about)) == {"works"}
    assert "written and safe on the disk within" in checks_by_subject["disk"][0][1]
    assert answer["sensors"] == []
    assert [path.name for path in ready_run.home.iterdir()] == ["settings.yaml"]
    assert not (ready_run.tmp / "state").exists()


def test_text_for_people(ready_run) -> None:
    """Plain text says each thing with its state; the verdict goes to standard error."""
    done = ready_run.run()
    assert done.returncode == 0
    assert done.stderr == "\nready\n"
    assert "  ok     8 read, all right" in done.stdout
    assert "red film over the screen" in done.stdout
    assert "none found; a text file with a number in it serves as well" in done.stdout
    assert "\x1b" not in done.stdout


def test_sensors_are_found_with_lines_to_paste(ready_run) -> None:
    """A probe on the wire is listed with its value, and the lines to paste make it read."""
    wire = ready_run.sys / "bus/w1/devices" / DEVICE / "w1_slave"
    wire.parent.mkdir(parents=True)
    wire.write_text(W1)
    status, _, answer = ready_run.judged()
    assert status == 0
    assert [(s["kind"], s["device"], s["value"]) for s in answer["sensors"]] == [("w1", DEVICE, 23.125)]
    ready_run.settings(QUIET + answer["paste"] + "\n")
    status, checks_by_subject, answer = ready_run.judged()
    assert status == 0
    assert checks_by_subject["thermometer bath"] == [("works", f"w1 {DEVICE}: 23.1 °C")]
    assert "source: bath" not in answer["paste"]
    done = ready_run.run()
    assert f"w1 {DEVICE}: 23.1 °C" in done.stdout


def test_a_bound_sensor_that_does_not_read_is_missing(ready_run) -> None:
    """A thermometer of the settings that is not there is said with what happens without it; it is ready."""
    ready_run.settings(
        QUIET + f"thermometers: [{{source: bath, kind: w1, device: {DEVICE}, name: long probe}}]\n"
    )
    status, checks_by_subject, _ = ready_run.judged()
    assert status == 0
    says = f"long probe: no 1-wire thermometer {DEVICE} is there; without it: the bath is typed, or assumed"
    assert checks_by_subject["thermometer bath"] == [("advice", says)]


def test_humidity_is_read_as_the_bench_reads_it(ready_run) -> None:
    """An absurd hygrometer is as good as none, a right one is shown in per cent."""
    air = ready_run.home / "air.txt"
    ready_run.settings(QUIET + "humidity: {kind: file, path: air.txt}\n")
    air.write_text("48 %")
    assert ready_run.judged()[1]["hygrometer"] == [("works", "file air.txt: 48.0 %")]
    air.write_text("480")
    status, checks_by_subject, _ = ready_run.judged()
    says = "file air.txt: 480.0 % is absurd; without it: the humidity is typed, or assumed"
    assert (status, checks_by_subject["hygrometer"]) == (0, [("advice", says)])


def test_wrong_settings_fail_with_their_line(ready_run) -> None:
    """A mistake in the settings is told with file, line, key and the nearest word."""
    ready_run.settings("sound:\n  volum: 80\n  driver: none\n")
    status, checks_by_subject, _ = ready_run.judged()
    assert status == 1
    assert checks_by_subject["settings"] == [
        (
            "fails",
            f"{ready_run.home}/settings.yaml:2: sound.volum: unknown key 'volum' (did you mean 'volume'?)",
        ),
    ]


def test_a_right_kit_is_counted(ready_run) -> None:
    """What the kit holds is told; without one it is said that names are just words."""
    assert "just words" in ready_run.judged()[1]["kit"][0][1]
    (ready_run.home / "kit.yaml").write_text("lenses: [{name: brass lens}, {name: long lens}]\nlights: []\n")
    (check,) = ready_run.judged()[1]["kit"]
    assert check == ("works", f"{ready_run.home}/kit.yaml: 2 lenses")


def test_a_wrong_kit_is_done_without(ready_run) -> None:
    """A mistake in the kit is told with file, line, key and the nearest word; it is ready without it."""
    (ready_run.home / "kit.yaml").write_text("lights:\n  - {name: north window, kind: windw}\n")
    status, checks_by_subject, _ = ready_run.judged()
    (state, says), (left_state, left) = checks_by_subject["kit"]
    assert (status, state, left_state) == (0, "advice", "works")
    assert says.startswith(
        f"{ready_run.home}/kit.yaml:2: the first light (north window), kind: 'windw' is none of"
    )
    assert "did you mean 'window'" in says
    assert left.startswith(f"{ready_run.home}/kit.yaml: 0 of 1 light known; the name of a thing")


def test_what_stays_of_a_kit_is_told_once_with_its_f_numbers(ready_run) -> None:
    """Below all mistakes stands how many things are left, and as which f-numbers the stops were read."""
    lenses = [
        "{name: brass 210, focal_length: 210 mm, stops: {wide open: f/3.6, no. 2: 26 mm, US 8: US 8}}",
        "{name: long lens, stops: {no. 1: 16, no. 2: a peephole}}",
        "{name: box lens, focal_length: 21}",
        "{name: plain lens}",
    ]
    text = "lenses:\n" + "".join(f"  - {lens}\n" for lens in lenses)
    (ready_run.home / "kit.yaml").write_text(text + "lights: [{name: attic, kind: window}]\n")
    says = [says for _, says in ready_run.judged()[1]["kit"]]
    assert "the second lens (long lens), stop 'no. 2': 'a peephole' cannot be read" in says[0]
    assert "the third lens (box lens), focal_length: '21' has no unit" in says[1]
    assert says[2:] == [
        f"{ready_run.home}/kit.yaml: 2 of 4 lenses, 1 light known; the name of a thing with a mistake is "
        "just a word",
        "brass 210: wide open f/3.6, no. 2 f/8.08 (26 mm), US 8 f/11.3",
    ]


def test_a_wrong_process_file_of_ones_own_cannot_be_chosen(ready_run) -> None:
    """A mistake in one of the user's own process files is told with its place, and the others are ready."""
    own = ready_run.home / "profiles"
    own.mkdir()
    (own / "mine.yaml").write_text("name: Mine\nstages: [{name: coat, light: wite, ends: by_eye}]\n")
    status, checks_by_subject, _ = ready_run.judged()
    assert status == 0
    assert set(states(checks_by_subject, "your process files")) == {"advice"}
    assert any("did you mean 'white'" in says for _, says in checks_by_subject["your process files"])
    assert all("cannot be chosen" in says for _, says in checks_by_subject["your process files"])


def test_a_wrong_recipe_of_ones_own_is_told(ready_run) -> None:
    """A mistake in one of the user's own recipes is told with its place; the shipped ones are all right."""
    own = ready_run.home / "profiles" / "solutions"
    own.mkdir(parents=True)
    (own / "mine.yaml").write_text("name: Mine\nmakes: bahts\nvolume: 1 L\ningredients: []\nsteps: [Mix.]\n")
    status, checks_by_subject, _ = ready_run.judged()
    assert status == 0
    assert set(states(checks_by_subject, "your recipes")) == {"advice"}
    assert any("did you mean 'bath'" in says for _, says in checks_by_subject["your recipes"])
    assert states(checks_by_subject, "recipes") == ["works"]


def test_a_wrong_sheet_of_the_day_and_wrong_words_are_done_without(ready_run) -> None:
    """A mistake in one's own sheet, or words for marks, is told with the nearest right word; it is ready."""
    own = ready_run.home / "profiles" / "day"
    own.mkdir(parents=True)
    (own / "day.yaml").write_text("befor: []\nafter: []\n")
    words = ready_run.home / "profiles" / "words"
    words.mkdir()
    (words / "marks.yaml").write_text("mark: [dust]\n")
    status, checks_by_subject, _ = ready_run.judged()
    assert status == 0
    assert any("did you mean 'before'" in says for _, says in checks_by_subject["day's sheet"])
    assert any("did you mean 'marks'" in says for _, says in checks_by_subject["words for marks"])


def test_a_wrong_key_map_fails(ready_run) -> None:
    """A mistake in the key map is a failure with the nearest word."""
    (ready_run.home / "keys.yaml").write_text("goo: [space]\n")
    status, checks_by_subject, _ = ready_run.judged()
    assert (status, states(checks_by_subject, "keys")) == (1, ["fails"])
    assert "did you mean 'go'" in checks_by_subject["keys"][0][1]


def test_what_the_tool_cannot_do_without_fails(ready_run) -> None:
    """A terminal is only judged where one is connected; an impossible time zone is told, and UTC holds."""
    status, checks_by_subject, _ = ready_run.judged(TERM="dumb")
    assert status == 0 and "colours" not in checks_by_subject  # no terminal is connected to this test
    done = ready_run.run(TZ="UTC-99")
    assert done.returncode == 0
    assert "note   there is no time zone 'UTC-99': times are in UTC" in done.stdout


def test_a_home_that_cannot_be_made_is_said(ready_run) -> None:
    """Where no folder of the log can be, that is the answer; one that may not be made there fails."""
    (ready_run.tmp / "file").write_text("")
    for home, reason in (("file", "is a file: a log needs a folder"), ("file/home", "Not a directory")):
        done = ready_run.run(DARKROOM_HOME=str(ready_run.tmp / home))
        assert (done.returncode, reason in done.stderr) == (2, True), done.stderr
    status, checks_by_subject, _ = ready_run.judged(DARKROOM_HOME="/proc/self")
    assert status == 1
    assert checks_by_subject["disk"][0][0] == "fails"
    assert "cannot be written" in checks_by_subject["disk"][0][1]


def test_a_disk_that_takes_only_a_part_fails(ready_run) -> None:
    """A write cut short, as on a full disk, is a failure, and no remains are left."""

    def small() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (100, 100))

    status, checks_by_subject, _ = ready_run.judged(before=small, PYTHONDONTWRITEBYTECODE="1")
    assert (status, states(checks_by_subject, "disk")) == (1, ["fails"])
    assert "only a part was written" in checks_by_subject["disk"][0][1]
    assert states(checks_by_subject, "spill") == ["advice", "advice"]
    assert [path.name for path in ready_run.home.iterdir()] == ["settings.yaml"]


def test_sound_switched_off_by_hand_is_no_failure(ready_run) -> None:
    """With sound switched off in the settings `ready` gives advice and exits with 0."""
    status, checks_by_subject, _ = ready_run.judged()
    assert (status, checks_by_subject["sound"]) == (
        0,
        [("advice", "sound is off by setting: nothing is called")],
    )


def test_white_light_that_the_machine_tells_of(ready_run) -> None:
    """A lit keyboard and a bright panel are told from /sys; a desktop brings its own advice."""
    led, panel = ready_run.sys / "class/leds/x::kbd_backlight", ready_run.sys / "class/backlight/panel0"
    for folder, files in ((led, {"brightness": "2"}), (panel, {"brightness": "80", "max_brightness": "100"})):
        folder.mkdir(parents=True)
        for name, text in files.items():
            (folder / name).write_text(text)
    status, checks_by_subject, _ = ready_run.judged(WAYLAND_DISPLAY="wayland-0")
    assert status == 0
    assert checks_by_subject["keyboard"] == [("advice", "the keyboard is lit (x::kbd_backlight)")]
    assert checks_by_subject["panel"] == [("advice", "the panel's backlight stands at 80 %")]
    assert {"lock", "notices", "window", "film"} <= set(checks_by_subject)
    (led / "brightness").write_text("0")
    (panel / "brightness").write_text("10")
    _, checks_by_subject, _ = ready_run.judged()
    assert (states(checks_by_subject, "keyboard"), states(checks_by_subject, "panel")) == (
        ["works"],
        ["works"],
    )
    assert "lock" not in checks_by_subject


def test_help_says_that_it_is_not_red(ready_run) -> None:
    """The help has an example, and says that only the full-screen tool is red."""
    done = ready_run.run("--help")
    assert done.returncode == 0
    assert "darkroom ready --json" in done.stdout
    assert "Only the full-screen tool is red" in " ".join(done.stdout.split())


def test_a_folder_that_cannot_be_is_told_in_one_line(tmp_path: Path) -> None:
    """A name longer than any file system takes ends the command with status 2 and the reason."""
    run = ReadyRun(tmp_path)
    run.sys = Path("x" * 300)
    done = run.run()
    assert (done.returncode, len(done.stderr.splitlines())) == (2, 1)
    assert "File name too long" in done.stderr
