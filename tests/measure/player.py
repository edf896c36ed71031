"""The sound player through a real sound server: what it takes while silent, and while calls come.

Wake-ups are the voluntary context switches of all its threads. Silent is measured once its stream rests.
Playing is measured while the sink is recorded, as a card would ask for it. It has no aim of its own: a
server asks for a block each quarter of the buffer, 30 ms until it runs dry: two wake-ups or three each.
Without PulseAudio or numpy nothing is measured, and that is said.
"""

from __future__ import annotations

import os
import time
from pathlib import Path
from typing import Any

from darkroom.devices.sound.client import Sound
from darkroom.devices.sound.stream_driver import QUIET_FOR
from tests.measure import measure as m

CPU_AIM, WAKES_AIM, MEMORY_AIM = 0.5, 30.0, 20.0


def used(pid: int) -> tuple[float, int]:
    """Return the processor seconds of all threads of a process so far, and their voluntary switches."""
    seconds, switches = 0.0, 0
    for thread in Path(f"/proc/{pid}/task").iterdir():
        try:
            seconds += int((thread / "schedstat").read_text().split()[0]) / 1e9
            status = (thread / "status").read_text()
        except OSError:  # it has ended
            continue
        switches += int(status.partition("\nvoluntary_ctxt_switches:")[2].split()[0])
    return seconds, switches


def over(pid: int, seconds: float) -> tuple[float, float]:
    """Return the share of a core in per cent, and the wake-ups a second, over so many seconds."""
    begun, (cpu, switches) = time.monotonic(), used(pid)
    time.sleep(seconds)
    took, (cpu_then, switches_then) = time.monotonic() - begun, used(pid)
    return 100 * (cpu_then - cpu) / took, (switches_then - switches) / took


def pss(pid: int) -> float:
    """Return the memory of a process with its share of what several use, in megabytes."""
    lines = Path(f"/proc/{pid}/smaps_rollup").read_text().splitlines()
    return next(int(line.split()[1]) for line in lines if line.startswith("Pss:")) / 1024


def measure(short: bool = False) -> list[m.Row]:
    """Return the rows of the table of all measurements."""
    try:
        from tests.kit import sound_recording
    except ImportError as error:
        raise RuntimeError(str(error)) from error
    lacking = sound_recording.missing()
    if lacking is not None:
        raise RuntimeError(f"{lacking} is not installed")
    seconds = 5.0 if short else 20.0
    server = sound_recording.Server()
    before = dict(os.environ)
    try:
        server.start()
        os.environ.update(server.env)
        return _rows(server, seconds)
    finally:
        os.environ.clear()
        os.environ.update(before)
        server.close()


def _rows(server: Any, seconds: float) -> list[m.Row]:
    from tests.kit.sound_recording import PATIENCE, Capture, wait_for

    capture = Capture(server)
    drivers: list[str] = []
    sound = Sound(lambda kind, what: drivers.append(what["driver"]) if kind == "driver" else None)
    sound.start()
    try:
        if not wait_for(lambda: "miniaudio" in drivers, PATIENCE):
            raise RuntimeError(f"no stream opens: {drivers}")
        time.sleep(1.0)
        now = sound.clock()
        calls: list[dict[str, Any]] = [
            {"up": now + 1 + second, "name": "pip", "plate": 1} for second in range(int(seconds) + 2)
        ]
        sound.schedule(calls, 60)
        time.sleep(1.0)
        assert sound.pid is not None
        playing, playing_wakes = over(sound.pid, seconds)
        capture.close()
        sound.schedule([], 30)
        time.sleep(QUIET_FOR + 3.0)
        silent, wakes = over(sound.pid, seconds)
        memory, note = m.resident(sound.pid), f"Pss {pss(sound.pid):.1f} MB"
    finally:
        capture.close()
        sound.close()
    return [
        m.Row("the sound player silent: share of a core", silent, None, CPU_AIM, "%"),
        m.Row("the sound player silent: wake-ups a second", wakes, None, WAKES_AIM, ""),
        m.Row("the sound player: resident", memory, None, MEMORY_AIM, "MB", note),
        m.Row(
            "the sound player, a pip each second: share of a core", playing, None, 3.0, "%",
            f"{playing_wakes:.0f} wake-ups a second: as the server asks for blocks",
        ),
    ]  # fmt: skip
