"""Words spoken by espeak-ng, for the recordings of the spoken set.

Nothing of it is needed to play the set, which is shipped. Silence around a word is cut off and its loudness
brought to that of the cues.
"""

from __future__ import annotations

import math
import shutil
import subprocess
import tempfile
from array import array
from pathlib import Path

from darkroom.devices.sound import wav
from darkroom.devices.sound.cue_names import RATE
from darkroom.errors import NotReadable

SET_RATE = 22050
"""What espeak-ng makes; kept so in the files, half the size."""
LOUD = 0.12
"""Root mean square of a word, as a part of full scale."""
PEAK = 0.6
QUIET = 0.012
"""Softer than this at either end is silence, as a part of full scale."""


def speak(word: str, voice: str = "en-gb", speed: int = 165) -> array[int]:
    """Return a word spoken by espeak-ng, trimmed and levelled, at 22.05 kHz. Raises NotReadable."""
    program = shutil.which("espeak-ng")
    if program is None:
        raise NotReadable("espeak-ng is not installed: it makes the spoken set")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "word.wav"
        done = subprocess.run(
            [program, "-v", voice, "-s", str(speed), "-w", str(path), "--", word],
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
