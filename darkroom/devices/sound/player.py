"""The sound player: `python -m darkroom.devices.sound.player`, started by the client.

It reads lines of JSON from its standard input and writes reports, lines of JSON, to its standard
output. It is a process of its own because a sound library may crash, hang or hold the interpreter,
and nothing on the bench may wait for it. When its input ends, or its parent is gone, it goes.

In:   {"settings": {...}, "skip": [drivers]}      first
      {"set": revision, "from": up, "cues": [...]}  replaces all that is due after `from`
      {"play": cue}                                 now
Out:  {"report": kind, ...}: see `client.Sound`.
"""

from __future__ import annotations

import gc
import json
import os
import queue
import signal
import sys
import threading
from contextlib import suppress
from typing import Any, BinaryIO

from darkroom import plain_files
from darkroom.devices.clock import Clock
from darkroom.devices.sound.cue_names import CUES, RATE, URGENCIES
from darkroom.devices.sound.driver_choice import DriverChoice
from darkroom.devices.sound.messages import call
from darkroom.devices.sound.scheduler import Scheduler
from darkroom.devices.sound.sound_files import Library

LOOK = 0.2
"""The watchdog looks this often, in seconds."""
SHORT_WORD = 40_000
"""The largest file of a word that is read in advance, in bytes: some 0.9 s."""
KEPT = 3 * RATE
"""So many samples of words that no call needs are kept: what was said last may be said again."""
ALIVE = 1.0
"""A sign of life this often, in seconds."""


class Reporter:
    """Writes reports from a thread of its own: a parent that does not read holds up no sound."""

    def __init__(self, out: BinaryIO) -> None:
        """`out` is written on the thread of this reporter alone."""
        self._out = out
        self._lines: queue.Queue[tuple[str, dict[str, Any]]] = queue.Queue(maxsize=1000)
        threading.Thread(target=self._run, name="reports", daemon=True).start()

    def __call__(self, kind: str, what: dict[str, Any]) -> None:
        """Send a report. When a thousand wait the tool is not listening, and more are let go."""
        try:
            self._lines.put_nowait((kind, what))
        except queue.Full:
            return

    def _run(self) -> None:
        """Write what is reported; every second without a report, a sign of life."""
        while True:
            try:
                kind, what = self._lines.get(timeout=ALIVE)
            except queue.Empty:
                kind, what = "alive", {}
            try:
                self._out.write(json.dumps({"report": kind, **what}, separators=(",", ":")).encode() + b"\n")
                self._out.flush()
            except OSError:
                os._exit(0)  # nobody is left to play for


class Player:
    """The scheduler, its library and its drivers, driven by the client's lines."""

    def __init__(self, first: dict[str, Any], report: Reporter) -> None:
        """`first` is the first line from the client."""
        settings = first.get("settings") or {}
        self.library = Library(
            settings.get("folder"),
            float(settings.get("volume", 1.0)),
            lambda text: report("problem", {"text": text}),
        )
        self.scheduler = Scheduler(self.library, report, settings.get("silent") or ())
        self.drivers = DriverChoice(
            self.scheduler, Clock().up, report, settings.get("driver"), first.get("skip") or ()
        )

    def obey(self, line: bytes) -> None:
        """Carry out one line of input. Raises ValueError, KeyError or TypeError for one that is no command.

        Words are read from their files here, so that the sound's own thread never waits for a disk.
        """
        order = json.loads(line)
        if "play" in order:
            cue = call(order["play"])
            self.library.words(cue.say)
            self.scheduler.post_now(cue)
        elif "set" in order:
            calls = [call(values) for values in order["cues"]]
            self.library.new_set(KEPT)
            for cue in calls:
                self.library.words(cue.say)
            self.scheduler.post_set(int(order["set"]), float(order["from"]), calls)
        self.drivers.kick()

    def prepare(self) -> None:
        """Read every cue before it is needed, without hurry, and the short words once through.

        The system then has the words at hand when they are sent to be said; here they would take much memory.
        """
        _take_time()
        for name in CUES:
            for urgency in URGENCIES if name == "overrun" else (0,):
                self.library.cue(name, urgency)
        for path in sorted((self.library.folders[-1] / "voice").glob("*.wav")):
            with suppress(OSError):  # what cannot be read is told when it is to be said
                if path.stat().st_size <= SHORT_WORD:
                    plain_files.read_start(path, SHORT_WORD)
        _give_back_freed()


def main() -> int:
    """Play until the input ends or the parent is gone."""
    commands, reports = _own_streams()
    _die_with_parent()
    _keep_nothing_freed()
    parent = os.getppid()
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    sys.setswitchinterval(0.001)
    first = commands.readline()
    if not first:
        return 0
    report = Reporter(reports)
    player = Player(json.loads(first), report)
    _hurry()
    threading.Thread(target=_obey_all, args=(player, commands, report), name="commands", daemon=True).start()
    player.drivers.look()
    threading.Thread(target=player.prepare, name="prepare", daemon=True).start()
    gc.collect()
    gc.freeze()
    pause = threading.Event()
    while os.getppid() == parent:
        player.drivers.look()
        pause.wait(LOOK if player.drivers.driver is not None else LOOK / 20)
    os._exit(0)


def _obey_all(player: Player, commands: BinaryIO, report: Reporter) -> None:
    for line in commands:
        try:
            player.obey(line)
        except Exception as error:  # one bad line must not deafen the player to those after it
            report("problem", {"text": f"a line for the player cannot be read: {error}"})
    os._exit(0)  # a sound library's threads may hang: nothing of ours is left to tidy


def _own_streams() -> tuple[BinaryIO, BinaryIO]:
    """Take the two pipes for ourselves; give the libraries nothing to write on."""
    commands, reports = os.dup(0), os.dup(1)
    nothing = os.open(os.devnull, os.O_RDWR)
    for stream in (0, 1, 2):
        os.dup2(nothing, stream)
    return os.fdopen(commands, "rb"), os.fdopen(reports, "wb")


def _die_with_parent() -> None:
    """On Linux the kernel ends us with the thread that started us; elsewhere the parent is looked at."""
    prctl = _of_the_c_library("prctl")
    if prctl is not None:
        set_death_signal = 1  # PR_SET_PDEATHSIG, linux/prctl.h
        prctl(set_death_signal, int(signal.SIGKILL), 0, 0, 0)


def _keep_nothing_freed() -> None:
    """Let the C library take each sound from the system by itself, and give it back when it is freed.

    The GNU library would otherwise raise its bound with the first large sound that is freed (mallopt(3)).
    """
    adjust = _of_the_c_library("mallopt")
    if adjust is not None:
        mmap_threshold = -3  # M_MMAP_THRESHOLD, malloc.h
        adjust(mmap_threshold, 1 << 15)


def _give_back_freed() -> None:
    """Give back what reading took for a moment (malloc_trim(3))."""
    trim = _of_the_c_library("malloc_trim")
    if trim is not None:
        trim(0)


def _of_the_c_library(name: str) -> Any:
    """Return a function of the C library on Linux; None where it has none of that name."""
    if sys.platform != "linux":
        return None
    import ctypes

    return getattr(ctypes.CDLL(None, use_errno=True), name, None)


def _take_time() -> None:
    """Give the calling thread an ordinary turn again."""
    if sys.platform == "linux":
        os.sched_setscheduler(0, os.SCHED_OTHER, os.sched_param(0))


def _hurry() -> None:
    """Ask for real-time turns where that is allowed, with a limit so that a fault of ours holds no core."""
    if sys.platform != "linux":
        return
    import resource

    try:
        resource.setrlimit(resource.RLIMIT_RTTIME, (1_000_000, 2_000_000))
        os.sched_setscheduler(0, os.SCHED_RR, os.sched_param(5))
    except (OSError, ValueError):
        try:
            os.nice(-11)
        except OSError:
            return  # an ordinary turn has to do


if __name__ == "__main__":
    sys.exit(main())
