"""The sounds by name: the user's own first, then the shipped ones; read when first asked for."""

from __future__ import annotations

import os
from array import array
from collections.abc import Callable, Sequence
from pathlib import Path

from darkroom.devices.sound import wav
from darkroom.devices.sound.cue_names import RATE, cue_file, slug
from darkroom.errors import NotReadable
from darkroom.plain_files import files_like

PAUSE = array("h", bytes(2 * int(0.06 * RATE)))
"""Silence after each word."""
WORD = "voice/"
"""What the names of words begin with."""


def shipped() -> Path:
    """Return the folder of the shipped sounds, in an installed package or beside it."""
    package = Path(__file__).resolve().parents[2]
    inside = package / "shipped" / "sounds"
    return inside if inside.is_dir() else package.parent / "sounds"


def recorded(folder: str | None = None) -> frozenset[str]:
    """Return what the recordings of the user's own folder and of the shipped set say, as plain words."""
    folders = [*([Path(folder).expanduser()] if folder else []), shipped()]
    return frozenset(
        path.stem.replace("-", " ") for each in folders for path in files_like(each, "voice/*.wav")
    )


class Library:
    """Samples (16-bit mono, 44.1 kHz) of cues and words, scaled to the volume.

    `report` hears of each file that cannot be read, once; the shipped sound is taken instead.
    """

    def __init__(
        self,
        folder: str | None = None,
        volume: float = 1.0,
        report: Callable[[str], None] = lambda text: None,
    ) -> None:
        """`folder` is the user's own set; what it lacks comes from the shipped one."""
        self.folders = [*([Path(folder).expanduser()] if folder else []), shipped()]
        self.volume, self.report = volume, report
        self._kept: dict[str, array[int] | None] = {}
        self._asked: dict[str, int] = {}
        self._set = 0

    def find(self, name: str) -> Path | None:
        """Return the file that is taken for a name relative to the set, as "end" or "voice/drain"."""
        return next((path for path in self._candidates(name) if os.path.isfile(path)), None)

    def _candidates(self, name: str) -> list[Path]:
        return [folder / f"{name}.wav" for folder in self.folders]

    def cue(self, name: str, urgency: int = 0) -> array[int] | None:
        """Return the sound of a cue, or None when there is none."""
        return self._get(cue_file(name, urgency))

    def words(self, say: Sequence[str]) -> list[array[int]]:
        """Return the sound of each word that there is one for; the others are left out, and reported."""
        sounds = []
        for word in say:
            for part in spell(word):
                samples = self._get(f"{WORD}{slug(part)}")
                if samples is not None:
                    sounds.append(samples)
        return sounds

    def new_set(self, most: int) -> None:
        """Begin a set of calls whose words are asked for next; keep `most` samples of what no call needs.

        The words that were asked for since the set before this one began may still wait to be said, and are
        kept whatever they take. Of the others those asked for longest ago are let go. Cues are always kept.
        """
        self._set += 1
        asked_before = ((asked, name) for name, asked in list(self._asked.items()) if asked < self._set - 1)
        free = [(name, samples) for _, name in sorted(asked_before) if (samples := self._kept.get(name))]
        taken = sum(len(samples) for _, samples in free)
        for name, samples in free:
            if taken <= most:
                return
            taken -= len(samples)
            del self._kept[name], self._asked[name]

    def _get(self, name: str) -> array[int] | None:
        kept = self._kept
        if name not in kept:
            kept[name] = self._read(name)
        if name.startswith(WORD):
            self._asked[name] = self._set
        return kept[name]

    def _read(self, name: str) -> array[int] | None:
        for path in self._candidates(name):
            if not os.path.isfile(path):
                continue
            try:
                samples = wav.read(path)
            except NotReadable as error:
                self.report(str(error))
                continue
            if self.volume < 1.0:
                volume = self.volume
                samples = array("h", (int(value * volume) for value in samples))
            return samples + PAUSE if name.startswith(WORD) else samples
        self.report(f"no sound called {name}")
        return None


def spell(word: str) -> list[str]:
    """Return the names of the set that make up a word: numbers above 60 are put together.

    >>> spell("drain"), spell("60"), spell("75"), spell("130")
    (['drain'], ['60'], ['70', '5'], ['1', 'hundred', '30'])
    """
    if not (word.isascii() and word.isdigit()):
        return [word]
    number = int(word)
    if number <= 60 or number in (70, 80, 90):
        return [str(number)]
    if number < 100:
        return [str(number // 10 * 10), str(number % 10)]
    if number < 1000:
        rest = number % 100
        return [str(number // 100), "hundred", *(spell(str(rest)) if rest else [])]
    return []
