"""The thermometers of the bench: each polled by a thread of its own, so that a slow one delays nobody.

A 1-wire sensor takes most of a second for each reading and a broken bus may take for ever: the tool's
own thread never waits for either. What is believed is in `sensor_state`, what is smoothed in `smoothing`.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from pathlib import Path

from darkroom.devices.thermometers.hwmon import HwmonSensor
from darkroom.devices.thermometers.iio import IioSensor
from darkroom.devices.thermometers.sensor import SYS, Binding, Sensor, SensorError
from darkroom.devices.thermometers.sensor_state import SensorReading, SensorState, Trouble
from darkroom.devices.thermometers.text_file import FileSensor, SensorClock
from darkroom.devices.thermometers.w1 import W1Sensor

LONGEST_WAIT = 5.0
"""The clock is looked at this often: a wait stands still while the machine sleeps, in seconds."""
HUNG = 10.0
"""A reading that takes longer is said, in seconds; so does one that takes two polls."""


def open_sensor(binding: Binding, clock: SensorClock, root: Path = SYS) -> Sensor:
    """Return the sensor of a binding. It need not be there: reading it says so."""
    path = Path(binding.path) if binding.path else None
    device, channel, humid, unit = binding.device, binding.channel, binding.humid, binding.unit
    match binding.kind:
        case "w1":
            return W1Sensor(device, path=path, root=root)
        case "hwmon":
            return HwmonSensor(device, channel, path=path, root=root, humid=humid)
        case "iio":
            return IioSensor(device, channel, path=path, root=root, humid=humid, unit=unit)
        case _:
            return FileSensor(path or Path(), clock, unit=unit, humid=humid, stale=binding.stale)


class _Poller:
    """One sensor, its state and its thread."""

    def __init__(self, binding: Binding, sensor: Sensor) -> None:
        self.binding, self.sensor, self.sensor_state = binding, sensor, SensorState(binding)
        self.wake = threading.Event()
        self.due = 0.0
        self.reading_since: float | None = None
        self.polls = 0
        self.thread: threading.Thread | None = None


class Thermometers:
    """Polls sensors off the screen's thread and reports what changed.

    `report` is called from the pollers' threads, one call at a time, with a SensorReading or a Trouble; it
    must return at once and must not raise. `root` stands for /sys. A binding's own rate holds.
    """

    def __init__(
        self,
        bindings: Sequence[Binding],
        report: Callable[[SensorReading | Trouble], None],
        clock: SensorClock,
        *,
        root: Path = SYS,
        opener: Callable[[Binding, SensorClock, Path], Sensor] = open_sensor,
    ) -> None:
        self.clock, self.report = clock, report
        self._pollers = [_Poller(binding, opener(binding, clock, root)) for binding in bindings]
        self._lock = threading.Lock()
        self._told = threading.Condition(self._lock)
        self._stopping = threading.Event()
        self._watch: threading.Thread | None = None

    def start(self) -> None:
        """Begin to poll; the first reading of each sensor is taken at once."""
        if self._watch is not None or not self._pollers:
            return
        self._stopping.clear()
        for poller in self._pollers:
            poller.due = self.clock.up()
            poller.thread = threading.Thread(
                target=self._run, args=(poller,), name=f"thermometer {poller.binding.source}", daemon=True
            )
            poller.thread.start()
        self._watch = threading.Thread(target=self._look, name="thermometer watch", daemon=True)
        self._watch.start()

    def stop(self, timeout: float = 1.0) -> bool:
        """Stop polling; return whether every thread ended within `timeout` seconds (one may hang)."""
        self._stopping.set()
        threads = [poller.thread for poller in self._pollers] + [self._watch]
        self._watch = None
        self.nudge()
        for thread in threads:
            if thread is not None and thread is not threading.current_thread():
                thread.join(timeout)
        return not any(thread is not None and thread.is_alive() for thread in threads)

    def nudge(self) -> None:
        """Have every thread look at the clock now: the machine has slept, or a test moved it."""
        for poller in self._pollers:
            poller.wake.set()

    def latest(self) -> dict[str, SensorReading | Trouble]:
        """Return {source: its reading, or what is wrong with it} of the last polls."""
        with self._lock:
            states = {}
            for poller in self._pollers:
                state = poller.sensor_state.trouble or poller.sensor_state.last
                if state is not None:
                    states[poller.binding.source] = state
            return states

    def polls(self, source: str) -> int:
        """Return how often the sensors bound to `source` have been polled so far."""
        with self._lock:
            return sum(poller.polls for poller in self._pollers if poller.binding.source == source)

    def wait_polls(self, polls: int, timeout: float = 5.0, source: str | None = None) -> bool:
        """Wait until each sensor, or each one bound to `source`, has been polled `polls` times.

        Return whether it was within `timeout` seconds.
        """
        with self._told:
            return self._told.wait_for(
                lambda: all(
                    poller.polls >= polls
                    for poller in self._pollers
                    if source is None or poller.binding.source == source
                ),
                timeout,
            )

    def _run(self, poller: _Poller) -> None:
        while not self._stopping.is_set():
            now = self.clock.up()
            if now >= poller.due:
                poller.due = now + poller.binding.every
                self._poll(poller, now)
                continue
            poller.wake.wait(min(poller.due - now, LONGEST_WAIT))
            poller.wake.clear()

    def _poll(self, poller: _Poller, now: float) -> None:
        poller.reading_since = now
        value, error = 0.0, None
        try:
            value = poller.sensor.read()
        except SensorError as failure:
            error = failure
        except Exception as failure:  # whatever a driver does, it is said and the next poll is made
            error = SensorError(f"{type(failure).__name__}: {failure}", "error")
        with self._told:
            poller.reading_since = None
            if self._stopping.is_set():
                return
            now = self.clock.up()
            sensor_state = poller.sensor_state
            report = sensor_state.took(value, now) if error is None else sensor_state.failed(error, now)
            if report is not None:
                self.report(report)
            poller.polls += 1
            self._told.notify_all()

    def _look(self) -> None:
        """Say of a sensor whose reading does not come back that it gives no answer."""
        while not self._stopping.wait(1.0):
            self.look()

    def look(self) -> None:
        """Look for sensors that hang."""
        with self._told:
            now = self.clock.up()
            for poller in self._pollers:
                since = poller.reading_since
                if since is None or now - since < max(HUNG, 2 * poller.binding.every):
                    continue
                report = poller.sensor_state.failed(
                    SensorError("the sensor gives no answer", "no_answer"), now
                )
                if report is not None:
                    self.report(report)
