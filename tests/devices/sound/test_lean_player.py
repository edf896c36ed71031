"""What the sound player keeps out of its memory: modules that play no sound, and words that no call needs."""

from __future__ import annotations

import ast
import json
import subprocess
import sys
import wave
from importlib.util import find_spec
from pathlib import Path

import pytest

from darkroom.devices.sound.cue_names import RATE
from darkroom.devices.sound.lean_import import ABSENT, STOOD_IN
from darkroom.devices.sound.sound_files import Library

NEVER = {
    "numpy", "socket", "ssl", "email", "http", "urllib.request", "inspect", "html", "dataclasses",
    "subprocess", "tempfile", "shutil", "multiprocessing", "asyncio", "msgspec", "logging",
    "darkroom.devices.sound.timed_drivers", "darkroom.devices.sound.make_cues", "darkroom.process",
}  # fmt: skip
"""Nothing that plays through an open stream needs these."""
PLAYS = """
import json, sys, time
import darkroom.devices.sound.player
from darkroom.devices.sound import lean_import
miniaudio = lean_import.miniaudio()
asked = []
def blocks():
    frames = yield b""
    while True:
        asked.append(frames)
        frames = yield bytes(2 * frames)
generator = blocks()
next(generator)
device = miniaudio.PlaybackDevice(
    output_format=miniaudio.SampleFormat.SIGNED16, nchannels=1, sample_rate=44100,
    buffersize_msec=10, backends=[miniaudio.Backend.NULL],
)
device.start(generator)
while len(asked) < 5:
    time.sleep(0.01)
device.close()
loaded = sorted(sys.modules)
import urllib.request
print(json.dumps({"asked": len(asked), "loaded": loaded, "real": hasattr(urllib.request, "urlopen")}))
"""

needs_miniaudio = pytest.mark.skipif(find_spec("miniaudio") is None, reason="miniaudio is not installed")


@needs_miniaudio
def test_the_library_plays_with_stand_ins_and_the_player_loads_little_else() -> None:
    """A device of miniaudio asks for blocks; no module of the network or of numerics is loaded for it."""
    done = subprocess.run(
        [sys.executable, "-c", PLAYS], capture_output=True, text=True, check=True, timeout=60
    )
    found = json.loads(done.stdout)
    assert found["asked"] >= 5
    assert NEVER.isdisjoint(found["loaded"])
    assert found["real"], "the stand-in is still there when the real module is asked for"


@needs_miniaudio
def test_the_stand_ins_are_named_only_where_no_stream_comes() -> None:
    """In miniaudio's text the modules stood in for are used by net radio and by arrays of numpy alone."""
    spec = find_spec("miniaudio")
    assert spec is not None and spec.origin is not None
    tree = ast.parse(Path(spec.origin).read_text())
    names = {name.partition(".")[0] for name in (*STOOD_IN, *ABSENT)}
    users = {
        getattr(part, "name", "the module itself")
        for part in tree.body
        for node in ast.walk(part)
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id in names
    }
    assert users <= {"IceCastClient", "_bytes_from_generator_samples"}


def spoken(folder: Path, word: str, seconds: float = 1.0) -> None:
    """Record a word of silence."""
    (folder / "voice").mkdir(exist_ok=True)
    with wave.open(str(folder / "voice" / f"{word}.wav"), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes(bytes(2 * int(seconds * RATE)))


def kept(library: Library, folder: Path, word: str) -> bool:
    """Return whether a word is said although its file is gone."""
    path = folder / "voice" / f"{word}.wav"
    away = path.with_suffix(".away")
    path.rename(away)
    try:
        return bool(library.words([word]))
    finally:
        away.rename(path)


def test_words_of_this_set_and_the_one_before_are_kept_whatever_they_take(tmp_path: Path) -> None:
    """What may still wait to be said is never read again, on a small allowance neither."""
    library = Library(str(tmp_path))
    for word in ("first", "second"):
        spoken(tmp_path, word)
        library.new_set(0)
        assert len(library.words([word])) == 1
    assert kept(library, tmp_path, "first") and kept(library, tmp_path, "second")


def test_words_that_no_call_needs_are_let_go_but_for_the_last(tmp_path: Path) -> None:
    """Two sets later the words said longest ago are let go until the allowance holds the others."""
    told: list[str] = []
    library = Library(str(tmp_path), report=told.append)
    for word in ("first", "second", "third"):
        spoken(tmp_path, word)
        library.new_set(10 * RATE)
        library.words([word])
    library.new_set(10 * RATE)
    library.new_set(int(2.5 * RATE))
    assert not kept(library, tmp_path, "first")
    assert told == ["no sound called voice/first"]
    assert kept(library, tmp_path, "second") and kept(library, tmp_path, "third")


def test_a_word_that_cannot_be_read_is_told_once(tmp_path: Path) -> None:
    """However many sets go by, a missing word is reported the first time alone."""
    told: list[str] = []
    library = Library(str(tmp_path), report=told.append)
    for _ in range(5):
        library.new_set(0)
        assert library.words(["no such word"]) == []
    assert told == ["no sound called voice/no-such-word"]


def test_cues_are_always_kept(tmp_path: Path) -> None:
    """A cue is read once, whatever goes by."""
    library = Library()
    cue = library.cue("end")
    for _ in range(5):
        library.new_set(0)
    assert library.cue("end") is cue
