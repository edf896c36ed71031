"""Keeps the best driver that answers, watches it, and goes back up when a better one answers again."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any, TypeAlias

from darkroom.devices.sound import stream_driver
from darkroom.devices.sound.cue_names import DRIVERS
from darkroom.devices.sound.scheduler import Report, Scheduler

if TYPE_CHECKING:
    from darkroom.devices.sound import timed_drivers

AGAIN = 2.0
"""A better driver than the one in use is tried this often, in seconds."""
LESSER_AGAIN = 6.0
"""Those after the first are tried more rarely: each try starts programs."""
PATIENCE = 3.0
"""A driver that takes longer to open is passed over: it may never return, in seconds."""
AWAY = 1.0
"""When the watchdog itself was away for so long, the machine slept: no driver is blamed."""
FIRST = 1.0
"""The bell helps out when no driver has answered for so long after the start, in seconds."""
BUFFER, LARGEST = 0.03, 0.12
"""The stream's buffer, doubled after an underrun up to the largest, in seconds."""
QUIET = 0.4
"""The stream is opened anew with a larger buffer only when no cue is due for so long."""

Driver: TypeAlias = "stream_driver.StreamDriver | timed_drivers.TimedDriver"


class Attempt(threading.Thread):
    """Tries drivers in order, off the watchdog's thread: one that hangs holds up nothing."""

    def __init__(self, names: list[str], make: Callable[[str], Driver]) -> None:
        """`make` opens a driver by name or raises DriverError."""
        super().__init__(name="open " + names[0], daemon=True)
        self.names, self._make = names, make
        self.trying = names[0]
        self.opened: Driver | None = None
        self.refusals: dict[str, str] = {}

    def run(self) -> None:
        """Open the first that answers."""
        for name in self.names:
            self.trying = name
            try:
                self.opened = self._make(name)
                return
            except Exception as error:  # DriverError, or whatever a foreign library raises
                self.refusals[name] = str(error) or type(error).__name__


class DriverChoice:
    """The drivers, best first; one of them plays the schedule. All methods belong to one thread."""

    def __init__(
        self,
        scheduler: Scheduler,
        clock: Callable[[], float],
        report: Report,
        insisted: str | None,
        skip: Iterable[str],
    ) -> None:
        """`insisted` is tried alone, with the bell to help out; the others without those in `skip`."""
        self.scheduler, self.clock, self.report = scheduler, clock, report
        left_out = set(skip)
        every = [name for name in DRIVERS if name not in left_out and name != "none"]
        insisted_first = ["none"] if insisted == "none" else list(dict.fromkeys([insisted or "", "bell"]))
        self.names = insisted_first if insisted else every
        self.driver: Driver | None = None
        self.buffer = BUFFER
        self._begun = clock()
        self._attempt: Attempt | None = None
        self._hanging: list[Attempt] = []
        self._looked = self._begun
        self._tried = self._tried_lesser = float("-inf")
        self._why: dict[str, str] = {}
        self._reported: str | None = None
        self._underruns = 0

    def kick(self) -> None:
        """A sound has been scheduled or cancelled."""
        driver = self.driver
        if driver is not None:
            driver.kick()

    def look(self) -> None:
        """The watchdog: leave a dead driver, take a better one, enlarge a buffer that ran dry."""
        now = self.clock()
        driver = self.driver
        away, self._looked = now - self._looked > AWAY, now
        if away and isinstance(driver, stream_driver.StreamDriver):
            driver.opened = now
        elif driver is not None and not driver.alive(now):
            self._leave(driver)
        elif isinstance(driver, stream_driver.StreamDriver):
            self._enlarge(driver, now)
            driver.rest(now)
        for attempt in (self._attempt, *self._hanging):
            if attempt is not None:
                self._collect(attempt, now)
        self._try_better(now)
        if self.driver is None and (self._reported or now - self._begun > FIRST):
            self._take(self._make(self.names[-1]))

    # --- going down --------------------------------------------------------------------------

    def _leave(self, driver: Driver) -> None:
        self._why[driver.name] = driver.fault or "it asks for no sound"
        self.report("lost", {"driver": driver.name, "why": self._why[driver.name]})
        driver.close()
        self.driver = None
        self._tried = self._tried_lesser = float("-inf")

    # --- going up ------------------------------------------------------------------------------

    def _try_better(self, now: float) -> None:
        place = len(self.names) if self.driver is None else self.names.index(self.driver.name)
        if place == 0 or self._attempt is not None or now - self._tried < AGAIN:
            return
        hanging = {attempt.trying for attempt in self._hanging}
        better = [name for name in self.names[:place] if name not in hanging]
        self._tried = now
        if not better:
            return
        if now - self._tried_lesser >= LESSER_AGAIN:
            self._tried_lesser = now
        else:
            better = better[:1]
        self._attempt = Attempt(better, self._make)
        self._attempt.start()

    def _collect(self, attempt: Attempt, now: float) -> None:
        """Take what an attempt found, if it is still better; set one that hangs aside."""
        if attempt.is_alive():
            self._why[attempt.trying] = f"{attempt.trying} does not answer"
            if attempt is self._attempt and now - self._tried > PATIENCE:
                self._attempt = None
                self._hanging.append(attempt)
            return
        if attempt is self._attempt:
            self._attempt = None
        else:
            self._hanging.remove(attempt)
        for name in attempt.names:
            self._why.pop(name, None)
        self._why.update(attempt.refusals)
        opened, place = attempt.opened, self.names.index
        if opened is None:
            return
        if self.driver is None or place(opened.name) < place(self.driver.name):
            self._take(opened)
        else:
            opened.close()

    def _make(self, name: str) -> Driver:
        if name == "miniaudio":
            return stream_driver.StreamDriver(self.scheduler, self.clock, self.buffer)
        from darkroom.devices.sound import timed_drivers  # with a stream they are never loaded

        match name:
            case "simpleaudio":
                return timed_drivers.SimpleDriver(self.scheduler, self.clock)
            case "system":
                return timed_drivers.SystemDriver(self.scheduler, self.clock)
            case "bell":
                return timed_drivers.BellDriver(
                    self.scheduler, self.clock, lambda cue: self.report("bell", {"cue": cue})
                )
        return timed_drivers.NoDriver(self.scheduler, self.clock)

    def _take(self, driver: Driver) -> None:
        """Let this driver play the schedule, and report it when it is another than before."""
        if self.driver is not None:
            self.driver.close()
        self.driver = driver
        self._underruns = 0
        driver.take()
        if driver.name == self._reported:
            return
        better = self.names[: self.names.index(driver.name)]
        change: dict[str, Any] = {"driver": driver.name, "was": self._reported, "detail": driver.detail}
        self.report(
            "driver", {**change, "why": "; ".join(self._why[name] for name in better if name in self._why)}
        )
        self._reported = driver.name

    def _enlarge(self, driver: stream_driver.StreamDriver, now: float) -> None:
        """Open the stream anew with twice the buffer when it has run dry and nothing is due soon.

        The old stream's queue is thrown away: not before the last sound in it has been heard.
        """
        if driver.resting:
            return
        if driver.fault:
            self.report("problem", {"text": driver.fault})
            driver.fault = None
        stream = driver.stream
        ran_dry = stream.clock.underruns > self._underruns and self.buffer < LARGEST
        heard_out = stream.idle and now > stream.sounds_until + self.buffer
        if not (ran_dry and heard_out and self.scheduler.due() > now + QUIET):
            return
        self.buffer = min(LARGEST, 2 * self.buffer)
        self.report("underrun", {"buffer": self.buffer})
        driver.close()
        self.driver = None
        try:
            self._take(self._make(driver.name))
        except stream_driver.DriverError as error:
            self._why[driver.name] = str(error)
