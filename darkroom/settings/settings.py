"""`settings.yaml` in the folder of the log: sound, thermometers, humidity, brightness.

It is checked like a process file: every mistake at once, each with file, line, key and the nearest
right word. A missing file means the defaults; nothing else is passed over.

    sound:
      folder: my-sounds          # WAVs named like ours; what is missing there comes from ours
      volume: 80                 # 0 to 100
      silent: [pip]              # cues that are not to be heard; `say` silences the voice
      driver: system             # insist on one: miniaudio, simpleaudio, system, bell, none
    thermometers:
      - source: bath             # room, bath, developer, water or fixer
        kind: w1                 # w1, hwmon, iio or file
        device: 28-0316a2b3c4d5
        every: 5 s
        smoothing: 10 s          # or none
      - source: room
        kind: file
        path: ~/room.txt
        unit: F                  # where the file says none; C otherwise
        stale: 10 min            # an unchanged file older than that is not believed; or never
        name: wall
    humidity: {kind: iio, device: hdc100x}
    brightness: 3                # 1 to 5, at each start
    key_map: three-pedals        # or one-pedal, or a file of your own in profiles/keymaps/; keys.yaml wins
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct, field

from darkroom import resources
from darkroom.errors import QuantityError, SettingsError
from darkroom.settings.values import number_between, path_of, read_file, says_nothing

if TYPE_CHECKING:
    from darkroom.devices.sound.sound_settings import SoundSettings
    from darkroom.devices.thermometers.sensor import Binding
    from darkroom.process.text.tree import Node, Sheet

FILE = "settings.yaml"
BRIGHTEST = 5
KEYS = ("sound", "thermometers", "humidity", "brightness", "key_map")
SOUND_KEYS = ("folder", "volume", "silent", "driver")


class SoundChoice(Struct, frozen=True):
    """What the photographer wants to hear: a folder of own sounds, volume 0 to 100, cues not to be
    heard, and a driver to insist on."""

    folder: str | None = None
    volume: float = 100.0
    silent: frozenset[str] = frozenset()
    driver: str | None = None

    def for_player(self) -> SoundSettings:
        """Return what the sound player is started with."""
        from darkroom.devices.sound.sound_settings import SoundSettings

        return SoundSettings(self.folder, self.volume / 100.0, self.silent, self.driver)


class Settings(Struct, frozen=True):
    """The settings of this darkroom. `brightness` None keeps the last one; `key_map` is the file of a map."""

    sound: SoundChoice = field(default_factory=SoundChoice)
    thermometers: tuple[Binding, ...] = ()
    humidity: Binding | None = None
    brightness: int | None = None
    key_map: Path | None = None

    @property
    def bindings(self) -> tuple[Binding, ...]:
        """Every sensor that is bound, the hygrometer last."""
        return self.thermometers + ((self.humidity,) if self.humidity else ())


def path_in(home: Path) -> Path:
    """Return where the settings of a log folder are."""
    return home / FILE


def load(path: Path) -> Settings:
    """Return the settings in a file, the defaults when there is none. Raises SettingsError."""
    text = read_file(path)
    return Settings() if text is None else parse(text, str(path), path.parent)


def parse(text: str | bytes, file: str, folder: Path) -> Settings:
    """Return the settings in a YAML text; paths in it count from `folder`. Raises SettingsError."""
    if says_nothing(text):
        return Settings()
    from darkroom.process.text.yaml_reader import read

    sheet = read(text, file)
    settings = Settings() if sheet.root is None else _settings(sheet, sheet.root, folder)
    sheet.raise_problems(SettingsError)
    return settings


def _settings(sheet: Sheet, root: Node, folder: Path) -> Settings:
    keys = sheet.mapping(root, known=KEYS)
    thermometers: tuple[Binding, ...] = ()
    sound, humidity, brightness, key_map = SoundChoice(), None, None, None
    if "sound" in keys:
        sound = _sound(sheet, keys["sound"], folder)
    if "thermometers" in keys or "humidity" in keys:
        from darkroom.settings import sensors

        if "thermometers" in keys:
            thermometers = sensors.thermometers(sheet, keys["thermometers"], folder)
        if "humidity" in keys:
            humidity = sensors.hygrometer(sheet, keys["humidity"], folder)
    if "brightness" in keys:
        brightness = sheet.value(keys["brightness"], _level)
    if "key_map" in keys:
        files = resources.key_maps(folder)
        key_map = files.get(sheet.word(keys["key_map"], tuple(files)) or "")
    return Settings(sound, thermometers, humidity, brightness, key_map)


def _sound(sheet: Sheet, node: Node, folder: Path) -> SoundChoice:
    from darkroom.devices.sound.cue_names import CUES, DRIVERS
    from darkroom.process.file.text_fields import words

    keys = sheet.mapping(node, known=SOUND_KEYS)
    sound_folder, volume, silent, driver = None, 100.0, frozenset[str](), None
    if "folder" in keys:
        sound_folder = _folder(sheet, keys["folder"], folder)
    if "volume" in keys:
        volume = sheet.value(keys["volume"], _volume) or 0.0
    if "silent" in keys:
        silent = frozenset(words(sheet, keys["silent"], (*CUES, "say")))
    if "driver" in keys:
        driver = sheet.word(keys["driver"], DRIVERS)
    return SoundChoice(sound_folder, volume, silent, driver)


def _folder(sheet: Sheet, node: Node, beside: Path) -> str | None:
    path = path_of(sheet, node, beside)
    if path is not None and not os.path.isdir(path):
        sheet.wrong(node, f"there is no folder {path}")
        return None
    return None if path is None else str(path)


_volume = number_between(0, 100, "per cent")


def _level(text: str) -> int:
    level = number_between(1, BRIGHTEST, "a level")(text)
    if level != int(level):
        raise QuantityError(f"'{text[:40]}' is no whole number: expected a level between 1 and {BRIGHTEST}")
    return int(level)
