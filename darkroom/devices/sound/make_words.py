"""Makes the spoken set: `python -m darkroom.devices.sound.make_words [FOLDER] [--voice VOICE] [WORD ...]`.

Needs espeak-ng; nothing of it is needed to play the set, which is shipped. Without words the whole
set is made; with words only those, as for the stages of a process of your own. Silence around a
word is cut off and its loudness brought to that of the cues.
"""

from __future__ import annotations

import argparse
import math
import shutil
import subprocess
import sys
import tempfile
from array import array
from pathlib import Path

from darkroom.devices.sound import wav
from darkroom.devices.sound.cue_names import RATE, slug
from darkroom.devices.sound.make_cues import write
from darkroom.errors import NotReadable

STAGES = (
    "prepare", "coat", "sensitise", "drain", "expose", "develop", "stop", "rinse", "flush", "fix",
    "intensify", "wash", "dry", "warm", "varnish", "cure", "rack",
)  # fmt: skip
CALLS = (
    "ready to lift", "water", "back now", "past wet", "safelight only", "room light is safe",
    "wet two minutes", "wet thirty seconds", "two minutes wet", "thirty seconds wet", "plate", "undone",
    "cleared", "finished", "not saved", "saved again", "held", "skipped", "marked", "earlier", "hundred",
)  # fmt: skip
NUMBERS = tuple(str(number) for number in (*range(1, 61), 70, 80, 90))
SAID = {"cure": "warm again", "flush": "rinse again", "stop": "water"}
"""What is said where it is not the name itself: the stage after the developer is called as on screen."""

SET_RATE = 22050
"""What espeak-ng makes; kept so in the files, half the size."""
LOUD = 0.12
"""Root mean square of a word, as a part of full scale."""
PEAK = 0.6
QUIET = 0.012
"""Softer than this at either end is silence, as a part of full scale."""


def words() -> tuple[str, ...]:
    """Return every word and phrase of the set."""
    return (*STAGES, *CALLS, *NUMBERS)


def speak(word: str, voice: str = "en-gb", speed: int = 165) -> array[int]:
    """Return a word spoken by espeak-ng, trimmed and levelled, at 22.05 kHz. Raises NotReadable."""
    program = shutil.which("espeak-ng")
    if program is None:
        raise NotReadable("espeak-ng is not installed: it makes the spoken set")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "word.wav"
        done = subprocess.run(
            [program, "-v", voice, "-s", str(speed), "-w", str(path), "--", SAID.get(word, word)],
            check=False,
            capture_output=True,
            text=True,
        )
        if done.returncode != 0 or not path.is_file():
            raise NotReadable(f"espeak-ng cannot say '{word}': {done.stderr.strip()}")
        return level(wav.read(path)[:: RATE // SET_RATE])


def level(samples: array[int]) -> array[int]:
    """Return the samples without silence at the ends, at the loudness of the set, ends faded."""
    quiet = QUIET * 32768
    loud = [index for index, value in enumerate(samples) if abs(value) > quiet]
    if not loud:
        raise NotReadable("the word came out silent")
    margin = SET_RATE // 100
    samples = samples[max(0, loud[0] - margin) : loud[-1] + margin]
    rms = math.sqrt(sum(value * value for value in samples) / len(samples)) / 32768
    top = max(map(abs, samples)) / 32768
    gain = min(LOUD / rms, PEAK / top)
    fade = margin // 2
    last = len(samples) - 1
    return array(
        "h",
        (round(value * gain * min(1.0, i / fade, (last - i) / fade)) for i, value in enumerate(samples)),
    )


def main(argv: list[str]) -> int:
    """Make the set, or some words of it."""
    from darkroom.devices.sound.sound_files import shipped

    parser = argparse.ArgumentParser(description="Make the spoken set with espeak-ng.")
    parser.add_argument("folder", nargs="?", type=Path, default=shipped() / "voice")
    parser.add_argument("word", nargs="*", help="only these words")
    parser.add_argument("--voice", default="en-gb", help="a voice of espeak-ng")
    parser.add_argument("--speed", type=int, default=165, help="words a minute")
    chosen = parser.parse_args(argv)
    chosen.folder.mkdir(parents=True, exist_ok=True)
    size = 0
    for word in chosen.word or words():
        try:
            samples = speak(word, chosen.voice, chosen.speed)
        except NotReadable as error:
            print(error, file=sys.stderr)
            return error.exit_status
        write(chosen.folder / f"{slug(word)}.wav", samples, SET_RATE)
        size += 2 * len(samples)
    print(f"{len(chosen.word or words())} words written to {chosen.folder}, {size / 1e6:.1f} MB")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
