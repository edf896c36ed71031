"""Two overlapping plates with a drifting thermometer and a real sound server; then everything is broken.

The sound server's null sink is recorded. Every cue that the journals say was due is looked for in the
recording by correlation with its WAV, within 80 ms of its instant: twice the p99 that the sound's own
benchmark allows, since here the cue's instant is a journal's (rounded to a microsecond), the recording's
own clock is good to about 3 ms, and the tool draws its screen meanwhile.
"""

from __future__ import annotations

import os
import re
import signal
import threading
import time
import wave
from pathlib import Path
from typing import Any

import pytest

np = pytest.importorskip("numpy", reason="numpy analyses the recorded sound")

from darkroom.bench import clocks, events  # noqa: E402
from darkroom.bench.plate import apply, begin  # noqa: E402
from darkroom.log.recovery import find_plates, read_plate  # noqa: E402
from darkroom.resources import sounds_dir  # noqa: E402
from tests.end_to_end.darkroom_work import Photographer, journal, shortened  # noqa: E402

NEAR = 0.08
LIKE = 0.55
"""A cue that a word overlaps still correlates above this; another cue stays under it."""


def wav(name: str) -> Any:
    """Return a shipped cue as samples."""
    with wave.open(str(sounds_dir() / f"{name}.wav"), "rb") as file:
        return np.frombuffer(file.readframes(file.getnframes()), dtype="<i2").astype(float)


def likeness(capture: Any, name: str, at: float) -> tuple[float, float]:
    """Return how like a cue the recording is around an instant (0 to 1), and how late it is in seconds."""
    cue = wav(name)[: int(0.35 * 44100)]
    played, first = capture.between(at - 0.3, at + 0.3 + len(cue) / 44100)
    size = len(played) + len(cue)
    product = np.fft.irfft(np.fft.rfft(played, size) * np.conj(np.fft.rfft(cue, size)), size)
    valid = product[: len(played) - len(cue) + 1]
    energy = np.convolve(played**2, np.ones(len(cue)), "valid")
    score = valid / np.sqrt(np.maximum(energy, 1e5) * np.sum(cue**2))
    best = int(np.argmax(score))
    return float(score[best]), capture.true([first + best / 44100], first)[0] - at


def due_cues(home: Path) -> list[tuple[float, str]]:
    """Return (instant, cue) for each start, step and end that the journals say was due."""
    found: list[tuple[float, str]] = []
    for path in find_plates(home):
        lines = [line for line in read_plate(path).events if line.up is not None]
        assert isinstance(lines[0], events.PlateStarted)
        state = begin(lines[0], lines[0].up or 0.0)
        for line in lines[1:]:
            zero = clocks.zero(state)
            up = line.up or 0.0
            if isinstance(line, events.StageEnded) and zero is not None and up >= zero - 0.001:
                found.append((zero, "end"))
            if isinstance(line, events.StageStarted) and state.phase == "lead_in" and zero is not None:
                found.append((zero, "start"))
            state = apply(state, line)
            if isinstance(line, events.StageStarted) and state.stage.ends == "exposure":
                found += [(at, "step") for at in clocks.step_instants(state.plan, state.since)]
    return sorted(found)


class Drift(threading.Thread):
    """A thermometer's file that warms by 0.3 °C every two seconds."""

    def __init__(self, path: Path) -> None:
        super().__init__(daemon=True)
        self.path, self.celsius, self.over = path, 18.0, threading.Event()
        self.write()

    def write(self) -> None:
        """Write the file as a careful program does: whole or not at all."""
        fresh = self.path.with_suffix(".new")
        fresh.write_text(f"{self.celsius:.1f} C\n")
        os.replace(fresh, self.path)

    def run(self) -> None:
        """Drift until told to stop."""
        while not self.over.wait(2.0):
            self.celsius += 0.3
            self.write()


def player_of(process: int) -> int:
    """Return the process id of the tool's player."""
    for entry in Path("/proc").iterdir():
        if entry.name.isdigit():
            try:
                command = (entry / "cmdline").read_bytes().decode()
                parent = re.search(r"PPid:\t(\d+)", (entry / "status").read_text())
            except OSError:
                continue
            if "darkroom.devices.sound.player" in command and parent and int(parent[1]) == process:
                return int(entry.name)
    raise AssertionError("no player runs")


@pytest.mark.skipif(
    not Path("/proc/self/status").exists(), reason="the player is found by /proc, which is Linux's"
)
def test_two_plates_heard_and_felt_then_everything_breaks(heard: tuple[Any, Any], tmp_path: Path) -> None:
    """Each due cue is heard at its time; a dead player, a lost thermometer, a deaf terminal are survived."""
    server, capture = heard
    home = tmp_path / "home"
    home.mkdir()
    drift = Drift(tmp_path / "bath.txt")
    (home / "settings.yaml").write_text(
        f"thermometers:\n  - source: bath\n    kind: file\n    path: {drift.path}\n    every: 1 s\n"
        "    smoothing: none\n    name: probe\n"
    )
    hand = Photographer(home, **server.env)
    hand.terminal.env["DARKROOM_HOME"] = str(home)
    hand.listens = 1.0
    with hand.terminal:
        hand.open("bench", str(shortened(tmp_path)), "--exposure", "1s,2s", "--subject", "Jug and pear")
        hand.terminal.wait_for(lambda screen: "the bell only" not in screen and "probe" not in screen, 10)
        time.sleep(1.5)
        drift.start()
        hand.to_wash()
        hand.second_plate()
        hand.strike("sensitise")
        hand.strike("drain")
        time.sleep(1.2)
        cues = due_cues(home)
        assert {name for _, name in cues} == {"start", "step", "end"}
        found = [(at, name, *likeness(capture, name, at)) for at, name in cues]
        wrong = [row for row in found if row[2] < LIKE or abs(row[3]) > NEAR]
        assert wrong == [], "\n".join(map(str, found))

        assert hand.terminal.process is not None
        os.kill(player_of(hand.terminal.process.pid), signal.SIGKILL)
        drift.over.set()
        drift.join()
        drift.path.unlink()
        hand.terminal.stop_reading()
        time.sleep(5.0)
        hand.terminal.go_on_reading()
        hand.wait("bath thermometer", 10)
        if "Wash is done" in hand.terminal.screen():
            time.sleep(1.2)
            hand.press("space")
        hand.wait("Ready to lift")
        time.sleep(1.2)
        hand.strike("expose")
        hand.press("space")
        hand.wait("Strike to expose")
        again = time.clock_gettime(time.CLOCK_BOOTTIME)
        hand.press("space")
        hand.wait("Pour in one sweep", 10)
        late = [cue for cue in due_cues(home) if cue[0] > again]
        assert [name for _, name in late if name != "end"][:2] == ["start", "step"]
        after = [(at, name, *likeness(capture, name, at)) for at, name in late]
        assert [row for row in after if row[2] < LIKE or abs(row[3]) > NEAR] == [], after
        hand.terminal.kill(signal.SIGTERM)
        hand.terminal.wait()

    first, second = journal(home)
    probe = [
        line["celsius"]
        for line in first + second
        if line["event"] == "temperature" and line["from"] == "probe"
    ]
    assert len(probe) >= 4 and max(probe) - min(probe) >= 0.5
    for lines in (first, second):
        assert [line["n"] for line in lines] == list(range(1, len(lines) + 1))
    ended = [line["stage"] for line in second if line["event"] == "stage_ended"]
    assert ended == ["coat", "sensitise", "drain", "expose"]
