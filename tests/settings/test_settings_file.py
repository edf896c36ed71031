"""The settings file: what is right is read, every mistake is named with its line, key and nearest word."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from darkroom.devices.thermometers.discover import Found, to_paste
from darkroom.devices.thermometers.sensor import Binding
from darkroom.errors import SettingsError
from darkroom.resources import read_key_map as load_map
from darkroom.settings.settings import Settings, SoundChoice, load, parse, path_in

WRONG = Path(__file__).parent / "wrong"

ONE = "thermometers[1]"
# (file, line, key, telling phrase, nearest right word)
MISTAKES: list[tuple[str, int | None, str | None, str, str | None]] = [
    ("alias", 1, "sound", "an anchor (&loud)", None),
    ("bad-yaml", 2, None, "not YAML", None),
    ("brightness-half", 1, "brightness", "no whole number", None),
    ("brightness-zero", 1, "brightness", "between 1 and 5", None),
    ("channel-no-word", 5, f"{ONE}.channel", "no channel: expected a word such as temp1", None),
    ("channel-with-path", 5, f"{ONE}.channel", "a path already names its channel", None),
    ("device-and-path", 5, f"{ONE}.path", "a device or a path, not both", None),
    ("device-is-path", 4, f"{ONE}.device", "write it under the key 'path'", None),
    ("device-missing", 2, ONE, "the key 'device' or 'path' is missing", None),
    ("device-of-file", 4, f"{ONE}.device", "says nothing of a sensor of kind file", None),
    ("driver-unknown", 2, "sound.driver", "'systm' is none of", "system"),
    ("duplicate-key", 2, "brightness", "stands twice, first on line 1", None),
    ("every-too-often", 5, f"{ONE}.every", "too short: times lie between 1 s and 10 min", None),
    ("every-too-seldom", 5, f"{ONE}.every", "too long", None),
    ("every-without-unit", 5, f"{ONE}.every", "has no unit", None),
    ("folder-missing", 2, "sound.folder", "there is no folder", None),
    ("humidity-celsius", 4, "humidity.unit", "expected %", None),
    ("humidity-source", 2, "humidity.source", "unknown key 'source'", None),
    ("humidity-w1", 1, "humidity.kind", "none of: hwmon, iio, file", None),
    ("key-map-unknown", 1, "key_map", "none of: one-pedal, three-pedals", "three-pedals"),
    ("kind-missing", 2, ONE, "the key 'kind' is missing", None),
    ("kind-unknown", 3, f"{ONE}.kind", "'hwmn' is none of", "hwmon"),
    ("name-of-the-log", 5, f"{ONE}.name", "a word of the log's own", None),
    ("name-too-long", 5, f"{ONE}.name", "at most 20", None),
    ("path-missing", 2, ONE, "the key 'path' is missing", None),
    ("root-list", 1, None, "expected a mapping, found a list", None),
    ("silent-twice", 2, "sound.silent[2]", "'pip' stands twice", None),
    ("silent-unknown-cue", 2, "sound.silent[2]", "'ovrrun' is none of", "overrun"),
    ("smoothing-word", 5, f"{ONE}.smoothing", "'much' cannot be read", None),
    ("sound-unknown-key", 2, "sound.volum", "unknown key", "volume"),
    ("source-humidity", 2, f"{ONE}.source", "under a key of its own", None),
    ("source-missing", 2, ONE, "the key 'source' is missing", None),
    ("source-twice", 5, "thermometers[2].source", "two thermometers, the first on line 2", None),
    ("source-unknown", 2, f"{ONE}.source", "'bat' is none of", "bath"),
    ("stale-list", 5, f"{ONE}.stale", "expected a single value, found a list", None),
    ("stale-of-hwmon", 5, f"{ONE}.stale", "says nothing of a sensor of kind hwmon", None),
    ("tab", 2, None, "a tab", None),
    ("thermometers-mapping", 2, "thermometers", "expected a list, found a mapping", None),
    ("unit-of-w1", 5, f"{ONE}.unit", "says nothing of a sensor of kind w1", None),
    ("unit-per-cent", 5, f"{ONE}.unit", "expected C or F", None),
    ("unit-unknown", 5, f"{ONE}.unit", "'K' is no unit here", None),
    ("unknown-key", 1, "sond", "unknown key", "sound"),
    ("volume-no-number", 2, "sound.volume", "'loud' cannot be read", None),
    ("volume-too-loud", 2, "sound.volume", "between 0 and 100", None),
    ("w1-no-name", 4, f"{ONE}.device", "no 1-wire name", None),
    ("w1-no-thermometer", 4, f"{ONE}.device", "no thermometer", None),
]


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


def test_every_wrong_file_is_tested() -> None:
    """Every file of wrong settings has a test case."""
    assert sorted(path.stem for path in WRONG.glob("*.yaml")) == sorted(mistake[0] for mistake in MISTAKES)


def test_a_missing_file_means_the_defaults(tmp_path) -> None:
    """Without a settings file everything has its default."""
    assert load(path_in(tmp_path)) == Settings()
    assert SoundChoice(None, 100.0, frozenset(), None) == Settings().sound


@pytest.mark.parametrize("text", ["", "\n\n", "# nothing yet\n", "  # nothing\n\n# here\n"])
def test_a_file_that_says_nothing_means_the_defaults(text: str) -> None:
    """An empty file, or one of remarks alone, is no mistake."""
    assert parse(text, "settings.yaml", Path()) == Settings()


def test_a_whole_file(tmp_path) -> None:
    """Every key of the file arrives in its unit: seconds, levels, absolute paths."""
    (tmp_path / "my-sounds").mkdir()
    path = path_in(tmp_path)
    path.write_text(
        "sound:\n"
        "  folder: my-sounds\n"
        "  volume: 80 %\n"
        "  silent: [pip, say]\n"
        "  driver: system\n"
        "thermometers:\n"
        "  - source: bath\n"
        "    kind: w1\n"
        "    device: 28-0316a2b3c4d5\n"
        "    every: 2.5 s\n"
        "    smoothing: none\n"
        "  - source: developer\n"
        "    kind: hwmon\n"
        "    device: lm75\n"
        "    channel: temp2\n"
        "    smoothing: 1 min\n"
        "  - {source: room, kind: file, path: room.txt, unit: °F, stale: never, name: wall}\n"
        "humidity: {kind: iio, device: 'iio:device0', every: 1 min}\n"
        "brightness: 4\n"
    )
    settings = load(path)
    sound = SoundChoice(str(tmp_path / "my-sounds"), 80.0, frozenset({"pip", "say"}), "system")
    assert sound == settings.sound
    assert (
        Binding("bath", "w1", device="28-0316a2b3c4d5", every=2.5, smoothing=0.0),
        Binding("developer", "hwmon", device="lm75", channel="temp2", smoothing=60.0),
        Binding("room", "file", path=str(tmp_path / "room.txt"), unit="F", stale=None, name="wall"),
    ) == settings.thermometers
    assert Binding("humidity", "iio", device="iio:device0", every=60.0) == settings.humidity
    assert settings.brightness == 4
    assert (*settings.thermometers, settings.humidity) == settings.bindings


def test_a_key_map_is_chosen_by_its_name(tmp_path: Path) -> None:
    """A shipped map, or one of your own, which stands before a shipped one of the same name."""
    shipped = parse("key_map: three-pedals\n", "settings.yaml", tmp_path).key_map
    assert shipped is not None and load_map(shipped).zone_of("f14") == "tell"
    own = tmp_path / "profiles" / "keymaps"
    own.mkdir(parents=True)
    for name in ("three-pedals", "sustain"):
        (own / f"{name}.yaml").write_text("go: [space, f20]\n")
        assert parse(f"key_map: {name}\n", "settings.yaml", tmp_path).key_map == own / f"{name}.yaml"


def test_the_players_settings(tmp_path) -> None:
    """Volume 0 to 100 becomes the player's 0 to 1; the rest goes over as it is."""
    player = SoundChoice(None, 25.0, frozenset({"pip"}), "bell").for_player()
    assert (0.25, frozenset({"pip"}), "bell") == (player.volume, player.silent, player.driver)


def test_a_path_in_the_users_own_folder(monkeypatch, tmp_path) -> None:
    """`~` is the user's own folder."""
    monkeypatch.setenv("HOME", str(tmp_path))
    settings = parse("thermometers: [{source: bath, kind: file, path: ~/bath.txt}]", "s", Path("/elsewhere"))
    assert str(tmp_path / "bath.txt") == settings.thermometers[0].path


def test_the_example_of_the_handbook_is_right() -> None:
    """The example in the module's own text is a right settings file."""
    from darkroom.settings import settings

    text = settings.__doc__.split("passed over.\n")[1].replace("folder: my-sounds", "folder: .")
    lines = [line[4:] for line in text.splitlines()]
    parsed = parse("\n".join(lines), "settings.yaml", Path("/"))
    assert [binding.source for binding in parsed.bindings] == ["bath", "room", "humidity"]


def test_all_mistakes_are_told_at_once() -> None:
    """Three mistakes in three places give three problems, by line."""
    with pytest.raises(SettingsError) as caught:
        parse("sond: 1\nbrightness: 9\nsound: {volume: x}\n", "settings.yaml", Path())
    assert [problem.line for problem in caught.value.problems] == [1, 2, 3]


@pytest.mark.parametrize("make", ["folder", "pipe"])
def test_what_is_no_file_is_said(tmp_path, make: str) -> None:
    """A folder or a pipe in place of the settings file is a mistake; a pipe is not waited for."""
    path = path_in(tmp_path)
    if make == "folder":
        path.mkdir()
    else:
        os.mkfifo(path)
    with pytest.raises(SettingsError, match="not a plain file"):
        load(path)


def test_a_file_too_large_is_said(tmp_path) -> None:
    """A settings file of megabytes is refused without being read whole."""
    path = path_in(tmp_path)
    path.write_bytes(b"brightness: 3 " + b"#" * 5_000_000)
    with pytest.raises(SettingsError, match="too large"):
        load(path)


def test_pasted_lines_are_right_settings() -> None:
    """What `ready` prints to paste is read back as the same bindings, with the sources given."""
    sensors = [
        Found(Binding("room", "w1", device="28-0316a2b3c4d5"), 20.0, None),
        Found(Binding("room", "hwmon", device="lm75", channel="temp2"), 20.0, None),
        Found(Binding("room", "iio", path="/sys/bus/iio/devices/iio:device1/in_temp_raw"), 20.0, None),
        Found(Binding("humidity", "iio", device="hdc100x"), 50.0, None),
    ]
    settings = parse(to_paste(sensors, ["bath", "developer"]), "settings.yaml", Path("/"))
    assert (
        Binding("bath", "w1", device="28-0316a2b3c4d5"),
        Binding("developer", "hwmon", device="lm75", channel="temp2"),
        Binding("humidity", "iio", device="hdc100x"),
    ) == settings.bindings
