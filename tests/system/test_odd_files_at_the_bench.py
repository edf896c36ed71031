"""The tool in a terminal among files and folders that no tool expects: it opens, and the plate is there."""

from __future__ import annotations

import os
import shutil
import signal
from collections.abc import Iterator
from pathlib import Path

import pytest

from darkroom.resources import profiles_dir
from tests.kit.odd_files import ESCAPES
from tests.kit.odd_home import PLACES, OddHome, environment
from tests.kit.odd_places import lines_in, struck, without_right_to_write
from tests.kit.photographer import ARGV, Photographer
from tests.kit.terminal import Terminal

pytestmark = pytest.mark.system

TRIED = (
    ("bench.json", "json wrong"), ("bench.json", "fifo"), ("bench.json", "device zero"), ("bench-id", "fifo"),
    ("bench-id", "latin 1"), ("bench.lock", "folder"), ("keys.yaml", "fifo"), ("keys.yaml", "yaml wrong"),
    ("settings.yaml", "device zero"), ("settings.yaml", "latin 1"), ("key map", "loop"), ("profile", "fifo"),
    ("day", "device zero"), ("changed", "fifo"), ("journal", "huge"), ("spilled journal", "kernel log"),
    ("catalogue", "fifo"), ("words", "folder"), ("thermometer", "device zero"), ("sound", "fifo"),
    ("kit.yaml", "fifo"), ("kit.yaml", "yaml wrong"), ("kit.yaml", "escapes"),
)  # fmt: skip


@pytest.fixture(scope="module")
def odd(tmp_path_factory: pytest.TempPathFactory) -> Iterator[OddHome]:
    """Return a log with everything in it and a plate on the bench."""
    return OddHome(tmp_path_factory.mktemp("odd"))


def test_no_file_keeps_a_plate_from_the_bench(odd: OddHome) -> None:
    """Each file the tool reads is swapped for an odd one: it opens, with the plate on the bench."""
    assert odd.plate_comes_back() is None
    for name, kind in TRIED:
        with odd.swapped(kind, PLACES[name]):
            assert (name, kind, odd.plate_comes_back()) == (name, kind, None)


def test_wrong_settings_are_told_beside_the_plate(odd: OddHome) -> None:
    """A mistake in the settings does not keep the plate away; the quiet line says what holds instead."""
    with odd.swapped("yaml wrong", PLACES["settings.yaml"]), Terminal(120, 40, env=odd.env) as terminal:
        terminal.spawn(ARGV)
        terminal.wait_for("the shipped settings hold")
        terminal.wait_for("sensitise")
        terminal.kill(signal.SIGKILL)


def test_wrong_settings_without_a_plate_are_an_error(tmp_path: Path) -> None:
    """With nothing on the bench a mistake in the settings is told, and the tool does not open."""
    (tmp_path / "home").mkdir()
    (tmp_path / "home" / "settings.yaml").write_text("sounds: {}\n")
    with Terminal(120, 40, env=environment(tmp_path)) as terminal:
        terminal.spawn(ARGV)
        assert terminal.wait() == 1
        assert "did you mean 'sound'" in terminal.screen()


@pytest.mark.skipif(
    os.geteuid() == 0 and shutil.which("setpriv") is None,
    reason="root may write everywhere; no setpriv",
)
@pytest.mark.parametrize(("name", "mode"), [("home", 0o500), ("caf\udce9", 0o500), ("home", 0o000)])
def test_a_folder_that_may_not_be_written_is_as_a_read_only_disk(
    tmp_path: Path, name: str, mode: int
) -> None:
    """The strike is kept in a spill place, nothing lies in the folder, and the plate comes back."""
    for each in (name, "state", "tmp", "user"):
        (tmp_path / each).mkdir(mode=0o700)
    home, env = tmp_path / name, environment(tmp_path) | {"DARKROOM_HOME": str(tmp_path / name)}
    home.chmod(mode)
    assert struck([*without_right_to_write(), *ARGV], env, tmp_path) is None
    home.chmod(0o700)
    assert not list(home.iterdir())
    assert lines_in(tmp_path / "state")
    assert OddHome.comes_back(ARGV, env, tmp_path) is None


def test_an_impossible_time_zone_keeps_the_strikes(tmp_path: Path) -> None:
    """With a zone that no date can say the bench works, in UTC."""
    for name in ("home", "state", "tmp", "user"):
        (tmp_path / name).mkdir(mode=0o700)
    assert struck(ARGV, environment(tmp_path) | {"TZ": "UTC-99"}, tmp_path) is None
    assert {line["at"][-6:] for line in lines_in(tmp_path / "home")} == {"+00:00"}


@pytest.mark.parametrize("name", [ESCAPES, "caf\udce9"])
def test_a_process_of_any_name_is_harmless_on_the_form(tmp_path: Path, name: str) -> None:
    """A file's name that a terminal would obey is shown without it; one that is no text is not offered."""
    profiles = tmp_path / "home" / "profiles"
    profiles.mkdir(parents=True)
    shutil.copy(profiles_dir() / "clear-glass.yaml", profiles / f"{name}.yaml")
    hand = Photographer(tmp_path / "home", 80, 24, **environment(tmp_path))
    with hand.terminal as terminal:
        hand.open()
        hand.wait("to the bench")
        shown = set()
        for _ in range(3):
            terminal.send("left")
            hand.wait(lambda screen: _process(screen) not in shown | {""})
            shown.add(_process(terminal.whole_screen()))
        assert any("taken over" in text for text in shown) is (name == ESCAPES)
        assert not any("caf" in text for text in shown)
        terminal.kill(signal.SIGTERM)
        terminal.wait()
        assert b"\x1b]0;taken over" not in terminal.data and "\u202e".encode() not in terminal.data


def _process(screen: str) -> str:
    """Return the process that the form shows."""
    return next((line.split("‹")[1].split("›")[0].strip() for line in screen.splitlines() if "‹" in line), "")
