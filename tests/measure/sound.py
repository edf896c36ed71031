"""The sound, measured: `python -m tests.measure.sound [--short] [NAME…]`.

Everything is recorded from a real sound server with a null sink. Each row gives what was measured,
the aim, and their ratio; the exit status is 1 only when a ratio is above 2. Without PulseAudio, or
numpy, nothing is measured, and that is said.
"""

from __future__ import annotations

import os
import random
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from darkroom.devices.sound.client import Sound
from darkroom.devices.sound.cue_names import CUES, URGENCIES, cue_file

SETTLING = 60.0
"""The handful is gathered for so long before a strike acts, in milliseconds: added, not measured."""
FIRST_FRAME = """
import sys, time
from textual.app import App
from darkroom.devices.sound.client import Sound
class Empty(App):
    def on_mount(self):
        self.sound = Sound(lambda kind, what: None)
        if sys.argv[1] == "with":
            self.sound.start()
        self.call_after_refresh(self.drawn)
    def drawn(self):
        print(time.monotonic(), file=open(sys.argv[2], "w"))
        self.sound.close()
        self.exit()
Empty().run()
"""


class Table:
    """The rows measured, printed as they come."""

    def __init__(self) -> None:
        """Begin with no rows."""
        self.worst = 0.0

    def row(self, what: str, measured: float, aim: float, unit: str, note: str = "") -> None:
        """Print a row; an aim of 0 allows none at all."""
        ratio = measured / aim if aim else (0.0 if measured == 0 else float("inf"))
        self.worst = max(self.worst, ratio)
        print(f"{what:58} {measured:9.2f} {unit:3} aim {aim:6.1f}  ratio {ratio:5.2f}  {note}", flush=True)


@contextmanager
def playing(server: Any) -> Iterator[Sound]:
    """A client whose player plays through the server."""
    os.environ.update(server.env)
    found: list[str] = []
    sound = Sound(lambda kind, what: found.append(what["driver"]) if kind == "driver" else None)
    sound.start()
    give_up = time.monotonic() + 10
    while "miniaudio" not in found and time.monotonic() < give_up:
        time.sleep(0.02)
    time.sleep(0.5)
    try:
        yield sound
    finally:
        sound.close()


def timing(table: Table, server: Any, capture: Any, count: int, short: bool) -> None:
    """Measure cues at rest; unless `short` with a terminal that stops reading and with busy processes too."""
    from tests.kit import timed_run

    cores = os.cpu_count() or 1
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        cases: list[tuple[str, dict[str, Any]]] = [("screen redraws", {})]
        if not short:
            cases += [
                ("terminal deaf for 5 s", {"deaf": 5.0}),
                (f"{2 * cores} busy processes on {cores} cores", {"busy": 2 * cores}),
            ]
        for what, more in cases:
            found = timed_run.run(server, capture, folder, count=count, spacing=0.25, **more)
            table.row(f"{count} cues, {what}: missing", found.missing, 0, "")
            table.row(f"{count} cues, {what}: extra", found.extra, 0, "")
            if "busy" in more:
                table.row(f"{count} cues, {what}: p95", found.at(0.95), 100, "ms")
                continue
            table.row(f"{count} cues, {what}: median from deadline", abs(found.constant), 10, "ms")
            table.row(f"{count} cues, {what}: standard deviation", found.spread, 3, "ms")
            table.row(f"{count} cues, {what}: p99", found.at(0.99), 20, "ms")


def recognition(table: Table, sound: Sound, capture: Any, trials: int) -> None:
    """Recognise every cue from what was played, in noise, and through a small speaker."""
    import numpy as np

    from darkroom.devices.sound.make_cues import CUES as PULSES
    from darkroom.devices.sound.make_cues import length
    from tests.kit.sound_recording import noisy, recognise, segments, small_speaker, up

    rng = np.random.default_rng(1851)
    played = {}
    for name, urgency in [(n, u) for n in CUES for u in (URGENCIES if n == "overrun" else (0,))]:
        stem = cue_file(name, urgency)
        at = up() + 0.5
        sound.schedule([{"up": at, "name": name, "urgency": urgency}], 30)
        played[stem] = capture.between(at - 0.3, at + length(PULSES[stem]) + 0.3)[0]
    for what, through in (("at 10 dB", lambda x: x), ("at 10 dB through a 400 Hz high-pass", small_speaker)):
        wrong = sum(
            recognise(segments(noisy(through(x), 10.0, rng))) != stem
            for stem, x in played.items()
            for _ in range(trials)
        )
        share = 100 * wrong / (trials * len(played))
        table.row(f"{trials * len(played)} cues {what}: not recognised", share, 1, "%")


def answers(table: Table, sound: Sound, capture: Any, count: int) -> None:
    """Measure strike to answer, and undo to silence."""
    import numpy as np

    from darkroom.devices.sound.make_cues import CUES as PULSES
    from darkroom.devices.sound.make_cues import length
    from tests.kit.sound_recording import RATE, onsets, up

    rng = random.Random(5)
    asked = []
    for _ in range(count):
        time.sleep(0.3 + rng.random() * 0.05)
        asked.append(up())
        sound.play({"up": asked[-1], "name": "accepted", "plate": 1})
    x, first = capture.between(asked[0] - 0.1, asked[-1] + 0.4)
    heard = [first + sample / RATE for sample in onsets(x, 0.1)]
    table.row("answers asked for and not heard, or heard and not asked for", abs(len(heard) - count), 0, "")
    if len(heard) != count:
        return
    delays = [SETTLING + 1000 * (sounded - at) for sounded, at in zip(heard, asked, strict=True)]
    table.row(
        "first key to accepted, p95", float(np.percentile(delays, 95)), 130, "ms", f"{SETTLING:.0f} added"
    )
    silences = []
    for _ in range(max(4, count // 4)):
        at = up() + 0.3
        sound.schedule([{"up": at, "name": "past_wet", "plate": 1}], 30)
        time.sleep(max(0.0, at + 0.12 + rng.random() * 0.1 - up()))
        struck = up()
        sound.play({"up": struck, "name": "accepted", "plate": 1})
        x, first = capture.between(at, at + 1.6)
        last = first + np.flatnonzero(np.abs(x) > 300)[-1] / RATE
        silences.append(SETTLING + 1000 * (last - struck - length(PULSES["accepted"])))
    table.row("undo's first key to silence, worst", max(silences), 130, "ms", f"{SETTLING:.0f} added")


def server_dies(table: Table, server: Any, times: int) -> None:
    """Kill the server and bring it back."""
    from tests.kit import sound_recording

    said, back = [], []
    for _ in range(times):
        told: list[tuple[float, str, str]] = []

        def report(kind: str, what: dict[str, Any], told: list[tuple[float, str, str]] = told) -> None:
            told.append((time.monotonic(), kind, str(what.get("driver"))))

        def when(kind: str, told: list[tuple[float, str, str]] = told) -> float:
            give_up = time.monotonic() + 12
            while time.monotonic() < give_up:
                found = [at for at, name, _ in told if name == kind]
                if found:
                    return found[0]
                time.sleep(0.01)
            return float("inf")

        capture = sound_recording.Capture(server)
        sound = Sound(report)
        sound.start()
        when("driver")
        time.sleep(1.0)
        killed = time.monotonic()
        server.kill()
        said.append(when("lost") - killed)
        capture.close()
        time.sleep(1.0)
        server.start()
        returned = time.monotonic()
        back.append(when("back") - returned)
        sound.close()
    table.row("sound server killed: said after, worst", max(said), 1, "s")
    table.row("sound server returns: sound back after, worst", max(back), 5, "s")


def silent_cpu(table: Table, sound: Sound, seconds: float) -> None:
    """Measure what the player takes while nothing sounds."""

    def used() -> float:
        fields = Path(f"/proc/{sound.pid}/stat").read_text().rsplit(")", 1)[1].split()
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")

    sound.schedule([], 30)
    time.sleep(1.5)
    before = used()
    time.sleep(seconds)
    table.row("the player's CPU when silent", 100 * (used() - before) / seconds, 1, "%")


def first_frame(table: Table, runs: int) -> None:
    """Measure the start to the first frame of an empty full-screen program, with sound and without."""
    import pty

    took: dict[str, list[float]] = {"with": [], "without": []}
    with tempfile.TemporaryDirectory() as name:
        script, out = Path(name) / "empty.py", Path(name) / "out"
        script.write_text(FIRST_FRAME)
        for run in range(2 * runs + 2):
            kind = ("with", "without")[run % 2]
            main, child = pty.openpty()
            begun = time.monotonic()
            process = subprocess.Popen(
                [sys.executable, str(script), kind, str(out)],
                stdin=child,
                stdout=child,
                stderr=child,
                start_new_session=True,
            )
            os.close(child)
            _drain(main, process)
            if run >= 2:
                took[kind].append(float(out.read_text()) - begun)
    more = 1000 * (statistics.median(took["with"]) - statistics.median(took["without"]))
    note = f"without: {1000 * statistics.median(took['without']):.0f} ms"
    table.row("start to first frame: sound adds", max(0.0, more), 20, "ms", note)


def _drain(main: int, process: subprocess.Popen[bytes]) -> None:
    while process.poll() is None:
        try:
            os.read(main, 65536)
        except OSError:
            break
    process.wait()
    os.close(main)


NAMES = ("timing", "recognition", "answers", "cpu", "frame", "server")
"""What can be measured alone."""


def main() -> int:
    """Measure everything; return 1 when anything is above twice its aim."""
    short = "--short" in sys.argv
    names = [word for word in sys.argv[1:] if not word.startswith("-")] or list(NAMES)
    unknown = next((name for name in names if name not in NAMES), None)
    if unknown is not None:
        print(f"no measurement '{unknown}'; known are {', '.join(NAMES)}", file=sys.stderr)
        return 2
    try:
        from tests.kit import sound_recording
    except ImportError as error:
        print(f"nothing measured: {error}")
        return 0
    lacking = sound_recording.missing()
    if lacking is not None:
        print(f"nothing measured: {lacking} is not installed")
        return 0
    table = Table()
    server = sound_recording.Server()
    server.start()
    os.environ.update(server.env)
    capture = sound_recording.Capture(server)
    steps: dict[str, Callable[[Sound], None]] = {
        "recognition": lambda sound: recognition(table, sound, capture, 3 if short else 19),
        "answers": lambda sound: answers(table, sound, capture, 10 if short else 60),
        "cpu": lambda sound: silent_cpu(table, sound, 5 if short else 15),
    }
    try:
        if "timing" in names:
            timing(table, server, capture, 40 if short else 200, short)
        with playing(server) as sound:
            for name, step in steps.items():
                if name in names:
                    step(sound)
        if "frame" in names:
            first_frame(table, 4 if short else 12)
        capture.close()
        if "server" in names:
            server_dies(table, server, 1 if short else 3)
    finally:
        capture.close()
        server.close()
    print(f"worst ratio {table.worst:.2f}: {'above twice an aim' if table.worst > 2 else 'within'}")
    return 1 if table.worst > 2 else 0


if __name__ == "__main__":
    sys.exit(main())
