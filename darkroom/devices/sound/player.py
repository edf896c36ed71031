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
from collections.abc import Callable
from typing import Any, BinaryIO

from darkroom.devices.clock import Clock
from darkroom.devices.sound import drivers
from darkroom.devices.sound.desk import Desk
from darkroom.devices.sound.library import Library
from darkroom.devices.sound.names import DRIVERS, cue_files
from darkroom.devices.sound.wire import call

LOOK = 0.1
"""The watchdog looks this often, in seconds."""
AGAIN = 1.0
"""A better driver than the one in use is tried this often, in seconds."""
ALIVE = 1.0
"""A sign of life this often, in seconds."""
PATIENCE = 3.0
"""A driver that takes longer to open is passed over: it may never return."""
BUFFER, LARGEST = 0.03, 0.12
"""The stream's buffer, doubled after an underrun up to the largest, in seconds."""
QUIET = 0.4
"""The stream is opened anew with a larger buffer only when no cue is due for so long."""

Driver = drivers.StreamDriver | drivers.TimedDriver


class Reporter:
    """Writes reports from a thread of its own: a parent that does not read holds up no sound."""

    def __init__(self, out: BinaryIO) -> None:
        """`out` is written on the thread of this reporter alone."""
        self._out = out
        self._lines: queue.Queue[bytes] = queue.Queue(maxsize=1000)
        threading.Thread(target=self._run, name="reports", daemon=True).start()

    def __call__(self, kind: str, what: dict[str, Any]) -> None:
        """Send a report. When a thousand are waiting the tool is not listening, and it is let go."""
        line = json.dumps({"report": kind, **what}, separators=(",", ":")).encode() + b"\n"
        try:
            self._lines.put_nowait(line)
        except queue.Full:
            return

    def _run(self) -> None:
        while True:
            line = self._lines.get()
            try:
                self._out.write(line)
                self._out.flush()
            except OSError:
                os._exit(0)  # nobody is left to play for


class Player:
    """Keeps a driver open, watches it, and falls back and forth along the chain of drivers."""

    def __init__(self, first: dict[str, Any], report: Callable[[str, dict[str, Any]], None]) -> None:
        """`first` is the first line from the client."""
        settings = first.get("settings") or {}
        self.report, self.clock = report, Clock().up
        self.library = Library(
            settings.get("folder"),
            float(settings.get("volume", 1.0)),
            lambda text: report("problem", {"text": text}),
        )
        self.desk = Desk(self.library, report, settings.get("silent") or ())
        insisted = settings.get("driver")
        skip = set(first.get("skip") or ())
        asked = [insisted, "bell"] if insisted and insisted != "none" else [insisted or "none"]
        chain = asked if insisted else [name for name in DRIVERS if name not in skip]
        self.chain = [name for name in dict.fromkeys(chain) if name]
        self.driver: Driver | None = None
        self.buffer = BUFFER
        self._refusals: dict[str, str] = {}
        self._tried = -AGAIN
        self._underruns = 0

    # --- drivers -------------------------------------------------------------------------------

    def _open(self, name: str) -> Driver:
        """Open a driver; raise DriverError when it refuses or takes too long."""
        made: list[Driver] = []
        failed: list[str] = []
        late = threading.Event()

        def work() -> None:
            try:
                driver = self._make(name)
            except drivers.DriverError as error:
                failed.append(str(error))
                return
            made.append(driver)
            if late.is_set():
                driver.close()

        thread = threading.Thread(target=work, name=f"open {name}", daemon=True)
        thread.start()
        thread.join(PATIENCE)
        if thread.is_alive():
            late.set()
            raise drivers.DriverError(f"{name} does not answer")
        if failed or not made:
            raise drivers.DriverError(failed[0] if failed else f"{name} fails")
        return made[0]

    def _make(self, name: str) -> Driver:
        match name:
            case "miniaudio":
                return drivers.StreamDriver(self.desk, self.clock, self.buffer)
            case "simpleaudio":
                return drivers.SimpleDriver(self.desk, self.clock)
            case "system":
                return drivers.SystemDriver(self.desk, self.clock)
            case "bell":
                return drivers.BellDriver(
                    self.desk, self.clock, lambda cue: self.report("bell", {"cue": cue})
                )
        return drivers.NoDriver(self.desk, self.clock)

    def take_best(self) -> None:
        """Open the best driver that answers, and leave the present one if it is a lesser one."""
        self._tried = self.clock()
        now_in_use = self.driver.name if self.driver is not None else None
        for name in self.chain:
            if name == now_in_use:
                return
            held = self.driver
            if held is not None and name in ("miniaudio", "simpleaudio", "system"):
                # two outputs must not take from one desk: the lesser one stops while another is tried
                held.close()
                self.driver = None
            try:
                self.driver = self._open(name)
            except drivers.DriverError as error:
                self._refusals[name] = str(error)
                continue
            self._underruns = 0
            if name != self.last_told:
                self._tell(name)
            return

    last_told: str | None = None

    def _tell(self, name: str) -> None:
        why = "; ".join(self._refusals[other] for other in self.chain[: self.chain.index(name)])
        detail = getattr(self.driver, "backend", None) or getattr(self.driver, "player", None)
        self.report("driver", {"driver": name, "was": self.last_told, "why": why, "detail": detail})
        self.last_told = name

    def look(self) -> None:
        """The watchdog: leave a dead driver, enlarge a buffer that ran dry, try for a better driver."""
        driver, now = self.driver, self.clock()
        if driver is not None and not driver.alive(now):
            self.report("lost", {"driver": driver.name, "why": driver.fault or "it asks for no sound"})
            driver.close()
            self.driver = None
            self._refusals[driver.name] = driver.fault or "lost"
            self.take_best()
            return
        if isinstance(driver, drivers.StreamDriver):
            self._enlarge(driver, now)
        if driver is None or (driver.name != self.chain[0] and now - self._tried >= AGAIN):
            self.take_best()

    def _enlarge(self, driver: drivers.StreamDriver, now: float) -> None:
        stream = driver.stream
        if driver.fault:
            self.report("problem", {"text": driver.fault})
            driver.fault = None
        ran_dry = stream.clock.underruns > self._underruns and self.buffer < LARGEST
        if ran_dry and stream.idle and self.desk.due() > now + QUIET:
            self.buffer = min(LARGEST, 2 * self.buffer)
            driver.close()
            self.driver = None
            self.report("underrun", {"buffer": self.buffer})
            self.take_best()

    # --- commands ------------------------------------------------------------------------------

    def obey(self, line: bytes) -> None:
        """Carry out one line of input. Raises ValueError or KeyError for one that is no command."""
        order = json.loads(line)
        if "play" in order:
            one = call(order["play"])
            self.library.words(one.say)
            self.desk.post_now(one)
        elif "set" in order:
            calls = [call(values) for values in order["cues"]]
            for one in calls:
                self.library.words(one.say)
            self.desk.post_set(int(order["set"]), float(order["from"]), calls)
        if self.driver is not None:
            self.driver.kick()

    def prepare(self) -> None:
        """Read every cue, and the words that answer a key, before they are needed."""
        for stem in cue_files():
            self.library.cue(*_cue_of(stem))
        voice = self.library.folders[-1] / "voice"
        for path in sorted(voice.glob("*.wav")):
            self.library.words([path.stem])


def _cue_of(stem: str) -> tuple[str, int]:
    name, _, urgency = stem.partition("-")
    return ("overrun", int(urgency)) if name == "overrun" else (stem.replace("-", "_"), 0)


def main() -> int:
    """Play until the input ends or the parent is gone."""
    commands, reports = _own_streams()
    _die_with_parent()
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
    player.take_best()
    threading.Thread(target=player.prepare, name="prepare", daemon=True).start()
    gc.collect()
    gc.freeze()
    last_sign = 0.0
    pause = threading.Event()
    while os.getppid() == parent:
        player.look()
        if player.clock() - last_sign >= ALIVE:
            last_sign = player.clock()
            report("alive", {})
        pause.wait(LOOK)
    os._exit(0)


def _obey_all(player: Player, commands: BinaryIO, report: Reporter) -> None:
    for line in commands:
        try:
            player.obey(line)
        except (ValueError, KeyError, TypeError, AttributeError) as error:
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
    if sys.platform != "linux":
        return
    import ctypes

    set_death_signal = 1  # PR_SET_PDEATHSIG, linux/prctl.h
    ctypes.CDLL(None, use_errno=True).prctl(set_death_signal, int(signal.SIGKILL), 0, 0, 0)


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
