"""Which cues a run's journals say were due, and which cue a recording has at an instant."""

from __future__ import annotations

import wave
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from darkroom.bench import clocks, events, exposure
from darkroom.bench.fold import apply, begin
from darkroom.log.journal.find import find_plates
from darkroom.log.journal.merge import read_plate
from darkroom.resources import sounds_dir

RATE = 44100
ON_TIME = (-0.08, 0.08)
"""How early and how late a cue may be that was due at an instant, in seconds."""
ANSWER = (0.04, 0.21)
"""The same for "accepted", counted from the first key of its strike."""
LIKE = 0.9
"""The correlation with a cue's WAV from which a sound is that cue; an undisturbed one has 0.998 and more."""
Due = tuple[float, str]
"""(the instant on the boot clock, the cue's name)."""


def due(home: Path) -> list[Due]:
    """Return each answer to a strike and each pip, start, step and end that the journals tell of."""
    found: set[Due] = set()
    for path in find_plates(home):
        lines = [line for line in read_plate(path).events if line.up is not None]
        assert isinstance(lines[0], events.PlateStarted)
        state = begin(lines[0], lines[0].up or 0.0)
        found.add((lines[0].up or 0.0, "accepted"))
        for line in lines[1:]:
            zero, up = clocks.zero(state), line.up or 0.0
            by_hand = isinstance(line, events.StageEnded) and line.how == "strike"
            if by_hand or isinstance(line, events.LeadInStarted | events.Cleared):
                found.add((up, "accepted"))
            if isinstance(line, events.StageEnded) and zero is not None and up >= zero - 0.001:
                found.add((zero, "end"))
            if isinstance(line, events.LeadInStarted):
                # the pip of the strike's own instant is past when the strike is understood
                found |= {(up + line.seconds - second, "pip") for second in range(1, int(line.seconds))}
            if isinstance(line, events.StageStarted) and state.phase == "lead_in" and zero is not None:
                found.add((zero, "start"))
            state = apply(state, line)
            if isinstance(line, events.StageStarted) and state.stage.ends == "exposure":
                found |= {(at, "step") for at in exposure.step_instants(state.plan, state.since)}
    return sorted(found)


@cache
def shipped() -> dict[str, Any]:
    """Return every shipped cue as samples, by its name."""
    cues = {}
    for path in sounds_dir().glob("*.wav"):
        with wave.open(str(path), "rb") as file:
            cues[path.stem] = np.frombuffer(file.readframes(file.getnframes()), dtype="<i2").astype(float)
    return cues


def heard(capture: Any, at: float, within: tuple[float, float]) -> tuple[str, float]:
    """Return the name of the cue that begins near an instant, and how late it is in seconds.

    Of the shipped cues that the sound is like it is the one that accounts for the most of the sound,
    as a matched filter has it: a pip is like the first tenth of a start, but a start accounts for all
    of it. "silence" when the sound is like none.
    """
    early, late = (int((side + 0.1) * RATE) for side in within)
    longest = max(map(len, shipped().values()))
    played, first = capture.between(at - 0.1, at + within[1] + longest / RATE + 0.05)
    found = [(0.0, "silence", early)]
    for name, cue in shipped().items():
        size = len(played) + len(cue)
        product = np.fft.irfft(np.fft.rfft(played, size) * np.conj(np.fft.rfft(cue, size)), size)
        begins = early + int(np.argmax(product[early:late]))
        under = played[begins : begins + len(cue)]
        explained = float(product[begins] / np.sqrt(np.sum(cue**2)))
        if explained >= LIKE * np.sqrt(max(np.sum(under**2), 1e5)):
            found.append((explained, name, begins))
    _, name, begins = max(found)
    return name, capture.true([first + begins / RATE], first)[0] - at


def missed(capture: Any, cues: list[Due]) -> list[str]:
    """Return a line for each due cue that the recording does not have at its time."""
    found = []
    for at, name in cues:
        other, late = heard(capture, at, ANSWER if name == "accepted" else ON_TIME)
        if other != name:
            found.append(f"{name} due at {at:.3f}: {other}, {late * 1000:.0f} ms late")
    return found
