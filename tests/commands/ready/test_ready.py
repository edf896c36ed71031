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


class House:
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
        self, *words: str, before: Callable[[], None] | None = None, **environment: str
    ) -> subprocess.CompletedProcess[str]:
        """Run `darkroom ready`."""
        told = {
            "PATH": os.environ["PATH"], "TERM": "xterm-256color", "LANG": "C.UTF-8", "HOME": str(self.tmp),
            "DARKROOM_HOME": str(self.home), "XDG_STATE_HOME": str(self.tmp / "state"),
            "TMPDIR": str(self.tmp), **environment,
        }  # fmt: skip
        command = [sys.executable, "-m", "darkroom", "ready", "--sys", str(self.sys), *words]
        return subprocess.run(
            command, env=told, capture_output=True, text=True, timeout=60, preexec_fn=before, check=False
        )

    def judged(
        self, *, before: Callable[[], None] | None = None, **environment: str
    ) -> tuple[int, dict[str, list[tuple[str, str]]], dict]:
        """Return (exit status, {about: [(state, says)]}, the whole answer) of `ready --json`."""
        done = self.run("--json", before=before, **environment)
        assert done.stderr == ""
        answer = json.loads(done.stdout)
        found: dict[str, list[tuple[str, str]]] = {}
        for check in answer["checks"]:
            found.setdefault(check["about"], []).append((check["state"], check["says"]))
        assert answer["ready"] == (done.returncode == 0)
        assert all(check["do"] for check in answer["checks"] if check["state"] == "fails")
        return done.returncode, found, answer


@pytest.fixture
def house(tmp_path) -> House:
    """Return a house in a folder of the test's own."""
    return House(tmp_path)


def states(found: dict[str, list[tuple[str, str]]], about: str) -> list[str]:
    """Return the states of the checks about one thing."""
    return [state for state, _ in found[about]]


def test_a_house_in_order_is_ready(house) -> None:
    """With a disk, right settings and the shipped processes it is ready, and leaves nothing behind."""
    status, found, answer = house.judged()
    assert status == 0
    for about in ("disk", "settings", "keys", "process files"):
        assert set(states(found, about)) == {"works"}
    assert "written and safe on the disk within" in found["disk"][0][1]
    assert answer["sensors"] == []
    assert [path.name for path in house.home.iterdir()] == ["settings.yaml"]
    assert not (house.tmp / "state").exists()


def test_text_for_people(house) -> None:
    """Plain text says each thing with its state; the verdict goes to standard error."""
    done = house.run()
    assert done.returncode == 0
    assert done.stderr == "\nready\n"
    assert "  ok     8 read, all right" in done.stdout
    assert "red film over the screen" in done.stdout
    assert "none found; a text file with a number in it serves as well" in done.stdout
    assert "\x1b" not in done.stdout


def test_sensors_are_found_with_lines_to_paste(house) -> None:
    """A probe on the wire is listed with its value, and the lines to paste make it read."""
    wire = house.sys / "bus/w1/devices" / DEVICE / "w1_slave"
    wire.parent.mkdir(parents=True)
    wire.write_text(W1)
    status, _, answer = house.judged()
    assert status == 0
    assert [(s["kind"], s["device"], s["value"]) for s in answer["sensors"]] == [("w1", DEVICE, 23.125)]
    house.settings(QUIET + answer["paste"] + "\n")
    status, found, answer = house.judged()
    assert status == 0
    assert found["thermometer bath"] == [("works", f"w1 {DEVICE}: 23.1 °C")]
    assert "source: bath" not in answer["paste"]
    done = house.run()
    assert f"w1 {DEVICE}: 23.1 °C" in done.stdout


def test_a_bound_sensor_that_does_not_read_fails(house) -> None:
    """A thermometer of the settings that is not there is a failure, with what to do."""
    house.settings(
        QUIET + f"thermometers: [{{source: bath, kind: w1, device: {DEVICE}, name: long probe}}]\n"
    )
    status, found, _ = house.judged()
    assert status == 1
    assert found["thermometer bath"] == [
        ("fails", f"long probe: no 1-wire thermometer {DEVICE} is there"),
    ]


def test_humidity_is_read_as_the_bench_reads_it(house) -> None:
    """An absurd hygrometer fails, a right one is shown in per cent."""
    air = house.home / "air.txt"
    house.settings(QUIET + "humidity: {kind: file, path: air.txt}\n")
    air.write_text("48 %")
    assert house.judged()[1]["hygrometer"] == [("works", "file air.txt: 48.0 %")]
    air.write_text("480")
    status, found, _ = house.judged()
    assert (status, found["hygrometer"]) == (1, [("fails", "file air.txt: 480.0 % is absurd")])


def test_wrong_settings_fail_with_their_line(house) -> None:
    """A mistake in the settings is told with file, line, key and the nearest word."""
    house.settings("sound:\n  volum: 80\n  driver: none\n")
    status, found, _ = house.judged()
    assert status == 1
    assert found["settings"] == [
        ("fails", f"{house.home}/settings.yaml:2: sound.volum: unknown key 'volum' (did you mean 'volume'?)"),
    ]


def test_a_wrong_process_file_of_ones_own_fails(house) -> None:
    """The user's own process files are read too."""
    own = house.home / "profiles"
    own.mkdir()
    (own / "mine.yaml").write_text("name: Mine\nstages: [{name: coat, light: wite, ends: by_eye}]\n")
    status, found, _ = house.judged()
    assert status == 1
    assert any("did you mean 'white'" in says for _, says in found["your process files"])


def test_a_wrong_key_map_fails(house) -> None:
    """A key map with a mistake is told."""
    (house.home / "keys.yaml").write_text("goo: [space]\n")
    status, found, _ = house.judged()
    assert (status, states(found, "keys")) == (1, ["fails"])
    assert "did you mean 'go'" in found["keys"][0][1]


def test_a_home_that_cannot_be_made_fails(house) -> None:
    """Where the folder of the log cannot be made, it is not ready, and the reason is said."""
    (house.tmp / "file").write_text("")
    status, found, _ = house.judged(DARKROOM_HOME=str(house.tmp / "file" / "home"))
    assert status == 1
    assert found["disk"][0][0] == "fails"
    assert "cannot be written" in found["disk"][0][1]


def test_a_disk_that_takes_only_a_part_fails(house) -> None:
    """A write cut short, as on a full disk, is a failure, and no remains are left."""

    def small() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (100, 100))

    status, found, _ = house.judged(before=small, PYTHONDONTWRITEBYTECODE="1")
    assert (status, states(found, "disk")) == (1, ["fails"])
    assert "only a part was written" in found["disk"][0][1]
    assert states(found, "spill") == ["advice", "advice"]
    assert [path.name for path in house.home.iterdir()] == ["settings.yaml"]


def test_sound_switched_off_by_hand_is_no_failure(house) -> None:
    """Who wants no sound is told what that means, and is ready."""
    status, found, _ = house.judged()
    assert (status, found["sound"]) == (0, [("advice", "sound is off by setting: nothing is called")])


def test_white_light_that_the_machine_tells_of(house) -> None:
    """A lit keyboard and a bright panel are told from /sys; a desktop brings its own advice."""
    led, panel = house.sys / "class/leds/x::kbd_backlight", house.sys / "class/backlight/panel0"
    for folder, files in ((led, {"brightness": "2"}), (panel, {"brightness": "80", "max_brightness": "100"})):
        folder.mkdir(parents=True)
        for name, text in files.items():
            (folder / name).write_text(text)
    status, found, _ = house.judged(WAYLAND_DISPLAY="wayland-0")
    assert status == 0
    assert found["keyboard"] == [("advice", "the keyboard is lit (x::kbd_backlight)")]
    assert found["panel"] == [("advice", "the panel's backlight stands at 80 %")]
    assert {"lock", "notices", "window", "film"} <= set(found)
    (led / "brightness").write_text("0")
    (panel / "brightness").write_text("10")
    _, found, _ = house.judged()
    assert (states(found, "keyboard"), states(found, "panel")) == (["works"], ["works"])
    assert "lock" not in found


def test_help_says_that_it_is_not_red(house) -> None:
    """The help has an example, and says that only the full-screen tool is red."""
    done = house.run("--help")
    assert done.returncode == 0
    assert "darkroom ready --json" in done.stdout
    assert "Only the full-screen tool is red" in " ".join(done.stdout.split())
