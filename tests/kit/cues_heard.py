"""Which cues and words a recording holds, and whether they are the ones that were due.

A null sink that does not rewind plays our samples as they are: what is recorded differs from what was
handed over by silence alone, before a sound, after it, and within it where the server was kept waiting.
Without its zero samples a recording therefore holds every sound that was played as one unbroken row of its
own samples. Instants are no matter here: a busy machine moves them, and `tests/measure` has them.
"""

from __future__ import annotations

import wave
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from darkroom.devices.sound.cue_names import RATE
from darkroom.resources import sounds_dir

Samples = NDArray[np.int16]
Sounds = Mapping[str, Samples]
"""The samples of each sound by its file's stem: "overrun-2", or "voice/drain" for a word."""
Due = tuple[float, str]
"""(the instant on the boot clock, the sound's stem)."""
Reports = Iterable[tuple[str, Mapping[str, Any]]]
"""What a `Sound` reported, as (kind, what)."""
SKIPPED = 300
"""Frames at a sound's beginning that are not compared: one that was cut off fades over 256 of them."""
KEY = 48
"""So many samples in a row that are those of a sound's beginning are the beginning of that sound."""
LONGEST_WAIT = int(0.8 * RATE)
"""A silence of so many frames is between two sounds, not within one: a driver that is kept waiting for longer
than half a second is lost, and no cue has so long a gap in it."""
REORDERED = 1.0
"""Sounds due within so many seconds of each other may be heard in either order: an answer waits for its
handful of keys, and a lower rank for a higher."""


@dataclass(frozen=True)
class HeardSound:
    """One sound in a recording."""

    names: tuple[str, ...]
    """What it is: several when it was cut off while it could still have become any of them."""
    share: float
    """How much of it was heard, from its beginning: 1.0 is the whole."""
    at: int
    """The frame of the recording in which it begins."""

    @property
    def whole(self) -> bool:
        """True when it was heard to its end."""
        return self.share == 1.0


def sounds(words: Iterable[str] = (), volume: float = 1.0) -> dict[str, Samples]:
    """Return the samples of every shipped cue, and of these words, by their stems.

    They are read and scaled here, not by the player's own library, so that its faults are heard.
    """
    files = [*sounds_dir().glob("*.wav"), *(sounds_dir() / f"{word_stem(word)}.wav" for word in words)]
    stems = [file.relative_to(sounds_dir()).with_suffix("").as_posix() for file in files]
    return {stem: scaled(_read(file), volume) for stem, file in zip(stems, files, strict=True)}


def scaled(samples: Samples, volume: float) -> Samples:
    """Return samples at a volume."""
    return np.trunc(samples * volume).astype(np.int16)


def _read(file: Path) -> Samples:
    """Return the samples of a shipped file at the cues' rate; words are recorded at half of it."""
    with wave.open(str(file), "rb") as opened:
        samples = np.frombuffer(opened.readframes(opened.getnframes()), dtype="<i2").astype(np.int32)
        rate = opened.getframerate()
    if 2 * rate != RATE:
        return samples.astype(np.int16)
    between = (samples + np.append(samples[1:], samples[-1:])) >> 1
    return np.column_stack([samples, between]).ravel().astype(np.int16)


def cue_stem(name: str, urgency: int = 0) -> str:
    """Return the stem of a cue: "wet_warning" is wet-warning; an overrun call has one for each urgency."""
    return f"{name.replace('_', '-')}-{urgency}" if name == "overrun" else name.replace("_", "-")


def word_stem(word: str) -> str:
    """Return the stem of a word that has a sound of its own: "back now" is voice/back-now."""
    return f"voice/{word.replace(' ', '-')}"


def sounds_in(recording: Samples, known: Sounds) -> list[HeardSound]:
    """Return every known sound that a recording holds, in order, those that were cut off as well."""
    frames = np.flatnonzero(recording)
    bodies = {name: samples[SKIPPED:][samples[SKIPPED:] != 0] for name, samples in known.items()}
    heard: list[HeardSound] = []
    for part in np.split(frames, np.flatnonzero(np.diff(frames) > LONGEST_WAIT) + 1):
        heard += _sounds_in_part(np.ascontiguousarray(recording[part], dtype=np.int16), part, bodies)
    return heard


def _sounds_in_part(loud: Samples, frames: NDArray[np.int64], bodies: Sounds) -> list[HeardSound]:
    """Return the sounds in a row of samples without silence, each of which was at this frame."""
    names_at: dict[int, list[str]] = {}
    for name, body in bodies.items():
        for place in _places(loud.tobytes(), body[:KEY].tobytes()):
            names_at.setdefault(place, []).append(name)
    heard: list[HeardSound] = []
    heard_until = 0
    for place in sorted(names_at):
        if place < heard_until:
            continue
        same = {name: _same(loud[place:], bodies[name]) for name in names_at[place]}
        longest = max(same.values())
        names = [name for name in same if same[name] == longest]
        names = [name for name in names if len(bodies[name]) == longest] or names
        share = longest / min(len(bodies[name]) for name in names)
        heard.append(HeardSound(tuple(sorted(names)), share, int(frames[place]) - SKIPPED))
        heard_until = place + longest
    return heard


def _places(packed: bytes, key: bytes) -> list[int]:
    """Return each sample of a row of 16-bit samples at which a shorter row begins."""
    places = []
    at = packed.find(key)
    while at >= 0:
        if at % 2 == 0:
            places.append(at // 2)
        at = packed.find(key, at + 1)
    return places


def _same(loud: Samples, body: Samples) -> int:
    """Return for how many samples a recording goes on as a sound does."""
    length = min(len(loud), len(body))
    other = np.flatnonzero(loud[:length] != body[:length])
    return int(other[0]) if len(other) else length


def faults(
    due: Sequence[Due], heard: Sequence[HeardSound], reports: Reports, *, may_be_cut: bool = False
) -> list[str]:
    """Return a line for each sound that was heard and not due, and for each that is `unheard`."""
    _, extra = _pair(due, heard, reports, may_be_cut)
    lines = [f"heard and not due: {' or '.join(sound.names)} at frame {sound.at}" for sound in extra]
    return lines + unheard(due, heard, reports, may_be_cut=may_be_cut)


def unheard(
    due: Sequence[Due], heard: Sequence[HeardSound], reports: Reports, *, may_be_cut: bool = False
) -> list[str]:
    """Return a line for each sound that was due, was not heard, and that nobody tells of.

    A due sound is heard once and whole (with `may_be_cut` its beginning is enough), or the tool itself
    tells why not: the reports have it as dropped or as given to the bell. A player or driver that was
    lost (`lost`, `died`) may take one sound with it that is not named.
    """
    missing, _ = _pair(due, heard, reports, may_be_cut)
    excused, unnamed = _told(reports)
    in_part = [("/".join(sound.names), round(sound.share, 2)) for sound in heard if not sound.whole]
    lines = []
    for at, name in missing:
        if excused[name]:
            excused[name] -= 1
        elif unnamed:
            unnamed -= 1
        else:
            lines.append(f"due and not heard: {name} at {at:.3f}; in part: {in_part}")
    return lines


def _pair(
    due: Sequence[Due], heard: Sequence[HeardSound], reports: Reports, may_be_cut: bool
) -> tuple[list[Due], list[HeardSound]]:
    """Return (the due sounds that were not heard, the heard ones that were not due).

    Where a player or driver was lost, or one driver took over from another, a sound that was cut off is
    begun anew.
    """
    begun_anew = sum(
        kind in ("lost", "died") or (kind == "driver" and bool(what["was"])) for kind, what in reports
    )
    left = sorted(due)
    missing: list[Due] = []
    extra: list[HeardSound] = []
    latest = -np.inf
    cut: tuple[HeardSound, Due] | None = None
    for sound in heard:
        candidates = (pair for pair in left if pair[1] in sound.names and pair[0] >= latest - REORDERED)
        if cut is not None and begun_anew and set(sound.names) <= set(cut[0].names):
            begun_anew -= 1
            left.append(cut[1])
            left.sort()
            missing = [pair for pair in missing if pair != cut[1]]
        pair = next(candidates, None)
        cut = None
        if pair is None:
            extra.append(sound)
            continue
        left.remove(pair)
        latest = max(latest, pair[0])
        if not sound.whole:
            cut = sound, pair
            missing += [] if may_be_cut else [pair]
    return sorted([*left, *missing]), extra


def _told(reports: Reports) -> tuple[Counter[str], int]:
    """Return (how often each sound was told to be left out, how many more may be gone without a name)."""
    excused: Counter[str] = Counter()
    lost = 0
    for kind, what in reports:
        if kind in ("lost", "died"):
            lost += 1
        if kind not in ("dropped", "bell"):
            continue
        cue, why = what["cue"], what.get("why")
        if why != "no room for the words":
            excused[cue_stem(cue["name"], cue["urgency"])] += 1
        if why != "overlap":
            excused.update(map(word_stem, cue["say"]))
    return excused, lost
