"""Makes the cues: `python -m darkroom.devices.sound.make_cues [FOLDER]`.

Each cue is a rhythm of pulses; the rhythm alone tells any two apart, the pitch helps. A pulse is a
fundamental of 500 to 1000 Hz with three harmonics more, none above 4 kHz, the weakest 8 dB below the
fundamental, so that a small speaker that loses the low end still gives the pitch (after ISO 7731 and
IEC 60601-1-8, from memory). Flanks are raised cosines, so nothing clicks. The peak is half of full
scale. No cue has the three half-second pulses of the evacuation signal (ISO 8201), nor the four
tenth-second ones of a gas alarm (both from memory).

What a rhythm means: short and single, a tick of the clock; one long, begin; two long, an end; a group
of shorts, something wants a hand, and the faster and longer the group the more urgent it is; long
and falling, a limit is passed; long then short, released. Only arithmetic of the standard library is
used, so the files can be made again anywhere; a mathematical library that rounds otherwise may move
a sample by one step.
"""

from __future__ import annotations

import math
import sys
import wave
from array import array
from pathlib import Path

from darkroom.devices.sound.cue_names import RATE

HARMONICS = (1.0, 0.6, 0.5, 0.4)
PEAK = 0.5
FLANK = 0.008
"""Seconds from silence to full and back."""
FULL = 32767

Pulse = tuple[float, float, float]
"""(begins at seconds, lasts seconds, fundamental in Hz)."""


def _row(pitches: list[float], lasts: list[float], gaps: list[float]) -> tuple[Pulse, ...]:
    """Return pulses one after the other, `gaps` between them, in seconds."""
    at, row = 0.0, []
    for pitch, last, gap in zip(pitches, lasts, [*gaps, 0.0], strict=True):
        row.append((round(at, 4), last, pitch))
        at += last + gap
    return tuple(row)


CUES: dict[str, tuple[Pulse, ...]] = {
    "pip": _row([1000], [0.12], []),
    "start": _row([1000], [0.6], []),
    "accepted": _row([700, 930], [0.05, 0.06], [0.05]),
    "refused": _row([500, 500, 500], [0.07] * 3, [0.07] * 2),
    "end": _row([1000, 800], [0.3, 0.35], [0.08]),
    "step": _row([800, 1000], [0.08, 0.3], [0.08]),
    "overrun-1": _row([680, 680], [0.16, 0.16], [0.36]),
    "overrun-2": _row([800, 800, 800], [0.12] * 3, [0.14] * 2),
    "overrun-3": _row([950, 950, 950, 950, 950], [0.1] * 5, [0.06] * 4),
    "wet-warning": _row([600, 600, 760], [0.09, 0.09, 0.32], [0.08, 0.08]),
    "back-now": _row([1000, 750, 1000, 750], [0.1] * 4, [0.06, 0.22, 0.06]),
    "past-wet": _row([900, 750, 640, 500], [0.36, 0.09, 0.09, 0.4], [0.08, 0.08, 0.08]),
    "safelight": _row([800, 640, 520], [0.2, 0.2, 0.42], [0.12, 0.12]),
    "room-light": _row([560, 700], [0.42, 0.14], [0.12]),
    "not-saved": _row([1000, 860, 700] * 2, [0.09] * 6, [0.06, 0.06, 0.26, 0.06, 0.06]),
    "saved-again": _row([560, 700, 880], [0.26, 0.08, 0.08], [0.09, 0.08]),
}


def length(pulses: tuple[Pulse, ...]) -> float:
    """Return how long a cue lasts, in seconds."""
    return max(at + lasts for at, lasts, _ in pulses)


def render(pulses: tuple[Pulse, ...]) -> array[int]:
    """Return a cue as 16-bit samples at 44.1 kHz."""
    made = [0.0] * round(length(pulses) * RATE)
    for at, lasts, pitch in pulses:
        begin, frames = round(at * RATE), round(lasts * RATE)
        flank = round(FLANK * RATE)
        radians = 2 * math.pi * pitch / RATE
        for index in range(min(frames, len(made) - begin)):
            near = min(index, frames - 1 - index)
            level = 1.0 if near >= flank else 0.5 - 0.5 * math.cos(math.pi * near / flank)
            made[begin + index] = level * sum(
                strength * math.sin(radians * (harmonic + 1) * index)
                for harmonic, strength in enumerate(HARMONICS)
            )
    top = max(map(abs, made))
    return array("h", (round(value / top * PEAK * FULL) for value in made))


def write(path: Path, samples: array[int], rate: int = RATE) -> None:
    """Write 16-bit mono samples as a WAV file."""
    if sys.byteorder == "big":
        samples = array("h", samples)
        samples.byteswap()
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(rate)
        file.writeframes(samples.tobytes())


def main(argv: list[str]) -> int:
    """Write every cue into a folder, the shipped one by default."""
    from darkroom.devices.sound.sound_files import shipped

    folder = Path(argv[0]) if argv else shipped()
    folder.mkdir(parents=True, exist_ok=True)
    for stem, pulses in CUES.items():
        write(folder / f"{stem}.wav", render(pulses))
    print(f"{len(CUES)} cues written to {folder}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
